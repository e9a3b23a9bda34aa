"""Where pens of one size may stand, day by day: beds, crops and earlier stays turned into the engine's spots.

A bed is divided into the places that a pen of this size finds on it. A place is open where no crop stands,
where the harvest interval of every later crop still holds, and where no other pen has stood within the
rest; its room for nitrogen is the garden's policy for its own area, less what earlier stays dropped on it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache

from garden.bed_soil import UNKNOWN_SOIL, BedSoil
from garden.harvest_interval import BedWindow, PlantingDates, windows
from garden.layout import turned
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
from rotation.ground_days import Closed
from rotation.stretches import SAME_PLACE_MM, Occupied, Stretch


@dataclass(frozen=True)
class BedFacts:
    """A bed with all its plantings and closures, past ones included."""

    bed: Bed
    plantings: tuple[PlantingDates, ...]
    closures: tuple[Closed, ...] = ()
    soil: BedSoil = UNKNOWN_SOIL

    def is_closed(self, on: date) -> bool:
        """Say whether the grower has taken the bed out of use on a day."""
        return any(closed.first_day <= on < closed.end_day for closed in self.closures)


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


_fit = lru_cache(maxsize=1024)(fit_pen)
"""Gardens have beds and pens of few sizes, and a page asks for every stay."""


def stretches(bed: Bed, pen: Pen, garden: Garden) -> list[Stretch]:
    """Return the places that a pen finds on a bed, in order along it."""
    fit = _fit(
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
    east_m, south_m = (along_m, across_m) if bed.lies_across else (across_m, along_m)
    place = (bed.x_m + east_m, bed.y_m + south_m)
    if not bed.turned_deg:
        return place
    length_m = bed.length_mm / 2000
    half = (length_m, across_m) if bed.lies_across else (across_m, length_m)
    return turned(place, (bed.x_m + half[0], bed.y_m + half[1]), bed.turned_deg)


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
    droppings += facts.soil.changes_on(area_m2)
    keeping_away = [stay for stay in resting if stretch.overlaps(stay.stretch)]
    groups = _open_windows(facts, garden, area_m2, droppings, horizon, keeping_away)
    x_m, y_m = centre_m(facts.bed, stretch)
    # Where a crop's need makes the room, it is one however many parts its window is cut into.
    together = sum if _by_year(facts, garden) else max
    room_g = sum(together(part.nitrogen_room_g for part in group) for group in groups)
    if garden.nitrogen_policy != RoomRule.CROP_NEED or not facts.bed.grows_crops:
        room_g = min(room_g, _year_room_g(area_m2, garden, droppings, horizon.first_day))
    return Spot(name, x_m, y_m, room_g, tuple(part for group in groups for part in group))


def _by_year(facts: BedFacts, garden: Garden) -> bool:
    """Whether a year's limit alone makes the room, so that windows do not share one."""
    return garden.nitrogen_policy == RoomRule.ANNUAL_LIMIT or not facts.bed.grows_crops


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


def _open_windows(
    facts: BedFacts,
    garden: Garden,
    area_m2: float,
    droppings: Sequence[Dropping],
    horizon: Horizon,
    keeping_away: Sequence[Occupied],
) -> list[list[Window]]:
    """Return the engine's windows in groups, one group for what is left of each window between crops.

    Where the next crop's need makes the room, it is one room for the whole window. The engine can hold
    several parts to one room only by the spot's own, so where there are windows before several crops each
    keeps its longest part only; and only that part is told what the crop wants.
    """
    cut = [
        (window, _open_parts(window, keeping_away, facts, garden))
        for window in _crop_windows(facts, garden, horizon)
    ]
    lasting = [(window, spans) for window, spans in cut if spans]
    only_longest = len(lasting) > 1 and not _by_year(facts, garden)
    groups = []
    for window, spans in lasting:
        longest = min(spans, key=lambda span: span[0] - span[1])
        groups.append([])
        for span in [longest] if only_longest else spans:
            part = _engine_window(window, span, facts, garden, area_m2, droppings, horizon)
            wanted_g = part.nitrogen_wanted_g if span == longest else 0.0
            groups[-1].append(replace(part, nitrogen_wanted_g=wanted_g))
    return groups


def _open_parts(
    window: BedWindow, stays: Iterable[Occupied], facts: BedFacts, garden: Garden
) -> list[tuple[date, date]]:
    """Return the parts of a window that closures and the rest around other stays leave open."""
    rest = timedelta(days=garden.rest_days)
    shut = [
        *((stay.first_day - rest, stay.end_day + rest) for stay in stays),
        *((closed.first_day, closed.end_day) for closed in facts.closures),
    ]
    parts, free_from = [], window.first_day
    for first_day, end_day in sorted(shut):
        parts.append((free_from, min(first_day, window.end_day)))
        free_from = max(free_from, end_day)
    parts.append((free_from, window.end_day))
    return [part for part in parts if part[0] < part[1]]


def _shut_from(window: BedWindow, garden: Garden) -> date:
    """Return the day on which a crop ends a window, also where the days planned for end before it does."""
    if window.shut_by:
        return window.end_day
    return window.next_crop.shut_from(garden.bird_day_rule()) if window.next_crop else date.max


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
    shut_from = _shut_from(window, garden)
    for_crop = (d for d in droppings if d.for_crop and crop_ended <= d.day < shut_from)
    for_crop_g = max(0.0, sum(dropping.nitrogen_g for dropping in for_crop))
    wanted_g = nitrogen_wanted_g(
        area_m2,
        policy,
        need_kg_ha=window.next_crop.nitrogen_kg_ha if window.next_crop else None,
        soil_supply_kg_ha=garden.soil_nitrogen_kg_ha + facts.soil.supply_kg_ha,
        dropped_for_crop_g=for_crop_g,
    )
    crop_name = window.next_crop.crop_name if window.next_crop else None
    cap_g = facts.soil.room_by_phosphorus_g(area_m2, crop_name, for_crop_g)
    wanted_g = min(wanted_g, cap_g)
    room_g = _year_room_g(area_m2, garden, droppings, first_day)
    if window.next_crop and garden.nitrogen_policy != RoomRule.ANNUAL_LIMIT:
        by_need = garden.nitrogen_policy == RoomRule.CROP_NEED
        room_g = wanted_g if by_need else min(wanted_g, room_g)
    room_g = min(room_g, cap_g)
    return Window(horizon.index(first_day), horizon.index(span[1]), room_g, wanted_g)
