"""The kinds of line that somebody enters about a bed: what each is called, its form and its words."""

from collections.abc import Callable
from dataclasses import dataclass

from django import forms

from garden.line_forms import HarvestForm, SoilTestForm, SpreadForm
from garden.models import HarvestWeight, SoilTest, Spread
from garden.models.soil import BedLine
from garden.units import FEED_MASS, System


@dataclass(frozen=True)
class LineKind:
    """One kind of line: `key` begins the names of its addresses, `folder` is in them."""

    key: str
    folder: str
    model: type[BedLine]
    form: type[forms.ModelForm]
    heading: str
    change_heading: str
    before: str
    """A sentence above the form."""
    tell: Callable[[BedLine, System], str]
    """The line in a few words, for the undo bar."""

    @property
    def id_name(self) -> str:
        """The name of its id in an address."""
        return f"{self.key}_id"


def _tell_spread(row: BedLine, system: System) -> str:
    return f"{FEED_MASS.show(row.mass_kg, system)} of {row.what or row.get_kind_display().lower()}"


LINE_KINDS = (
    LineKind(
        "soil_test", "soil-tests", SoilTest, SoilTestForm,
        "Log a soil test", "Change a soil test",
        "The ledger starts from it, and where it finds much phosphorus, birds stay away sooner.",
        lambda row, system: "Soil test",
    ),
    LineKind(
        "spread", "spreads", Spread, SpreadForm,
        "Log compost or fertiliser", "Change what was put on",
        "What comes from a compost heap of this garden is logged on the heap’s own page.",
        _tell_spread,
    ),
    LineKind(
        "harvest", "harvests", HarvestWeight, HarvestForm,
        "Log a harvest", "Change a harvest",
        "What is picked takes nutrients away. Without a weight the ledger reckons with a usual harvest.",
        lambda row, system: f"{FEED_MASS.show(row.mass_kg, system)} of {row.crop}",
    ),
)  # fmt: skip
