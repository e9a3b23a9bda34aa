"""Where pens of one size may stand, day by day: beds, crops and earlier stays turned into the engine's spots.

A bed is divided into the places that a pen of this size finds on it. A place is open where no crop stands,
where the harvest interval of every later crop still holds, and where no other pen has stood within the
rest; its room for nitrogen is the garden's policy for its own area, less what earlier stays dropped on it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf

from garden.harvest_interval import BedWindow, PlantingDates, windows
from garden.models import Bed, Garden
from garden.nutrients import (
    Dropping,
    RoomRule,
    annual_room_g,
    dropped_last_365_days_g,
    nitrogen_wanted_g,
)
from pens.fit import fit_pen
from pens.models import Pen
from rotation.engine.problem import Spot, Window

SAME_PLACE_MM = 5.0
"""Stretches that share less than this along a bed do not share ground. Our choice."""


@dataclass(frozen=True)
class Stretch:
    """A part of a bed's length [mm]; pens on the same part are taken to share ground."""

    bed_id: int
    offset_mm: float
    length_mm: float
    across_mm: float = inf
    """How much of the bed's width the pen covers, clearances included; droppings lie on that only."""

    @property
    def id(self) -> str:
        """The engine's name of a spot here."""
        return f"bed-{self.bed_id}/{self.offset_mm:.0f}+{self.length_mm:.0f}"

    def shared_mm(self, other: "Stretch") -> float:
        """Return the length of ground that both cover [mm]."""
        if self.bed_id != other.bed_id:
            return 0.0
        end_mm = min(self.offset_mm + self.length_mm, other.offset_mm + other.length_mm)
        return max(0.0, end_mm - max(self.offset_mm, other.offset_mm))

    def share_of(self, other: "Stretch") -> float:
        """Return the share of another stretch that lies on this one [1]."""
        return self.shared_mm(other) / other.length_mm if other.length_mm else 0.0

    def overlaps(self, other: "Stretch") -> bool:
        """Say whether pens on both would touch the same ground."""
        return self.shared_mm(other) > SAME_PLACE_MM


@dataclass(frozen=True)
class Occupied:
    """A pen on a stretch on ``[first_day, end_day)``, past or already decided, and what it drops there [g]."""

    stretch: Stretch
    first_day: date
    end_day: date
    nitrogen_g: float


@dataclass(frozen=True)
class BedFacts:
    """A bed with all its plantings, past ones included."""

    bed: Bed
    plantings: tuple[PlantingDates, ...]


@dataclass(frozen=True)
class Horizon:
    """The days planned for: `days` of them from `first_day`."""

    first_day: date
    days: int

    @property
    def end_day(self) -> date:
        """The first day beyond."""
        return self.first_day + timedelta(days=self.days)

    def index(self, day: date) -> int:
        """Return the engine's number of a day, cut to the horizon."""
        return min(max((day - self.first_day).days, 0), self.days)


def stretches(bed: Bed, pen: Pen, garden: Garden) -> list[Stretch]:
    """Return the places that a pen finds on a bed, in order along it."""
    fit = fit_pen(
        bed.length_mm, bed.width_mm, pen.length_mm, pen.width_mm, garden.clearance_mm, bed.kind
    )
    clear_mm = 2 * garden.clearance_mm
    return [
        Stretch(
            bed.pk,
            place.offset_mm,
            place.length_mm,
            (pen.length_mm if place.turned else pen.width_mm) + clear_mm,
        )
        for place in fit.places
    ]


def place_number(places: Sequence[Stretch], offset_mm: float) -> int | None:
    """Return which of a bed's places begins at an offset, counted from 1; None between two of them."""
    return next(
        (
            number
            for number, place in enumerate(places, 1)
            if abs(place.offset_mm - offset_mm) <= SAME_PLACE_MM
        ),
        None,
    )


def centre_m(bed: Bed, stretch: Stretch) -> tuple[float, float]:
    """Return the middle of a stretch on the garden's map [m east, m south]."""
    along_m = (stretch.offset_mm + stretch.length_mm / 2) / 1000
    across_m = bed.width_mm / 2000
    if bed.lies_across:
        return bed.x_m + along_m, bed.y_m + across_m
    return bed.x_m + across_m, bed.y_m + along_m


