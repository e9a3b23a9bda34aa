"""Where a pen can stand on a bed, and how close the birds stand in it.

PURE. A floorless pen is set down on the soil *inside* a bed, so its outside must pass between the
bed's walls with some clearance. Places lie in one row along the bed's length.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import floor
from typing import Literal

BedKind = Literal["raised", "ground", "turf"]

FRAMING_MM = 38
"""Thickness of the framing around a pen's floor: dry nominal 2-inch lumber is 1 1/2 in (38 mm).
Published: American Softwood Lumber Standard PS 20, minimum dressed sizes."""

_UNMEASURABLE_MM = 0.1
"""Inches leave rounding behind, and a pen is built to the millimetre: 44 1/4 in is 1123.95 mm and
becomes 1124. A tenth of a millimetre decides no fit. Our choice."""


@dataclass(frozen=True, slots=True)
class Place:
    """One place on a bed where one pen can stand.

    Attributes
    ----------
    offset_mm : float
        From the bed's first end wall to the near end of the pen, along the bed.
    length_mm : float
        How much of the bed's length the pen covers.
    turned : bool
        Whether the pen's own length lies across the bed.
    """

    offset_mm: float
    length_mm: float
    turned: bool

    @property
    def end_mm(self) -> float:
        """Far end of the pen, from the bed's first end wall. [mm]"""
        return self.offset_mm + self.length_mm


@dataclass(frozen=True, slots=True)
class Fit:
    """How a pen fits a bed.

    Attributes
    ----------
    places : tuple of Place
        In order along the bed; empty when the pen does not fit. They do not overlap.
    side_gap_mm : float
        Between the pen and each long wall; 0 when there is no place.
    end_gap_mm : float
        Between the pen and each end wall, and between neighbours; 0 when there is no place.
    too_long_mm, too_wide_mm : float
        What the bed lacks, clearance included, in the orientation that lacks less; 0 when it fits.
    """

    places: tuple[Place, ...]
    side_gap_mm: float = 0.0
    end_gap_mm: float = 0.0
    too_long_mm: float = 0.0
    too_wide_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class _Row:
    """Places along a bed for a pen in one orientation."""

    bed_length_mm: float
    bed_width_mm: float
    along_mm: float
    across_mm: float
    clearance_mm: float
    turned: bool

    @property
    def too_wide_mm(self) -> float:
        lack = self.across_mm + 2 * self.clearance_mm - self.bed_width_mm
        return lack if lack > _UNMEASURABLE_MM else 0.0

    @property
    def too_long_mm(self) -> float:
        lack = self.along_mm + 2 * self.clearance_mm - self.bed_length_mm
        return lack if lack > _UNMEASURABLE_MM else 0.0

    @property
    def count(self) -> int:
        """Pens that stand in the row with a clearance before, between and behind them."""
        if self.too_wide_mm or self.too_long_mm:
            return 0
        room = self.bed_length_mm - self.clearance_mm + _UNMEASURABLE_MM
        return floor(room / (self.along_mm + self.clearance_mm))

    def fit(self) -> Fit:
        """Spread the places so that every gap along the bed is the same."""
        if not self.count:
            return Fit((), too_long_mm=self.too_long_mm, too_wide_mm=self.too_wide_mm)
        spare_mm = max(0.0, self.bed_length_mm - self.count * self.along_mm)
        gap_mm = spare_mm / (self.count + 1)
        places = tuple(
            Place(gap_mm + i * (self.along_mm + gap_mm), self.along_mm, self.turned)
            for i in range(self.count)
        )
        side_gap_mm = max(0.0, (self.bed_width_mm - self.across_mm) / 2)
        return Fit(places, side_gap_mm=side_gap_mm, end_gap_mm=gap_mm)


def fit_pen(
    bed_length_mm: float,
    bed_width_mm: float,
    pen_length_mm: float,
    pen_width_mm: float,
    clearance_mm: float,
    kind: BedKind,
    *,
    turn: bool = True,
) -> Fit:
    """Find the places a pen can take on a bed.

    Parameters
    ----------
    bed_length_mm, bed_width_mm : float
        Inside the walls of the bed; greater than 0. [mm]
    pen_length_mm, pen_width_mm : float
        Outside of the pen; greater than 0. [mm]
    clearance_mm : float
        Least gap on each side of a standing pen; not negative. A gap serves both neighbours. On
        turf there is no wall to clear, and it counts as 0. [mm]
    kind : {"raised", "ground", "turf"}
        What the bed is.
    turn : bool
        Whether the pen may be turned by a quarter.

    Returns
    -------
    Fit
        Of the two orientations the one with more places; when they tie, the pen is not turned.

    Raises
    ------
    ValueError
        If a length is not greater than 0 or the clearance is negative.
    """
    if min(bed_length_mm, bed_width_mm, pen_length_mm, pen_width_mm) <= 0 or clearance_mm < 0:
        raise ValueError("Beds and pens have lengths above 0 mm, and a clearance of 0 mm or more.")
    bed = (bed_length_mm, bed_width_mm)
    clear_mm = 0.0 if kind == "turf" else clearance_mm
    straight = _Row(*bed, pen_length_mm, pen_width_mm, clear_mm, turned=False)
    if not turn:
        return straight.fit()
    turned = _Row(*bed, pen_width_mm, pen_length_mm, clear_mm, turned=True)
    if straight.count or turned.count:
        return max(straight, turned, key=lambda row: row.count).fit()
    return min(straight, turned, key=lambda row: row.too_long_mm + row.too_wide_mm).fit()


def floor_area_m2(length_mm: float, width_mm: float, framing_mm: float = FRAMING_MM) -> float:
    """Return the floor the birds have inside a pen's framing.

    Parameters
    ----------
    length_mm, width_mm : float
        Outside of the pen; each greater than twice the framing. [mm]
    framing_mm : float
        Thickness of the framing on each side. [mm]

    Returns
    -------
    float
        The free floor. [m²]

    Raises
    ------
    ValueError
        If the framing leaves no floor.
    """
    inside_mm = (length_mm - 2 * framing_mm, width_mm - 2 * framing_mm)
    if min(inside_mm) <= 0:
        raise ValueError("The framing leaves no floor inside the pen.")
    return inside_mm[0] * inside_mm[1] / 1e6


def density_kg_m2(birds: int, mass_g: float, floor_m2: float) -> float:
    """Return the live weight of the birds on each square metre of floor.

    Parameters
    ----------
    birds : int
        Birds in the pen.
    mass_g : float
        Mean weight of a bird. [g]
    floor_m2 : float
        Free floor, greater than 0; see `floor_area_m2`. [m²]

    Returns
    -------
    float
        The density, as limits are worded. [kg/m²]
    """
    return birds * mass_g / 1000 / floor_m2


def first_day_over(
    limit_kg_m2: float, mass_g_by_day: Mapping[date, float], birds: int, floor_m2: float
) -> date | None:
    """Return the first day on which the birds stand closer than a limit allows.

    Parameters
    ----------
    limit_kg_m2 : float
        The densest that is still allowed. [kg/m²]
    mass_g_by_day : mapping of date to float
        Expected mean weight of a bird on each day, in any order. [g]
    birds : int
        Birds in the pen.
    floor_m2 : float
        Free floor, greater than 0. [m²]

    Returns
    -------
    datetime.date or None
        None when the limit holds on every day given.
    """
    over = (
        day
        for day, mass_g in mass_g_by_day.items()
        if density_kg_m2(birds, mass_g, floor_m2) > limit_kg_m2
    )
    return min(over, default=None)
