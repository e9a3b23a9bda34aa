"""The scores of a backtest as a Markdown table.

PURE.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from statistics import fmean

from flocks.backtest.baselines import BASELINES
from flocks.backtest.judging import LEVELS, Case, FeedCase

HEAD = (
    "forecast",
    "n",
    "error",
    *BASELINES,
    "date off",
    *(f"{100 * level:.0f} % holds" for level in LEVELS),
)

SPANS = (
    ("weighed to day 5-10, up to 2 weeks ahead", (5, 10), (1, 14)),
    ("weighed to day 5-10, 3 to 4 weeks ahead", (5, 10), (15, 30)),
    ("weighed to day 14-17, up to 2 weeks ahead", (14, 17), (1, 14)),
    ("weighed to day 14-17, 3 to 4 weeks ahead", (14, 17), (15, 30)),
    ("weighed to day 21-22, up to 3 weeks ahead", (20, 24), (1, 21)),
    ("weighed to day 28, 2 weeks ahead", (26, 30), (1, 16)),
    ("weighed to day 40-56, 2 weeks ahead", (40, 56), (1, 16)),
)
"""Rows by the age at the last weighing and by how far ahead, both in days."""


WEIGHED_TO = ((14, 17), (20, 24), (26, 30))
"""Ages at the last weighing before day 35 that are told apart [day]."""


def to_one_day(cases: Sequence[Case], how: str) -> list[list[str]]:
    """Return a row for each of `WEIGHED_TO`, of forecasts to one day; `how` says what was weighed."""
    rows = []
    for youngest, oldest in WEIGHED_TO:
        chosen = [case for case in cases if youngest <= case.last_age <= oldest]
        if chosen:
            days = sorted({case.last_age for case in chosen})
            span = "-".join(dict.fromkeys((str(days[0]), str(days[-1]))))
            rows.append(
                row(f"weighed to day {span}, forecast to day {chosen[0].age}, {how}", chosen)
            )
    return rows


def by_span(cases: Sequence[Case]) -> list[list[str]]:
    """Return a row of the table for each of `SPANS` that has cases."""
    rows = []
    for name, (youngest, oldest), (nearest, farthest) in SPANS:
        chosen = [
            case
            for case in cases
            if youngest <= case.last_age <= oldest
            and nearest <= case.age - case.last_age <= farthest
        ]
        if chosen:
            rows.append(row(name, chosen))
    return rows


def row(name: str, cases: Sequence[Case]) -> list[str]:
    """Return one row: errors in per cent, dates in days, how often each interval holds the truth."""
    guessed = [
        _percent(fmean(abs(case.guesses_g[base] / case.truth_g - 1.0) for case in cases))
        if cases[0].guesses_g
        else ""
        for base in BASELINES
    ]
    dated = cases[0].guesses_g
    date_off = f"{fmean(abs(case.date_off_days) for case in cases):.1f} d" if dated else ""
    return [
        name,
        str(len(cases)),
        _percent(fmean(c.error for c in cases)),
        *guessed,
        date_off,
        *_held(cases),
    ]


def feed_row(name: str, cases: Sequence[FeedCase]) -> list[str]:
    """Return one row about feed."""
    error = _percent(fmean(case.error for case in cases))
    return [name, str(len(cases)), error, *[""] * len(BASELINES), "", *_held(cases)]


def markdown(rows: Iterable[Sequence[str]]) -> str:
    """Return the table with its head."""
    lines = [HEAD, ["---", *["--:"] * (len(HEAD) - 1)], *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _held(cases: Sequence[Case] | Sequence[FeedCase]) -> list[str]:
    return [f"{100 * fmean(case.held(level) for case in cases):.0f} %" for level in LEVELS]


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %" if share < 1.0 else f"{100 * share:.0f} %"
