"""Charts: one set of numbers for the drawing on the page, its table and the figure to explore.

PURE. A `Chart` holds its series in SI. `garden.chart_drawing.draw` lays it out for a template,
`Chart.table` writes the same numbers as text, and `figure` hands them to Plotly. Colours are names
of the style sheet's custom properties, resolved by the browser, so that day, dark and sun modes
apply everywhere.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from garden.words import decimal_mark
from garden.words import gettext as _

Numbers = Sequence[float]

BAND_OPACITY = {"band-1": 0.25, "band-wide": 0.12}
"""How much of its colour a band shows in Plotly, by its class in the style sheet. A choice."""
BAR_LOOKS = {
    "bar": {"width": 0.5, "marker": {"color": "var(--c3)"}},
    "bar-open": {
        "width": 0.86,
        "marker": {"color": "var(--soft)", "line": {"color": "var(--ink)", "width": 2}},
    },
}
"""Width and colours of bars in Plotly, by their class in the style sheet."""
LINE_LOOKS = {
    "line-1": {"color": "var(--c1)"},
    "line-2": {"color": "var(--c2)", "dash": "dash"},
    "line-3": {"color": "var(--c3)", "dash": "dot"},
    "line-4": {"color": "var(--c4)", "dash": "dashdot"},
}
"""Colours and strokes of lines in Plotly, by their class in the style sheet: told apart without colour too."""


@dataclass(frozen=True, slots=True)
class Band:
    """An interval along x."""

    name: str
    style: str
    x: Numbers
    low: Numbers
    high: Numbers

    @property
    def top(self) -> float:
        """Return the highest figure."""
        return max(self.high)


@dataclass(frozen=True, slots=True)
class Line:
    """A line along x."""

    name: str
    style: str
    x: Numbers
    y: Numbers

    @property
    def top(self) -> float:
        """Return the highest figure."""
        return max(self.y)


@dataclass(frozen=True, slots=True)
class Points:
    """Measured points, each with its spread, which may be nil; `spread` says what that is."""

    name: str
    x: Numbers
    y: Numbers
    low: Numbers
    high: Numbers
    spread: str = ""

    @property
    def top(self) -> float:
        """Return the highest figure."""
        return max(self.high)


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars over whole numbers of x; a later series stands in front of an earlier one."""

    name: str
    style: str
    x: Numbers
    y: Numbers

    @property
    def top(self) -> float:
        """Return the highest figure."""
        return max(self.y)


Series = Band | Line | Points | Bars


@dataclass(frozen=True, slots=True)
class Axis:
    """What an axis counts: `size` is one unit of it in SI."""

    label: str
    size: float = 1.0


@dataclass(frozen=True)
class Chart:
    """Everything that one chart shows.

    Parameters
    ----------
    key : str
        Unique on its page.
    title, says : str
        Its name, and one sentence that tells what can be seen.
    x_axis, y_axis : Axis
        The x axis counts from `x_start`, 0 unless given, in steps of `x_step` up to `x_end`.
    series : sequence of Series
        Drawn in order, later ones on top.
    write_x, write_y : callable
        Write an x and a y, both in SI, for the table and for labels.
    level : (str, float), optional
        Name and y of a dashed line, as a target.
    today : float, optional
        The x of the present day.
    """

    key: str
    title: str
    says: str
    x_axis: Axis
    y_axis: Axis
    x_end: float
    x_step: float
    series: tuple[Series, ...]
    write_x: Callable[[float], str]
    write_y: Callable[[float], str]
    level: tuple[str, float] | None = None
    today: float | None = None
    x_start: float = 0.0
    x_marks: tuple[tuple[float, str], ...] = ()
    """Places on the x axis with their text, where steps of one length do not do, as months."""

    def table(self) -> list[list[str]]:
        """Return the table's rows: the heading, then one for each step of x and measured point.

        The series drawn on top, being the ones to look at first, come first.
        """
        names = (series.name for series in reversed(self.series))
        heading = [self.x_axis.label.capitalize(), *names]
        return [heading, *([self.write_x(x), *self._cells(x)] for x in self._table_x())]

    def _table_x(self) -> list[float]:
        chosen: set[float] = set()
        for series in self.series:
            stepwise = isinstance(series, Band | Line)
            chosen |= {x for x in series.x if not stepwise or self._is_marked(x)}
        return sorted(chosen)

    def _is_marked(self, x: float) -> bool:
        if self.x_marks:
            return any(at == x for at, _ in self.x_marks)
        return x % self.x_step == 0

    def _cells(self, x: float) -> Iterable[str]:
        for series in reversed(self.series):
            yield (
                "; ".join(self._cell(series, entry) for entry, at in enumerate(series.x) if at == x)
                or "–"
            )

    def _cell(self, series: Series, entry: int) -> str:
        if isinstance(series, Band):
            return _("{low} to {high}").format(
                low=self.write_y(series.low[entry]), high=self.write_y(series.high[entry])
            )
        return self.write_y(series.y[entry])

    def y_top(self) -> float:
        """Return the y that must fit on the chart [SI]."""
        tops = [series.top for series in self.series if len(series.x)]
        return max([*tops, self.level[1] if self.level else 0.0, self.y_axis.size / 10])

    def y_bottom(self) -> float:
        """Return the lowest y that must fit on the chart, at most 0 [SI]."""
        lows = (
            low
            for series in self.series
            for low in (series.low if isinstance(series, Band) else getattr(series, "y", ()))
        )
        return min(0.0, *lows, 0.0)


