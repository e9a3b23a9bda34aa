"""The demo garden's pen designs: each pen as it was built, with made-up prices and an offcut in the shed."""

from collections.abc import Iterable
from decimal import Decimal

from garden.models import Garden
from pens.built import pen_of
from pens.design_forms import choices_of, started_design
from pens.models import Pen, Price, ShedItem

# Invented, in no currency: what one of each costs.
PRICES = {
    "board-38x38-2400": "3.20",
    "board-38x38-3600": "4.90",
    "board-38x38-4800": "6.40",
    "board-25x38-2400": "1.70",
    "board-25x38-3600": "2.50",
    "board-25x38-4800": "3.30",
    "wire-half-inch-19-610-7620": "24",
    "wire-half-inch-19-610-15240": "42",
    "wire-half-inch-19-1219-3048": "21",
    "wire-half-inch-19-1219-7620": "44",
    "hinge": "1.60",
    "latch": "1.10",
    "clip": "0.60",
    "staple": "0.012",
}
OFFCUTS = (("board-38x38", 1240, 2), ("board-25x38", 900, 3))
SCREWS_LEFT = ("screw-51", 40)


def demo_designs_make(garden: Garden, pens: Iterable[Pen], birds: int) -> None:
    """Give each pen the design it was built from, and the garden some prices and a shed."""
    for pen in pens:
        design = started_design(garden)
        design.name = f"{pen.name} as built"
        design.length_mm, design.width_mm = round(pen.length_mm), round(pen.width_mm)
        design.birds, design.strain, design.skids = birds, "fast", pen.length_mm > 2000
        design.save()
        design.beds.set(garden.beds.filter(length_mm__gte=pen.length_mm).exclude(kind="turf"))
        pen.design = design
        pen.mass_kg = round(pen_of(choices_of(design)).mass.total_kg, 1)
        pen.save()
    Price.objects.bulk_create(
        Price(garden=garden, key=key, amount=Decimal(amount)) for key, amount in PRICES.items()
    )
    for key, length_mm, count in OFFCUTS:
        ShedItem.objects.create(garden=garden, key=key, length_mm=length_mm, count=count)
    ShedItem.objects.create(garden=garden, key=SCREWS_LEFT[0], count=SCREWS_LEFT[1])