def spot(
    facts: BedFacts,
    stretch: Stretch,
    garden: Garden,
    horizon: Horizon,
    *,
    name: str,
    dropped: Iterable[Occupied],
    resting: Iterable[Occupied],
) -> Spot:
    """Return the engine's spot for a stretch.

    Parameters
    ----------
    name : str
        The engine's name of it.
    dropped : iterable of Occupied
        Stays whose droppings lie, or will lie, on the bed.
    resting : iterable of Occupied
        Stays that keep other pens away, rest included; what ends after the horizon may be left out.
    """
    area_m2 = stretch.length_mm * min(stretch.across_mm, facts.bed.width_mm) / 1e6
    droppings = [
        Dropping(stay.end_day - timedelta(days=1), stay.nitrogen_g * stretch.share_of(stay.stretch))
        for stay in dropped
        if stretch.overlaps(stay.stretch)
    ]
    keeping_away = [stay for stay in resting if stretch.overlaps(stay.stretch)]
    open_windows = tuple(
        _engine_window(window, span, facts, garden, area_m2, droppings, horizon)
        for window in _crop_windows(facts, garden, horizon)
        for span in _open_parts(window, keeping_away, facts, garden)
    )
    x_m, y_m = centre_m(facts.bed, stretch)
    room_g = sum(window.nitrogen_room_g for window in open_windows)
    if garden.nitrogen_policy != RoomRule.CROP_NEED or not facts.bed.grows_crops:
        room_g = min(room_g, _year_room_g(area_m2, garden, droppings, horizon.first_day))
    return Spot(name, x_m, y_m, room_g, open_windows)


def open_to_crops(facts: BedFacts, garden: Garden, horizon: Horizon, day: date) -> bool:
    """Say whether crops and their harvest intervals alone leave a bed open to birds on a day."""
    return any(
        window.first_day <= day < window.end_day for window in _crop_windows(facts, garden, horizon)
    )


def _year_room_g(area_m2: float, garden: Garden, droppings: Sequence[Dropping], on: date) -> float:
    decided_g = sum(dropping.nitrogen_g for dropping in droppings if dropping.day > on)
    dropped_g = dropped_last_365_days_g(droppings, on) + decided_g
    return annual_room_g(area_m2, garden.nitrogen_rules(), dropped_last_365_days_g=dropped_g)


def _crop_windows(facts: BedFacts, garden: Garden, horizon: Horizon) -> Iterable[BedWindow]:
    return windows(
        facts.plantings,
        first_day=horizon.first_day,
        end_day=horizon.end_day,
        rule=garden.bird_day_rule(),
    )


def _open_parts(
    window: BedWindow, stays: Iterable[Occupied], facts: BedFacts, garden: Garden
) -> list[tuple[date, date]]:
    """Return the parts of a window that the rest around other stays leaves open.

    Where the next crop's need makes the room, the longest part only: the room is one for the whole window,
    and two parts would each be given all of it. A year's limit is kept by the spot as a whole.
    """
    rest = timedelta(days=garden.rest_days)
    parts, free_from = [], window.first_day
    for stay in sorted(stays, key=lambda stay: stay.first_day):
        parts.append((free_from, min(stay.first_day - rest, window.end_day)))
        free_from = max(free_from, stay.end_day + rest)
    parts.append((free_from, window.end_day))
    lasting = [part for part in parts if part[0] < part[1]]
    if garden.nitrogen_policy == RoomRule.ANNUAL_LIMIT or not facts.bed.grows_crops:
        return lasting
    return sorted(lasting, key=lambda part: part[0] - part[1])[:1]


def _engine_window(
    window: BedWindow,
    span: tuple[date, date],
    facts: BedFacts,
    garden: Garden,
    area_m2: float,
    droppings: Sequence[Dropping],
    horizon: Horizon,
) -> Window:
    policy, first_day = garden.nitrogen_rules(), span[0]
    crop_ended = max(
        (planting.ends_on for planting in facts.plantings if planting.ends_on <= first_day),
        default=date.min,
    )
    # Everything dropped since the last crop counts, also what is decided ahead in the same window.
    for_crop_g = sum(d.nitrogen_g for d in droppings if crop_ended <= d.day < window.end_day)
    wanted_g = nitrogen_wanted_g(
        area_m2,
        policy,
        need_kg_ha=window.next_crop.nitrogen_kg_ha if window.next_crop else None,
        soil_supply_kg_ha=garden.soil_nitrogen_kg_ha,
        dropped_for_crop_g=for_crop_g,
    )
    room_g = _year_room_g(area_m2, garden, droppings, first_day)
    if window.next_crop and garden.nitrogen_policy != RoomRule.ANNUAL_LIMIT:
        by_need = garden.nitrogen_policy == RoomRule.CROP_NEED
        room_g = wanted_g if by_need else min(wanted_g, room_g)
    return Window(horizon.index(first_day), horizon.index(span[1]), room_g, wanted_g)
