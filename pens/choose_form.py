"""The form of “Choose for me”, and its answer."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from django import forms
from django.utils.translation import gettext_lazy

from garden.forms import GardenForm, QuantityField
from garden.models import Bed, Garden
from garden.units import BIRD_MASS
from pens.design import Ask, BoardOffer, PenDesign, Shop, choose_sizes
from pens.design.choosing import Chosen
from pens.design_forms import FRAME_WOOD, STRAP_WOOD, bed_size
from pens.models import Price
from pens.shopping import BOARD

EXAMPLE_BIRD_G = 2400
"""Live weight that the form starts from [g]. Our choice, as an example."""


class ChooseForm(GardenForm, forms.Form):
    """Birds, their weight when they are heaviest, and what decides."""

    birds = forms.IntegerField(
        label=gettext_lazy("Birds in all pens together"), min_value=1, max_value=10_000
    )
    mass_g = QuantityField(
        BIRD_MASS,
        label=gettext_lazy("What one weighs at the end"),
        least=200,
        most=8_000,
        initial=EXAMPLE_BIRD_G,
    )
    by = forms.ChoiceField(
        label=gettext_lazy("Between sizes that serve the beds alike, take"),
        choices=[
            ("weight", gettext_lazy("the lightest")),
            ("cost", gettext_lazy("the cheapest, where prices are known")),
        ],
    )
    doors = forms.ChoiceField(
        label=gettext_lazy("Doors"),
        choices=[
            ("lids", gettext_lazy("Lids in the roof")),
            ("sides", gettext_lazy("Doors in the walls")),
        ],
    )


def best_for(garden: Garden, beds: Sequence[Bed], form: ChooseForm) -> Chosen | None:
    """Return the one or two sizes that serve most of a garden's beds; None where none can be built."""
    cleaned, system = form.cleaned_data, garden.unit_system
    # Grass strips take any pen; the beds are what a size must fit.
    grown = [bed for bed in beds if bed.kind != Bed.Kind.TURF] or list(beds)
    like = PenDesign(
        2000, 1000, profile=FRAME_WOOD[system], strap=STRAP_WOOD[system], doors=cleaned["doors"]
    )
    ask = Ask(
        birds=cleaned["birds"],
        limit_kg_m2=garden.density_limit_kg_m2,
        mass_g=cleaned["mass_g"],
        clearance_mm=garden.clearance_mm,
        by=cleaned["by"],
        like=like,
        shop=_shop(garden, like),
    )
    return choose_sizes([bed_size(bed) for bed in grown], ask) if grown else None


def _shop(garden: Garden, like: PenDesign) -> Shop:
    """Return what the garden pays for boards and wire."""
    prices = {row.key: Fraction(row.amount) for row in Price.objects.filter(garden=garden)}
    boards = tuple(
        BoardOffer(profile, int(key.rpartition("-")[2]), price)
        for key, price in sorted(prices.items())
        for profile in (like.profile, like.strap)
        if key.startswith(f"{BOARD}{profile}-")
    )
    return replace(Shop(), boards=boards, prices=prices)
