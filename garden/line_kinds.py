"""The kinds of line that somebody enters about a bed: what each is called, its form and its words."""

from collections.abc import Callable
from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext_lazy

from garden.line_forms import HarvestForm, SoilTestForm, SpreadForm
from garden.models import HarvestWeight, SoilTest, Spread
from garden.models.soil import BedLine
from garden.units import FEED_MASS, System
from garden.words import gettext as _


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
    what = row.what or row.get_kind_display().lower()
    return _("{mass} of {what}").format(mass=FEED_MASS.show(row.mass_kg, system), what=what)


def _tell_harvest(row: BedLine, system: System) -> str:
    return _("{mass} of {what}").format(mass=FEED_MASS.show(row.mass_kg, system), what=row.crop)


LINE_KINDS = (
    LineKind(
        "soil_test", "soil-tests", SoilTest, SoilTestForm,
        gettext_lazy("Log a soil test"), gettext_lazy("Change a soil test"),
        gettext_lazy("The ledger starts from it, and where it finds much phosphorus, birds stay away sooner."),
        lambda row, system: _("Soil test"),
    ),
    LineKind(
        "spread", "spreads", Spread, SpreadForm,
        gettext_lazy("Log compost or fertiliser"), gettext_lazy("Change what was put on"),
        gettext_lazy("What comes from a compost heap of this garden is logged on the heap’s own page."),
        _tell_spread,
    ),
    LineKind(
        "harvest", "harvests", HarvestWeight, HarvestForm,
        gettext_lazy("Log a harvest"), gettext_lazy("Change a harvest"),
        gettext_lazy(
            "What is picked takes nutrients away. Without a weight the ledger reckons with a "
            "usual harvest."
        ),
        _tell_harvest,
    ),
)  # fmt: skip
