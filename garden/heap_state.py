"""A compost heap as its page shows it, from its rows: mix, heat, account."""

from dataclasses import dataclass
from datetime import date

from garden.compost import (
    RATIO_AIM,
    RATIO_AIM_LOW,
    HeapAccount,
    HotDays,
    Material,
    Reading,
    carbon_to_nitrogen,
    heap_account,
    hot_days,
    material_needed_kg,
    materials,
)
from garden.models import Heap, HeapInput, HeapReading, Spread
from garden.npk import Npk


@dataclass(frozen=True)
class CarbonNeeded:
    """How much of one material brings a mix to 25 and to 30 parts of carbon [kg]."""

    material: Material
    least_kg: float
    most_kg: float


@dataclass(frozen=True)
class HeapState:
    """A heap with all that was logged about it."""

    heap: Heap
    inputs: list[HeapInput]
    readings: list[HeapReading]
    spreads: list[Spread]

    @property
    def carbon_g(self) -> float:
        """Carbon put on [g]."""
        return sum(row.carbon_g for row in self.inputs)

    @property
    def ratio(self) -> float | None:
        """Carbon to nitrogen of all that was put on, None while there is no nitrogen."""
        return carbon_to_nitrogen(self.carbon_g, self.account.put_in.nitrogen_g)

    @property
    def account(self) -> HeapAccount:
        """What went in, was lost, was carried to beds and is left."""
        return heap_account(_masses(self.inputs), _masses(self.spreads))

    @property
    def last_raw_on(self) -> date | None:
        """The last day on which droppings or manure were added."""
        known = materials()
        raw = (
            row.on for row in self.inputs if row.material in known and known[row.material].is_raw
        )
        return max(raw, default=None)

    @property
    def heat(self) -> HotDays:
        """How far it has come towards the rule."""
        return hot_days(
            (Reading(row.on, row.temperature_c, row.turned) for row in self.readings),
            in_vessel=self.heap.kind == Heap.Kind.VESSEL,
            ratio=self.ratio,
            last_raw_on=self.last_raw_on,
        )

    def is_composted(self, on: date) -> bool:
        """Whether it counts as composted on a day; a heap without droppings or manure always does."""
        done_on = self.heat.composted_on
        return self.last_raw_on is None or (done_on is not None and done_on <= on)

    def carbon_needed(self) -> list[CarbonNeeded]:
        """Return what each dry material would take to mend a mix with too little carbon."""
        nitrogen_g = self.account.put_in.nitrogen_g
        return [
            CarbonNeeded(material, least_kg, most_kg)
            for material in materials().values()
            if material.ratio is not None and material.ratio > 2 * RATIO_AIM
            for least_kg, most_kg in [
                tuple(
                    material_needed_kg(self.carbon_g, nitrogen_g, material, ratio)
                    for ratio in (RATIO_AIM_LOW, RATIO_AIM)
                )
            ]
            if most_kg >= 0.1
        ]


def heap_state(heap: Heap) -> HeapState:
    """Read a heap's lines: three queries."""
    return HeapState(
        heap,
        list(heap.heapinputs.select_related("bed")),
        list(heap.heapreadings.all()),
        list(heap.spreads.select_related("bed").order_by("on", "pk")),
    )


def _masses(rows: list[HeapInput] | list[Spread]) -> list[Npk]:
    return [Npk(row.nitrogen_g, row.phosphorus_g, row.potassium_g) for row in rows]
