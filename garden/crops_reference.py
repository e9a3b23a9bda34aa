"""The reference table of crops: need, contact with soil, days, hardiness, harvest, a source for each.

PURE. ``reference/crops.csv``, ``reference/crop_contents.csv`` and ``reference/removals.csv`` hold the
figures; this module gives them types. A garden starts its own crops as copies of these rows and changes
them as it learns.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from garden.harvest_interval import Contact
from garden.ledger import PHOSPHATE_PER_PHOSPHORUS
from garden.npk import POTASSIUM_PER_POTASH, Npk
from garden.provenance import Mark, Provenance
from garden.words import mark

REFERENCE = Path(__file__).parent / "reference"

KG_HA_PER_LB_ACRE = 0.45359237 / 0.40468564
"""Load conversion [kg/ha per lb/acre]: international pound 0.45359237 kg, acre 0.40468564 ha."""

KG_HA_PER_SHORT_TON_ACRE = 2000 * KG_HA_PER_LB_ACRE
"""Yield conversion [kg/ha per short ton/acre]: 2000 lb to the ton."""

KG_HA_PER_G_M2 = 10.0
"""Load conversion [kg/ha per g/m²]: 10 000 m² of 1/1000 kg."""


class Feeder(StrEnum):
    """How much feeding growers say a crop asks for; half-steps as the source prints them."""

    NONE = "none"
    LIGHT = "light"
    LIGHT_TO_MEDIUM = "light to medium"
    MEDIUM = "medium"
    MEDIUM_TO_HEAVY = "medium to heavy"
    HEAVY = "heavy"


class Frost(StrEnum):
    """How much cold a crop bears, and so when it may go out by the average last frost.

    In the order given: 4 to 6 weeks before it, 2 to 3 weeks before, on the day, 1 to 2 weeks after
    (Purdue Extension HO-203).
    """

    VERY_HARDY = "very hardy"
    FROST_TOLERANT = "frost tolerant"
    TENDER = "tender"
    WARM_LOVING = "warm loving"


class CountedFrom(StrEnum):
    """The day that days to harvest are counted from: sowing, or setting out a young plant."""

    SEED = "seed"
    TRANSPLANT = "transplant"


@dataclass(frozen=True)
class CropReference:
    """A crop as the trade knows it, each group of figures with its own provenance.

    `nitrogen_kg_ha` is the available nitrogen to be supplied [kg/ha], 0 for a legume. Days to the
    first harvest run from `counted_from`, from `days_to_harvest_min` to `days_to_harvest_max`
    [days]; `harvest_days` is how long picking usually goes on [days]. `note` is text for the page.
    """

    name: str
    family: str
    nitrogen_kg_ha: float
    nitrogen_from: Provenance
    feeder: Feeder
    feeder_from: Provenance
    contact: Contact
    contact_from: Provenance
    counted_from: CountedFrom
    days_to_harvest_min: int
    days_to_harvest_max: int
    days_from: Provenance
    harvest_days: int
    harvest_days_from: Provenance
    frost: Frost
    frost_from: Provenance
    note: str
    content: Npk
    """In a kilogram picked, fresh [g/kg]."""
    content_from: Provenance
    yield_kg_m2: float
    """Usual harvest of a square metre over the season [kg/m²]."""
    yield_from: Provenance
    fixed_kg_ha: float
    """Nitrogen from the air that a legume leaves in the bed with its roots and tops [kg/ha]."""
    fixed_from: Provenance
    spacing_mm: float
    """From plant to plant in a bed, each way [mm]."""
    spacing_from: Provenance

    @property
    def removal_kg_ha(self) -> Npk:
        """What a usual harvest takes from a hectare [kg/ha, held in the fields of grams]."""
        return self.content * (self.yield_kg_m2 * KG_HA_PER_G_M2)

    @property
    def replaced_from(self) -> Provenance:
        """Where the need of phosphorus and potassium comes from: it replaces what the harvest takes."""
        return Provenance(
            source=mark("what a usual harvest takes, to be put back"), mark=Mark.DERIVED
        )


@dataclass(frozen=True)
class CropRemoval:
    """What a harvest carries off, per hectare at the yield it was measured at [kg/ha].

    `part` is what was weighed; "total" includes leaves and stems that a grower may leave in the
    bed, so a figure for it is an upper bound on what a harvest takes.
    """

    crop_name: str
    part: str
    yield_kg_ha: float
    nitrogen_kg_ha: float
    phosphorus_kg_ha: float
    potassium_kg_ha: float
    provenance: Provenance
    note: str

    @property
    def content(self) -> Npk:
        """What a kilogram of the harvest carries off [g/kg]."""
        return Npk(self.nitrogen_kg_ha, self.phosphorus_kg_ha, self.potassium_kg_ha) * (
            1000 / self.yield_kg_ha
        )

    def nitrogen_g(self, harvest_kg: float) -> float:
        """Return the nitrogen in a harvest of so many kilograms, fresh [g]."""
        return harvest_kg * 1000 * self.nitrogen_kg_ha / self.yield_kg_ha

    def phosphorus_g(self, harvest_kg: float) -> float:
        """Return the phosphorus (as P) in a harvest of so many kilograms, fresh [g]."""
        return harvest_kg * 1000 * self.phosphorus_kg_ha / self.yield_kg_ha


@cache
def crop_table() -> Mapping[str, CropReference]:
    """Return the reference crops by name, in the order of the table; read once, read-only."""
    contents = {row["name"]: row for row in _rows("crop_contents.csv")}
    crops = (_crop(row | contents[row["name"]]) for row in _rows("crops.csv"))
    return MappingProxyType({crop.name: crop for crop in crops})


@cache
def removal_table() -> Mapping[str, CropRemoval]:
    """Return what harvests remove, by crop name; only crops with a published figure are in it."""
    removals = map(_removal, _rows("removals.csv"))
    return MappingProxyType({removal.crop_name: removal for removal in removals})


def _rows(file_name: str) -> list[dict[str, str]]:
    with (REFERENCE / file_name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _crop(row: dict[str, str]) -> CropReference:
    return CropReference(
        name=row["name"],
        family=row["family"],
        nitrogen_kg_ha=float(row["nitrogen_kg_ha"]),
        nitrogen_from=_provenance(row, "nitrogen_"),
        feeder=Feeder(row["feeder"]),
        feeder_from=_provenance(row, "feeder_"),
        contact=Contact(row["contact"]),
        contact_from=_provenance(row, "contact_"),
        counted_from=CountedFrom(row["counted_from"]),
        days_to_harvest_min=int(row["days_to_harvest_min"]),
        days_to_harvest_max=int(row["days_to_harvest_max"]),
        days_from=_provenance(row, "days_"),
        harvest_days=int(row["harvest_days"]),
        harvest_days_from=_provenance(row, "harvest_days_"),
        frost=Frost(row["frost"]),
        frost_from=_provenance(row, "frost_"),
        note=row["note"],
        **_harvest(row),
    )


def _harvest(row: dict[str, str]) -> dict[str, Any]:
    """Return what a harvest weighs and holds; a measured removal goes before a table of foods."""
    measured = removal_table().get(row["name"])
    eaten = Npk(*(float(row[f"{name}_g_kg"]) for name in ("nitrogen", "phosphorus", "potassium")))
    return {
        "content": measured.content if measured else eaten,
        "content_from": measured.provenance if measured else _provenance(row, "content_"),
        "yield_kg_m2": float(row["yield_kg_m2"]),
        "yield_from": _provenance(row, "yield_"),
        "fixed_kg_ha": float(row["fixed_kg_ha"]),
        "fixed_from": _provenance(row, "fixed_"),
        "spacing_mm": float(row["spacing_mm"]),
        "spacing_from": _provenance(row, "spacing_"),
    }


def _removal(row: dict[str, str]) -> CropRemoval:
    phosphate_kg_ha = float(row["phosphate_lb_acre"]) * KG_HA_PER_LB_ACRE
    return CropRemoval(
        crop_name=row["crop"],
        part=row["part"],
        yield_kg_ha=float(row["yield_short_tons_acre"]) * KG_HA_PER_SHORT_TON_ACRE,
        nitrogen_kg_ha=float(row["nitrogen_lb_acre"]) * KG_HA_PER_LB_ACRE,
        phosphorus_kg_ha=phosphate_kg_ha / PHOSPHATE_PER_PHOSPHORUS.value,
        potassium_kg_ha=float(row["potash_lb_acre"])
        * KG_HA_PER_LB_ACRE
        * POTASSIUM_PER_POTASH.value,
        provenance=_provenance(row),
        note=row["note"],
    )


def _provenance(row: dict[str, str], group: str = "") -> Provenance:
    return Provenance(source=row[f"{group}source"], mark=Mark(row[f"{group}mark"]))
