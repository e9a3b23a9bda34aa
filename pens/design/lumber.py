"""Tables of the trade: wood by nominal and actual size, its density, wire mesh, tarps.

PURE. ``reference/*.csv`` hold the figures, a source and a mark on every row; `pens.design.table_words` marks
their names for the catalogues.
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from garden.provenance import Mark, Provenance
from garden.words import gettext as _
from garden.words import mark

REFERENCE = Path(__file__).parent / "reference"

Row = TypeVar("Row")

UNTREATED = mark(
    "Untreated wood: birds peck at it and the soil under it feeds people. The organic rule forbids "
    "arsenate and other prohibited materials on wood that touches soil or livestock "
    "(7 CFR 205.206(f), published)."
)
"""Why the wood of a pen is untreated, in words."""


class _Named:
    """A row of a table with a name that is said in the reader's language."""

    __slots__ = ()
    name: str

    @property
    def words(self) -> str:
        """What it is called."""
        return _(self.name)


@dataclass(frozen=True, slots=True)
class Profile(_Named):
    """Wood of one section: what it is called and what it measures, dry and planed. [mm]

    `inches` are the same sizes as the standard prints them; empty for metric sections.
    """

    key: str
    name: str
    system: str
    thickness_mm: int
    width_mm: int
    inches: tuple[str, str]
    provenance: Provenance

    @property
    def section_mm2(self) -> int:
        """Area of the section. [mm²]"""
        return self.thickness_mm * self.width_mm


@dataclass(frozen=True, slots=True)
class Species(_Named):
    """A kind of wood: its air-dry density [kg/m³], and whether it lasts outside untreated."""

    key: str
    name: str
    kg_m3: float
    lasts: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Mesh(_Named):
    """Wire cloth: the opening's and the wire's size [mm], and its mass [kg/m²]."""

    key: str
    name: str
    opening_mm: float
    wire_mm: float
    kg_m2: float
    provenance: Provenance

    @property
    def open_share(self) -> float:
        """Share of the cloth that is hole: derived from pitch and wire."""
        return (1 - self.wire_mm / self.opening_mm) ** 2


@dataclass(frozen=True, slots=True)
class TarpCloth(_Named):
    """What a tarp is made of, and its mass [kg/m²]."""

    key: str
    name: str
    kg_m2: float
    provenance: Provenance


@cache
def profiles() -> Mapping[str, Profile]:
    """Return every section by its key, thin ones first."""
    return _table(
        "lumber.csv",
        lambda row: Profile(
            row["key"],
            row["name"],
            row["system"],
            int(row["thickness_mm"]),
            int(row["width_mm"]),
            (row["thickness_in"], row["width_in"]),
            _provenance(row),
        ),
    )


@cache
def species() -> Mapping[str, Species]:
    """Return every kind of wood by its key."""
    return _table(
        "timber.csv",
        lambda row: Species(
            row["key"],
            row["name"],
            float(row["kg_m3"]),
            row["untreated_lasts"],
            _provenance(row),
        ),
    )


@cache
def meshes() -> Mapping[str, Mesh]:
    """Return every wire cloth by its key."""
    return _table(
        "mesh.csv",
        lambda row: Mesh(
            row["key"],
            row["name"],
            float(row["opening_mm"]),
            float(row["wire_mm"]),
            float(row["kg_m2"]),
            _provenance(row),
        ),
    )


@cache
def tarp_cloths() -> Mapping[str, TarpCloth]:
    """Return every tarp cloth by its key."""
    return _table(
        "tarps.csv",
        lambda row: TarpCloth(row["key"], row["name"], float(row["kg_m2"]), _provenance(row)),
    )


def _table(file_name: str, read: Callable[[dict[str, str]], Row]) -> Mapping[str, Row]:
    with (REFERENCE / file_name).open(encoding="utf-8", newline="") as file:
        return MappingProxyType({row["key"]: read(row) for row in csv.DictReader(file)})


def _provenance(row: dict[str, str]) -> Provenance:
    return Provenance(source=row["source"], mark=Mark(row["mark"]))
