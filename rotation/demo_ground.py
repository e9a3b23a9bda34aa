"""What the demo garden's growers logged about their soil: tests, compost, harvests, a heap. All made up."""

from datetime import date, timedelta
from typing import Any

from garden.compost import materials
from garden.heap_forms import put_on
from garden.models import (
    Garden,
    HarvestWeight,
    Heap,
    HeapInput,
    HeapReading,
    Planting,
    SoilTest,
    Spread,
)
from garden.npk import label_npk

TESTED_DAYS_AGO, SPREAD_DAYS_AGO, HEAP_DAYS_AGO = 200, 150, 30
TESTS = {"Bed 1": (2.0, 41.0, 160.0), "Bed 2": (3.0, 64.0, 190.0), "Bed 10": (6.0, 88.0, 240.0)}
"""Nitrate nitrogen, phosphorus and potassium by Mehlich 3 [mg/kg]; bed 10 has had compost for years."""
HEAP_HEAT_C = (31, 46, 57, 62, 64, 61, 58, 47, 56, 61, 60, 57, 49, 58, 60, 57, 55, 52)
TURNED_DAYS = {7, 12, 16}


def demo_ground(garden: Garden, on: date, user: Any) -> None:
    """Log soil tests, bought compost, the year's harvests and a heap that is not quite done."""
    beds = {bed.name: bed for bed in garden.beds.all()}
    for name, (nitrogen, phosphorus, potassium) in TESTS.items():
        SoilTest.objects.create(
            bed=beds[name],
            on=on - timedelta(days=TESTED_DAYS_AGO),
            logged_by=user,
            nitrogen_mg_kg=nitrogen,
            phosphorus_mg_kg=phosphorus,
            potassium_mg_kg=potassium,
        )
    grams = label_npk(10.0, 1.2, 0.5, 0.9)
    Spread.objects.create(
        bed=beds["Bed 10"],
        on=on - timedelta(days=SPREAD_DAYS_AGO),
        logged_by=user,
        what="Bought compost",
        mass_kg=10.0,
        nitrogen_g=grams.nitrogen_g,
        phosphorus_g=grams.phosphorus_g,
        potassium_g=grams.potassium_g,
    )
    _harvests(garden, on, user)
    _heap(garden, on, user)


def _harvests(garden: Garden, on: date, user: Any) -> None:
    """Every other crop of the last year was weighed, half a kilogram to two kilograms at a time."""
    year = timedelta(days=365)
    picked = Planting.objects.of(garden).filter(first_harvest_on__range=(on - year, on))
    HarvestWeight.objects.bulk_create(
        HarvestWeight(
            bed_id=planting.bed_id,
            crop_id=planting.crop_id,
            planting=planting,
            on=planting.first_harvest_on,
            mass_kg=0.5 + number % 4 * 0.5,
            logged_by=user,
        )
        for number, planting in enumerate(picked.order_by("pk"))
        if number % 2 == 0
    )


def _heap(garden: Garden, on: date, user: Any) -> None:
    begun = on - timedelta(days=HEAP_DAYS_AGO)
    heap = Heap.objects.create(garden=garden, name="Spring heap", started_on=begun)
    for key, mass_kg in (("manure", 24.0), ("straw", 20.0), ("leaves", 3.0)):
        row = HeapInput(heap=heap, on=begun, material=materials()[key].key, mass_kg=mass_kg)
        row.logged_by = user
        put_on(row, key, mass_kg)
        row.save()
    HeapReading.objects.bulk_create(
        HeapReading(
            heap=heap,
            on=begun + timedelta(days=day),
            temperature_c=heat_c,
            turned=day in TURNED_DAYS,
            logged_by=user,
        )
        for day, heat_c in enumerate(HEAP_HEAT_C, 1)
    )
