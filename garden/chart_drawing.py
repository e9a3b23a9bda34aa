"""Where each stroke of a chart goes on an SVG of fixed width.

PURE. One template draws what `draw` returns, with classes of the style sheet and no colour of its
own.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, log10

from garden.charts import Band, Bars, Chart, Line, Points

WIDTH, HEIGHT = 720.0, 470.0
"""Size of every drawing, in its own units."""
LEFT, RIGHT, TOP, BOTTOM = 104.0, 692.0, 60.0, 400.0
"""Edges of the plotted area."""
MOST_Y_STEPS = 6
BAR_SHARES = {"bar-open": 0.86, "bar": 0.5}
"""Share of a step of x that a bar fills, by its class: the later stands within the earlier."""
CAP = 9.0
"""Half the width of the stroke that ends a whisker."""
EDGE_ROOM = 50.0
"""Half the width of the word “today” on a phone."""
TEXT_GAP = 8.0
"""Room between a bar and its text."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis with its text; a narrow screen leaves out the text of a `spare` one."""

    at: float
    text: str
    spare: bool


@dataclass(frozen=True, slots=True)
class Stroke:
    """A path with its class."""

    style: str
    path: str


@dataclass(frozen=True, slots=True)
class Spot:
    """The middle of a measured point."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Bar:
    """An upright bar with the text above it, if any."""

    style: str
    x: float
    y: float
    width: float
    height: float
    text: str
    text_y: float

    @property
    def middle(self) -> float:
        """Return the x of the bar's middle."""
        return self.x + self.width / 2


@dataclass(frozen=True)
class Drawing:
    """A chart laid out: everything in the drawing's own units, y downwards."""

    chart: Chart
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    strokes: tuple[Stroke, ...]
    spots: tuple[Spot, ...]
    bars: tuple[Bar, ...]
    level_y: float | None
    today_x: float | None
    today_anchor: str
    """Where the word “today” hangs on its mark, so that it stays on the drawing."""
    left: float = LEFT
    right: float = RIGHT
    top: float = TOP
    width: float = WIDTH
    height: float = HEIGHT
    bottom: float = BOTTOM


@dataclass(frozen=True, slots=True)
class Frame:
    """Turns a chart's figures into places on the drawing."""

    x_start: float
    x_end: float
    y_bottom: float
    y_top: float

    def x(self, value: float) -> float:
        """Return how far from the left edge a value of x lies."""
        share = (value - self.x_start) / (self.x_end - self.x_start)
        return round(LEFT + share * (RIGHT - LEFT), 1)

    def y(self, value: float) -> float:
        """Return how far from the upper edge a value of y [SI] lies."""
        share = (value - self.y_bottom) / (self.y_top - self.y_bottom)
        return round(BOTTOM - share * (BOTTOM - TOP), 1)


def draw(chart: Chart) -> Drawing:
    """Lay out a chart.

    Returns
    -------
    Drawing
        The y axis starts at 0, or at the last tick below what is less, and ends at the first tick above
        everything shown.
    """
    top, bottom = (reach / chart.y_axis.size for reach in (chart.y_top(), chart.y_bottom()))
    step = nice_step(top - bottom)
    first_tick, last_tick = floor(bottom / step + 1e-9), ceil(top / step - 1e-9)
    has_bars = any(isinstance(series, Bars) for series in chart.series)
    # A bar stands over its number, so the axis begins and ends half a step outside of them.
    margin = chart.x_step / 2 if has_bars else 0.0
    start = chart.x_step - margin if has_bars else chart.x_start
    tick = step * chart.y_axis.size
    frame = Frame(start, chart.x_end + margin, first_tick * tick, last_tick * tick)
    today_x = _today(chart, frame)
    return Drawing(
        chart=chart,
        x_ticks=tuple(_x_ticks(chart, frame, has_bars)),
        y_ticks=tuple(
            Tick(frame.y(n * tick), f"{n * step:g}".replace("-", "−"), n % 2 == 1)
            for n in range(first_tick, last_tick + 1)
        ),
        strokes=tuple(_strokes(chart, frame)),
        spots=tuple(
            Spot(frame.x(x), frame.y(y))
            for series in chart.series
            if isinstance(series, Points)
            for x, y in zip(series.x, series.y, strict=True)
        ),
        bars=tuple(_bars(chart, frame)),
        level_y=frame.y(chart.level[1]) if chart.level else None,
        today_x=today_x,
        today_anchor=_anchor(today_x),
    )


