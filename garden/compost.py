"""A compost heap: its mix, how hot it must get, when it counts as composted, what it carries to a bed.

PURE. Raw droppings wait 90 or 120 days before a harvest; properly composted ones do not. 7 CFR
205.203(c)(2) [1]_ sets what that takes: a mix of 25 to 40 parts carbon to one of nitrogen, and 55 to 77 °C
for 3 days in a vessel or a pile with air blown through, or for 15 days in an open heap turned five times
in that time. The rule binds certified organic growers in the United States and is guidance elsewhere.

References
----------
.. [1] United States Code of Federal Regulations, title 7, section 205.203(c)(2). The section was read,
   its numbers are recalled.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from garden.npk import NOTHING, Npk, total
from garden.provenance import Figure, Mark, Provenance
from garden.words import gettext as _
from garden.words import ngettext

REFERENCE = Path(__file__).parent / "reference"

RULE = "7 CFR 205.203(c)(2)"
HOT_C, TOO_HOT_C = 55.0, 77.0
"""Inside a heap that counts as hot: 131 to 170 °F [°C]. 7 CFR 205.203(c)(2), numbers from memory."""
VESSEL_DAYS, TURNED_DAYS, TURNINGS = 3, 15, 5
"""Hot days in a vessel, and in an open heap with its turnings. As above."""
RATIO_LEAST, RATIO_MOST = 25.0, 40.0
"""Carbon to nitrogen of the fresh mix that the rule asks for. As above."""
RATIO_AIM_LOW, RATIO_AIM = 25.0, 30.0
"""Carbon to nitrogen to aim at. Cornell Composting, Richard and Trautmann: about 30 to 1 at the start."""
NITROGEN_LOST = Figure(
    value=0.30,
    unit="share of nitrogen put on a heap",
    source="recalled: losses while composting poultry manure with enough carbon, 0.20 to 0.40",
    mark=Mark.FROM_MEMORY,
)


@dataclass(frozen=True)
class Material:
    """Something for a heap, as it is, wet: shares of its mass [1]; None where it is reckoned otherwise."""

    key: str
    name: str
    carbon: float | None
    nutrients: Npk
    """In a kilogram [g/kg]."""
    is_raw: bool
    """Whether it is manure, so that the heap must get hot after it."""
    provenance: Provenance

    @property
    def ratio(self) -> float | None:
        """Return its carbon to nitrogen, None where it is reckoned otherwise."""
        if self.carbon is None or not self.nutrients.nitrogen_g:
            return None
        return self.carbon * 1000 / self.nutrients.nitrogen_g


@cache
def materials() -> dict[str, Material]:
    """Return what heaps are made of, by key, in the order of the table."""
    with (REFERENCE / "compost_materials.csv").open(encoding="utf-8", newline="") as file:
        return {row["key"]: _material(row) for row in csv.DictReader(file)}


def _material(row: dict[str, str]) -> Material:
    shares = [
        float(row[f"{name}_percent"] or 0) for name in ("nitrogen", "phosphorus", "potassium")
    ]
    return Material(
        key=row["key"],
        name=row["name"],
        carbon=float(row["carbon_percent"]) / 100 if row["carbon_percent"] else None,
        nutrients=Npk(*(10 * share for share in shares)),
        is_raw=row["is_raw"] == "1",
        provenance=Provenance(source=row["source"], mark=Mark(row["mark"])),
    )


def carbon_to_nitrogen(carbon_g: float, nitrogen_g: float) -> float | None:
    """Return the ratio of a mix, None while it has no nitrogen."""
    return carbon_g / nitrogen_g if nitrogen_g > 0 else None


def material_needed_kg(
    carbon_g: float, nitrogen_g: float, material: Material, ratio: float = RATIO_AIM
) -> float:
    """Return how much of a material brings a mix up to a ratio.

    Parameters
    ----------
    carbon_g, nitrogen_g : float
        In the mix so far, at least 0. [g]
    material : Material
        With more carbon to nitrogen than `ratio`.
    ratio : float
        Carbon to nitrogen wanted.

    Returns
    -------
    float
        As it is, wet; 0 where the mix has carbon enough. [kg]

    Raises
    ------
    ValueError
        For a material with too little carbon ever to reach the ratio.

    Notes
    -----
    ``(C + x c) / (N + x n) = R`` solved for x.
    """
    if material.ratio is None or material.ratio <= ratio:
        raise ValueError(f"{material.name} has too little carbon for {ratio:g} to 1")
    spare = material.carbon * 1000 - ratio * material.nutrients.nitrogen_g
    return max(0.0, ratio * nitrogen_g - carbon_g) / spare


@dataclass(frozen=True)
class Reading:
    """One day of a heap's log."""

    on: date
    temperature_c: float | None
    turned: bool


