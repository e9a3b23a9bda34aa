"""One figure for a whole batch: the European production efficiency factor.

PURE.
"""

from __future__ import annotations

from garden.provenance import Mark, Provenance

PRODUCTION_INDEX = Provenance(
    source="S. Shane, “What’s your PEF?”: live weight (kg) x liveability (%) / (age (days) x feed conversion) "
    "x 100; its example 1.85 x 95 / (44 x 1.88) x 100 = 212",
    mark=Mark.PUBLISHED,
)


def production_index(
    live_kg: float, survived_percent: float, age_days: float, feed_per_gain: float
) -> float:
    """Return the European production efficiency factor of a flock.

    Parameters
    ----------
    live_kg : float
        Mean live weight at processing [kg].
    survived_percent : float
        Birds processed of those placed, 0 to 100 [%].
    age_days : float
        Age at processing, above 0 [day].
    feed_per_gain : float
        Feed for each kilogram gained, above 0 [kg/kg].

    Raises
    ------
    ValueError
        When the age or the feed conversion is not above 0.

    Notes
    -----
    ``live x survived / (age x feed per gain) x 100`` [1]_. Made to compare fast birds of like weight: it falls
    for slow strains and for older birds whatever their keeper does.

    References
    ----------
    .. [1] `PRODUCTION_INDEX`.
    """
    if age_days <= 0 or feed_per_gain <= 0:
        raise ValueError("the index takes an age and a feed conversion above 0")
    return live_kg * survived_percent / (age_days * feed_per_gain) * 100