def _today(chart: Chart, frame: Frame) -> float | None:
    inside = chart.today is not None and frame.x_start <= chart.today <= frame.x_end
    return frame.x(chart.today) if inside else None


def _anchor(x: float | None) -> str:
    if x is None or LEFT + EDGE_ROOM <= x <= RIGHT - EDGE_ROOM:
        return "middle"
    return "start" if x < WIDTH / 2 else "end"


def _x_ticks(chart: Chart, frame: Frame, has_bars: bool) -> Iterable[Tick]:
    if chart.x_marks:
        yield from (
            Tick(frame.x(at), text, n % 2 == 1) for n, (at, text) in enumerate(chart.x_marks)
        )
        return
    first = 1 if has_bars else ceil(chart.x_start / chart.x_step - 1e-9)
    for n in range(first, int(chart.x_end / chart.x_step + 1e-9) + 1):
        yield Tick(frame.x(n * chart.x_step), f"{n * chart.x_step:g}", (n - first) % 2 == 1)


def _strokes(chart: Chart, frame: Frame) -> Iterable[Stroke]:
    for series in chart.series:
        if not len(series.x):
            continue
        if isinstance(series, Band):
            there = _path(frame, series.x, series.high)
            back = _path(frame, series.x[::-1], series.low[::-1])
            yield Stroke(series.style, f"M{there}L{back}Z")
        elif isinstance(series, Line):
            yield Stroke(series.style, f"M{_path(frame, series.x, series.y)}")
        elif isinstance(series, Points):
            whiskers = (
                _whisker(frame, x, low, high)
                for x, low, high in zip(series.x, series.low, series.high, strict=True)
                if high > low
            )
            yield Stroke("whisker", "".join(whiskers))


def _path(frame: Frame, x: Iterable[float], y: Iterable[float]) -> str:
    return " ".join(f"{frame.x(a):g},{frame.y(b):g}" for a, b in zip(x, y, strict=True))


def _whisker(frame: Frame, x: float, low: float, high: float) -> str:
    middle, upper, lower = frame.x(x), frame.y(high), frame.y(low)
    caps = "".join(f"M{middle - CAP:g} {end:g}H{middle + CAP:g}" for end in (upper, lower))
    return f"M{middle:g} {upper:g}V{lower:g}{caps}"


def _bars(chart: Chart, frame: Frame) -> Iterable[Bar]:
    groups = [series for series in chart.series if isinstance(series, Bars)]
    for number, series in enumerate(groups):
        width = (frame.x(chart.x_step) - frame.x(0)) * BAR_SHARES[series.style]
        in_front = {x for later in groups[number + 1 :] for x in later.x}
        for x, y in zip(series.x, series.y, strict=True):
            tallest = max(_at(group, x) for group in groups)
            yield Bar(
                style=series.style,
                x=round(frame.x(x) - width / 2, 1),
                y=frame.y(y),
                width=round(width, 1),
                height=round(BOTTOM - frame.y(y), 1),
                text="" if x in in_front else _short(y / chart.y_axis.size),
                text_y=frame.y(tallest) - TEXT_GAP,
            )


def _at(series: Bars, x: float) -> float:
    return next((y for at, y in zip(series.x, series.y, strict=True) if at == x), 0.0)


def _short(value: float) -> str:
    return f"{value:.1f}" if value < 9.95 else f"{value:.0f}"


def nice_step(reach: float, most_steps: int = MOST_Y_STEPS) -> float:
    """Return the smallest pleasing step that takes at most `most_steps` to `reach`.

    Steps are 1, 2, 2.5 or 5 times a power of ten.

    Raises
    ------
    ValueError
        When `reach` is not above 0.
    """
    if reach <= 0:
        raise ValueError("reach must be above 0")
    power = 10.0 ** floor(log10(reach / most_steps))
    return next(
        step * power
        for step in (1, 2, 2.5, 5, 10)
        if ceil(reach / (step * power) - 1e-9) <= most_steps
    )
