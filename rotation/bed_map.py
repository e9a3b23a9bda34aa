"""The garden's map to scale, as the values of a drawing: rulers, beds, birds, rest and ways.

PURE. The drawing is `WIDTH` units wide; positions come in metres and leave in whole units. What a
bed is too small to say, the list beside the map says.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, hypot

from garden.layout import turned
from rotation.ground_days import Use
from rotation.map_beds import DrawnBed, MapBed, draw_bed
from rotation.map_words import Box

WIDTH = 660
"""Units across the drawing, rulers included."""
TALLEST = 1400
"""Units a garden may take downwards before it is drawn smaller: about two phone screens."""
FINEST, COARSEST = 120.0, 1.0
"""Units for a metre at most (a lone bed need not fill the page) and at least."""

_RULER, _LEFT, _TOP, _AROUND = 24, 64, 78, 30
_BELOW = 74
_FOOT_M = 0.3048
_SHORTEST_WAY = 26
_LAST_TICK = 14
"""Left free at a ruler's end, so that its last figure is not cut."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A tick of a ruler by how far along it lies; `text` only where it is numbered."""

    at: int
    text: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """The straight way that a pen is carried, edge to edge."""

    x1: int
    y1: int
    x2: int
    y2: int


@dataclass(frozen=True, slots=True)
class BedMap:
    """The whole drawing."""

    width: int
    height: int
    across: Box
    down: Box
    across_ticks: tuple[Tick, ...]
    down_ticks: tuple[Tick, ...]
    beds: tuple[DrawnBed, ...]
    ways: tuple[Way, ...]
    north: tuple[int, int]
    """The tail of the north arrow."""
    per_m: float
    """Units for a metre."""
    corner: tuple[float, float]
    """Where the map's own north-west corner lies on the drawing."""


def bed_marks(names: Sequence[str]) -> list[str]:
    """Return a short mark for each bed: the last word of its name, or else its number in the list.

    Last words serve where all of them are short and differ, as in "Bed 1", "Bed 2", "Bed 3".
    """
    last_words = [name.split()[-1] if name.split() else "" for name in names]
    if all(0 < len(word) <= 3 for word in last_words) and len(set(last_words)) == len(names):
        return last_words
    return [str(number) for number in range(1, len(names) + 1)]