def figure(chart: Chart) -> dict[str, object]:
    """Return the chart as a Plotly figure of plain lists.

    Colours are ``var(--name)`` or ``var(--name, opacity)``, for the page's script to resolve.
    """
    drawn = go.Figure(layout=_layout(chart))
    for series in chart.series:
        drawn.add_traces(_traces(series, chart.y_axis.size))
    if chart.level:
        name, y = chart.level
        drawn.add_hline(
            y / chart.y_axis.size,
            line_dash="dash",
            line_color="var(--c4)",
            annotation_text=name,
            annotation_position="top left",
        )
    if chart.today is not None:
        drawn.add_vline(
            chart.today,
            line_color="var(--tape)",
            line_width=4,
            layer="below",
            annotation_text=_("today"),
        )
    return drawn.to_dict()


def _layout(chart: Chart) -> dict[str, object]:
    axis = {"gridcolor": "var(--line)", "linecolor": "var(--ink)", "zeroline": False}
    has_bars = any(isinstance(series, Bars) for series in chart.series)
    # A bar stands over its number, so the axis begins and ends half a step outside of them.
    margin = chart.x_step / 2 if has_bars else 0.0
    x_start = chart.x_step - margin if has_bars else chart.x_start
    return {
        "template": "none",
        "separators": f"{decimal_mark()} ",
        "paper_bgcolor": "var(--card)",
        "plot_bgcolor": "var(--card)",
        "font": {"color": "var(--ink)", "family": "system-ui, sans-serif", "size": 16},
        "margin": {"l": 56, "r": 16, "t": 16, "b": 56},
        "legend": {"orientation": "h", "y": 1.02, "yanchor": "bottom"},
        "barmode": "overlay",
        "hovermode": "x unified",
        "hoverlabel": {"bgcolor": "var(--card)"},
        "xaxis": axis
        | {
            "title": {"text": chart.x_axis.label},
            **_plotly_ticks(chart),
            "range": [x_start, chart.x_end + margin],
            "showgrid": False,
        },
        "yaxis": axis | {"title": {"text": chart.y_axis.label}, "rangemode": "tozero"},
    }


def _plotly_ticks(chart: Chart) -> dict[str, object]:
    if not chart.x_marks:
        return {"dtick": chart.x_step}
    at, text = zip(*chart.x_marks, strict=True)
    return {"tickvals": list(at), "ticktext": list(text)}


def _traces(series: Series, size: float) -> list[go.Scatter | go.Bar]:
    x = [float(at) for at in series.x]
    if isinstance(series, Band):
        return _band_traces(series, x, size)
    y = _in(size, series.y)
    if isinstance(series, Bars):
        return [go.Bar(x=x, y=y, name=series.name, **BAR_LOOKS[series.style])]
    if isinstance(series, Line):
        look = LINE_LOOKS[series.style]
        return [go.Scatter(x=x, y=y, name=series.name, mode="lines", line=look)]
    spread = {
        "array": _in(size, [high - y for high, y in zip(series.high, series.y, strict=True)]),
        "arrayminus": _in(size, [y - low for low, y in zip(series.low, series.y, strict=True)]),
    }
    marker = {"color": "var(--c2)", "size": 11}
    return [go.Scatter(x=x, y=y, name=series.name, mode="markers", marker=marker, error_y=spread)]


def _band_traces(band: Band, x: list[float], size: float) -> list[go.Scatter]:
    edge = {"x": x, "mode": "lines", "line_width": 0, "legendgroup": band.name}
    high, low = _in(size, band.high), _in(size, band.low)
    fill = f"var(--c1, {BAND_OPACITY[band.style]})"
    told = {"customdata": high, "hovertemplate": _("%{y:.2f} to %{customdata:.2f}")}
    return [
        go.Scatter(y=high, showlegend=False, hoverinfo="skip", **edge),
        go.Scatter(y=low, name=band.name, fill="tonexty", fillcolor=fill, **told, **edge),
    ]


def _in(size: float, values: Iterable[float]) -> list[float]:
    return [round(float(value) / size, 4) for value in values]
