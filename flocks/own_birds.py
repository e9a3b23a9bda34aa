"""A garden's own strains as pages tell them: from how many batches, how made, and what they weigh."""

from dataclasses import dataclass
from datetime import date, timedelta

from flocks.curve import GrowthCurve
from flocks.forecasting import own_strain_of, strain_for
from flocks.models import Batch
from flocks.own_strain import OwnStrain, base_key, own_key
from flocks.strains import Strain, built_in_strains, strain_sources
from garden.models import Garden
from garden.words import gettext as _
from garden.words import ngettext

AGES = (14, 28, 42, 56)
"""Ages at which own birds and table are told side by side [day]. A choice."""


@dataclass(frozen=True)
class OwnBirds:
    """One strain learnt by a garden."""

    key: str
    table: Strain
    own: OwnStrain

    @property
    def weights(self) -> list[tuple[int, float, float]]:
        """Return age, weight by the table and weight of one's own birds [day, g, g]."""
        return [(age, _weight_g(self.table, age), _weight_g(self.own.strain, age)) for age in AGES]


def _weight_g(strain: Strain, age: int) -> float:
    spreads = (strain.mature_g, strain.rate_per_day, strain.inflection_day)
    curve = GrowthCurve(strain.hatch_g, *(spread.median for spread in spreads))
    return float(curve.weight_g(age))


def own_birds(garden: Garden, today: date) -> list[OwnBirds]:
    """Return what a garden has learnt of each kind of bird that it has finished batches of.

    Queries as `flocks.forecasting.own_strain_of`, once.
    """
    found = []
    for key, table in built_in_strains().items():
        chick = Batch(garden=garden, strain=key, hatch_on=today + timedelta(days=1))
        if own := own_strain_of(chick):
            found.append(OwnBirds(key, table, own))
    return found


def own_strain_choices(garden: Garden) -> list[tuple[str, str]]:
    """Return the garden's own strains as choices, by how many finished batches were weighed. One query."""
    finished = garden.batches.exclude(finished_on=None).exclude(weighing=None)
    batches: dict[str, int] = {}
    for key in finished.distinct().values_list("strain", flat=True):
        batches[base_key(key)] = batches.get(base_key(key), 0) + 1
    tables = built_in_strains()
    return [
        (
            own_key(key),
            ngettext(
                "{strain}, from your {n} batch", "{strain}, from your {n} batches", count
            ).format(strain=_(tables[key].name), n=count),
        )
        for key, count in batches.items()
        if key in tables
    ]


def sources_of(batch: Batch) -> tuple[tuple[str, str, str], ...]:
    """Return what a batch is forecast by, in words: the figure, where it comes from, its mark."""
    own = _own(batch)
    learnt = () if own is None else ((own.said, own.formula.rstrip("."), _("learnt here")),)
    tables = (
        (_(figure), ", ".join(_(source) for source in sources), _(known))
        for figure, sources, known in strain_sources(base_key(batch.strain))
    )
    return (*learnt, *tables)


def strain_in_words(batch: Batch) -> str:
    """Return what the kind of bird is called that a batch is forecast by."""
    own = _own(batch)
    return _(strain_for(batch).name) if own is None else own.said


def _own(batch: Batch) -> OwnStrain | None:
    return own_strain_of(batch) if batch.strain == own_key(batch.strain) else None
