"""Brooding: how warm, how much floor, and when chicks may move to the garden.

PURE. A guide for the day's suggestion; how the chicks behave beats every table.
"""

from __future__ import annotations

from dataclasses import dataclass

PEN_STATE = "Clauer, Penn State and Virginia Tech, space should increase as birds grow"

SQUARE_FOOT_M2 = 0.0929


@dataclass(frozen=True)
class BrooderWeek:
    """What a chick needs from an age on, until the next row."""

    from_day: int
    """First age it holds for [day]."""
    low_c: float
    high_c: float
    """Air temperature at the chicks' height [°C]."""
    floor_m2: float
    """Floor for each bird [m2]."""
    source: str


BROODER_WEEKS = (
    BrooderWeek(0, 33.0, 35.0, 0.25 * SQUARE_FOOT_M2, PEN_STATE),
    BrooderWeek(7, 29.0, 32.0, 0.50 * SQUARE_FOOT_M2, PEN_STATE),
    BrooderWeek(21, 27.0, 29.0, 0.75 * SQUARE_FOOT_M2, PEN_STATE),
    BrooderWeek(35, 21.0, 27.0, 1.00 * SQUARE_FOOT_M2, PEN_STATE),
)
"""Temperature and floor by age. Published."""


@dataclass(frozen=True)
class SafeNight:
    """The coldest night that a bird of some age stands outdoors, dry and out of the wind."""

    from_day: int
    """First age it holds for [day]."""
    low_c: float
    """Night low [°C]."""
    source: str


SAFE_NIGHTS = (
    SafeNight(21, 20.0, "from memory, low: 65-70 °F at three weeks"),
    SafeNight(28, 15.5, "from memory, low: 60 °F at four weeks"),
    SafeNight(35, 10.0, "from memory, low: 50 °F at five weeks"),
    SafeNight(
        42, 7.0, "forum of growers, 45 °F before moving; from memory, low: 40-45 °F at six weeks"
    ),
)
"""Suggestions only, to be changed by the grower: published pages disagree from 20 days to 6
weeks."""

ACCLIMATION_DAYS = 5
"""Days shut in the pen before it moves daily [day]. University of Maine pasture poultry trial."""


@dataclass(frozen=True)
class LeavingAdvice:
    """Whether chicks of an age may leave the brooder for nights as cold as given."""

    may_leave: bool
    reason: str
    source: str


def brooder_needs(age_days: float) -> BrooderWeek:
    """Return the row for an age [day]; the last one holds from five weeks on.

    Raises
    ------
    ValueError
        For an age below 0.
    """
    if age_days < 0:
        raise ValueError("age must be at least 0 days")
    return next(row for row in reversed(BROODER_WEEKS) if row.from_day <= age_days)


def safe_night_low_c(age_days: float) -> float | None:
    """Return the coldest night low that a bird of that age should meet outdoors [°C].

    None before three weeks, when its plumage does not keep it warm.
    """
    night = _safe_night(age_days)
    return None if night is None else night.low_c


def leaving_advice(age_days: float, night_low_c: float) -> LeavingAdvice:
    """Return the suggestion about leaving the brooder.

    Parameters
    ----------
    age_days : float
        Age of the chicks, at least 0 [day].
    night_low_c : float
        Lowest night temperature expected in the next five days or so [°C].
    """
    night = _safe_night(age_days)
    if night is None:
        first = SAFE_NIGHTS[0]
        return LeavingAdvice(
            False,
            f"too young: plumage keeps them warm from about {first.from_day} days",
            first.source,
        )
    if night_low_c >= night.low_c:
        reason = f"nights stay above {night.low_c:g} °C; dry bedding, out of the wind"
        return LeavingAdvice(True, reason, night.source)
    reason = (
        f"nights go to {night_low_c:g} °C; at this age {night.low_c:g} °C is the suggested least"
    )
    return LeavingAdvice(False, reason, night.source)


def _safe_night(age_days: float) -> SafeNight | None:
    return next((row for row in reversed(SAFE_NIGHTS) if row.from_day <= age_days), None)