@dataclass(frozen=True)
class HotDays:
    """How far a heap has come towards the rule."""

    hot: int
    hot_needed: int
    turnings: int
    turnings_needed: int
    ratio: float | None
    last_raw_on: date | None
    reached_on: date | None
    """The first day by whose end heat and turnings were enough; None where they are not yet."""

    @property
    def ratio_is_right(self) -> bool:
        """Whether the fresh mix lies within the rule's carbon to nitrogen."""
        return self.ratio is not None and RATIO_LEAST <= self.ratio <= RATIO_MOST

    @property
    def composted_on(self) -> date | None:
        """The day from which the heap counts as composted; None where it does not."""
        return self.reached_on if self.ratio_is_right else None

    def lacks(self) -> list[str]:
        """Return what is still missing, in words."""
        wanting = []
        if self.hot < self.hot_needed:
            days = self.hot_needed - self.hot
            told = ngettext(
                "{n} more day between 55 and 77 °C", "{n} more days between 55 and 77 °C", days
            )
            wanting.append(told.format(n=days))
        if self.turnings < self.turnings_needed:
            turnings = self.turnings_needed - self.turnings
            told = ngettext("{n} more turning", "{n} more turnings", turnings)
            wanting.append(told.format(n=turnings))
        if not self.ratio_is_right:
            wanting.append(_("a mix of 25 to 40 parts carbon to one of nitrogen"))
        return wanting


def hot_days(
    readings: Iterable[Reading],
    *,
    in_vessel: bool,
    ratio: float | None,
    last_raw_on: date | None,
) -> HotDays:
    """Judge a heap's log by the rule.

    Parameters
    ----------
    readings : iterable of Reading
        At most one a day, in any order. A day that was not read does not count as hot.
    in_vessel : bool
        Whether it is made in a vessel or a pile with air blown through: 3 hot days in a row, no turning.
        Otherwise 15 hot days, which need not be in a row, with five turnings on or after the first of them.
    ratio : float or None
        Carbon to nitrogen of the fresh mix.
    last_raw_on : date or None
        The last day on which raw droppings were added: only what comes after it counts.

    Returns
    -------
    HotDays
        That hot days of an open heap need not be in a row is how 21 CFR 112.54(b)(2) has it (from memory).
    """
    needed = VESSEL_DAYS if in_vessel else TURNED_DAYS
    turnings_needed = 0 if in_vessel else TURNINGS
    hot = turnings = 0
    reached_on = last_hot = None
    for reading in sorted(readings, key=lambda reading: reading.on):
        if last_raw_on is not None and reading.on <= last_raw_on:
            continue
        if _is_hot(reading):
            in_a_row = last_hot is not None and reading.on - last_hot == timedelta(days=1)
            hot = hot + 1 if not in_vessel or in_a_row else 1
            last_hot = reading.on
        elif in_vessel and reached_on is None:
            hot = 0
        turnings += reading.turned and hot > 0
        if reached_on is None and hot >= needed and turnings >= turnings_needed:
            reached_on = reading.on
            if in_vessel:
                break
    return HotDays(hot, needed, turnings, turnings_needed, ratio, last_raw_on, reached_on)


def _is_hot(reading: Reading) -> bool:
    return reading.temperature_c is not None and HOT_C <= reading.temperature_c <= TOO_HOT_C


@dataclass(frozen=True)
class HeapAccount:
    """A heap's nutrients: what went in is carried to beds, lost to the air, or left [g]."""

    put_in: Npk
    to_air_g: float
    carried: Npk

    @property
    def made(self) -> Npk:
        """Return what is left after the loss, spread or not."""
        return self.put_in - Npk(self.to_air_g)

    @property
    def left(self) -> Npk:
        """Return what still lies there; less than nothing where more was spread than the log put in."""
        return self.made - self.carried


def heap_account(put_in: Sequence[Npk], carried: Sequence[Npk]) -> HeapAccount:
    """Add up a heap.

    Parameters
    ----------
    put_in : sequence of Npk
        Each thing put on. [g]
    carried : sequence of Npk
        What each bed got. [g]

    Returns
    -------
    HeapAccount
        Nitrogen is lost by `NITROGEN_LOST`; what runs out with rain is not counted.
    """
    inside = total(put_in)
    return HeapAccount(inside, inside.nitrogen_g * NITROGEN_LOST.value, total(carried))


def share_carried(account: HeapAccount, percent: float) -> Npk:
    """Return what a bed gets with so many percent of what is left of a heap; never below nothing [g]."""
    left = account.left
    if left.least_g <= 0:
        left = Npk(
            *(max(0.0, each) for each in (left.nitrogen_g, left.phosphorus_g, left.potassium_g))
        )
    return left * (percent / 100) if percent else NOTHING