def bed_map(
    beds: Sequence[MapBed], *, in_feet: bool = False, room_m: float | None = None
) -> BedMap | None:
    """Draw the beds to scale.

    Parameters
    ----------
    beds : sequence of MapBed
        With their places on the map.
    in_feet : bool, default False
        Whether the rulers count feet; metres otherwise.
    room_m : float, optional
        Ground to show beyond the last beds, east and south, with all from the map's own corner on; without
        it the drawing begins and ends with the beds. [m]

    Returns
    -------
    BedMap or None
        None for a garden without beds.
    """
    if not beds:
        return None
    frame = _frame(beds, room_m)
    drawn = tuple(draw_bed(bed, frame.box(bed)) for bed in beds)
    height = frame.height + _BELOW
    across = Box(_LEFT, 14, WIDTH - _LEFT - 16, _RULER)
    down = Box(14, _TOP, _RULER, frame.height - _TOP)
    unit = frame.per_m * (_FOOT_M if in_feet else 1.0)
    symbol = "ft" if in_feet else "m"
    return BedMap(
        width=WIDTH,
        height=height,
        across=across,
        down=down,
        across_ticks=_ticks(across.width, unit, symbol),
        down_ticks=_ticks(down.height, unit, symbol),
        beds=drawn,
        ways=tuple(_ways(drawn, beds)),
        north=(WIDTH - 46, height - 30),
        per_m=frame.per_m,
        corner=frame.corner,
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    """How metres become units."""

    west_m: float
    north_m: float
    per_m: float
    height: int

    @property
    def corner(self) -> tuple[float, float]:
        return (
            round(_LEFT + _AROUND - self.west_m * self.per_m, 2),
            round(_TOP + _AROUND - self.north_m * self.per_m, 2),
        )

    def box(self, bed: MapBed) -> Box:
        return Box(
            round(_LEFT + _AROUND + (bed.x_m - self.west_m) * self.per_m),
            round(_TOP + _AROUND + (bed.y_m - self.north_m) * self.per_m),
            max(2, round(bed.plot.east_m * self.per_m)),
            max(2, round(bed.plot.south_m * self.per_m)),
        )


def _frame(beds: Sequence[MapBed], room_m: float | None) -> _Frame:
    grounds = [bed.reach for bed in beds]
    west_m, north_m = min(one.x_m for one in grounds), min(one.y_m for one in grounds)
    east_m, south_m = max(one.right_m for one in grounds), max(one.bottom_m for one in grounds)
    if room_m is not None:
        west_m, north_m = min(0.0, west_m), min(0.0, north_m)
        east_m, south_m = east_m + room_m, south_m + room_m
    wide_m, deep_m = east_m - west_m, south_m - north_m
    room_across = WIDTH - _LEFT - 2 * _AROUND - 16
    per_m = min(FINEST, room_across / wide_m, (TALLEST - _TOP - 2 * _AROUND) / deep_m)
    per_m = max(COARSEST, per_m)
    return _Frame(west_m, north_m, per_m, ceil(_TOP + 2 * _AROUND + deep_m * per_m))


def _ticks(length: float, unit: float, symbol: str) -> tuple[Tick, ...]:
    """Number so many units of length that figures stand clear, with five ticks between two."""
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100, 200, 500, 5000) if step * unit >= 76)
    small = step * unit / 5
    return tuple(
        Tick(round(number * small), f"{number // 5 * step} {symbol}" if number % 5 == 0 else "")
        for number in range(1, int((length - _LAST_TICK) / small) + 1)
    )


def _ways(drawn: Sequence[DrawnBed], beds: Sequence[MapBed]) -> Iterable[Way]:
    """Yield the way from where each pen stands to where it goes next, if long enough to show."""
    here: dict[str, tuple[Box, DrawnBed]] = {}
    there: dict[str, tuple[Box, DrawnBed]] = {}
    for drawing, bed in zip(drawn, beds, strict=True):
        for part, shape in zip(bed.parts, drawing.parts, strict=True):
            if part.use is Use.STOOD:
                here[part.pen] = shape.box, drawing
            elif part.use is Use.STAY:
                there[part.pen] = shape.box, drawing
    for pen, goal in there.items():
        if pen in here and (way := _edge_to_edge(here[pen], goal)):
            yield way


def _edge_to_edge(start: tuple[Box, DrawnBed], goal: tuple[Box, DrawnBed]) -> Way | None:
    (x1, y1), (x2, y2) = (
        turned(box.middle, bed.box.middle, bed.turned_deg) for box, bed in (start, goal)
    )
    length = hypot(x2 - x1, y2 - y1)
    leaves, arrives = _leaves_at(*start, x2 - x1, y2 - y1), _leaves_at(*goal, x1 - x2, y1 - y2)
    if (1 - leaves - arrives) * length < _SHORTEST_WAY:
        return None
    return Way(
        round(x1 + leaves * (x2 - x1)),
        round(y1 + leaves * (y2 - y1)),
        round(x2 - arrives * (x2 - x1)),
        round(y2 - arrives * (y2 - y1)),
    )


def _leaves_at(box: Box, bed: DrawnBed, dx: float, dy: float) -> float:
    """Return the share of a way, from the middle of a box on a bed, at which it leaves the box."""
    dx, dy = turned((dx, dy), (0.0, 0.0), -bed.turned_deg)
    shares = [
        half / abs(step) for half, step in ((box.width / 2, dx), (box.height / 2, dy)) if step
    ]
    return min(shares, default=1.0)
