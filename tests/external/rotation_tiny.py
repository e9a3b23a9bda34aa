"""Tiny rotation problems of many kinds, drawn at random for an exhaustive search."""

from random import Random
from typing import Any

from hypothesis import strategies as st

from tests.external.rotation_brute_force import Document, keeps_shared_rules, routes_of

QUARTERS_G = st.integers(0, 12).map(lambda n: n / 4)
TENTHS_G = st.integers(0, 30).map(lambda n: n / 10)
"""Sums of tenths are not exact in binary: rooms that are hit exactly are hit with noise."""


def _costs(**fixed: float) -> st.SearchStrategy[dict[str, float]]:
    drawn = {
        "move": st.sampled_from([0.0, 1.0, 10.0]),
        "carry_per_metre": st.sampled_from([0.0, 0.5, 2.0]),
        "off_bed_day": st.sampled_from([0.0, 4.0, 20.0]),
        "wanted_nitrogen_per_gram": st.sampled_from([0.0, 0.5, 3.0]),
        "changed_day": st.sampled_from([0.0, 2.0, 15.0]),
    }
    return st.fixed_dictionaries(drawn | {name: st.just(price) for name, price in fixed.items()})


@st.composite
def _rules(draw: st.DrawFn, shortest: int, longest: int, rest: int) -> dict[str, int]:
    least = draw(st.integers(1, shortest))
    return {
        "min_stay_days": least,
        "max_stay_days": draw(st.integers(least, longest)),
        "rest_days": draw(st.integers(0, rest)),
    }


@st.composite
def _windows(draw: st.DrawFn, days: int, most_g: int = 8) -> list[Document]:
    cuts = sorted(draw(st.sets(st.integers(0, days), min_size=2, max_size=4)))
    return [
        {
            "first_day": first,
            "end_day": end,
            "nitrogen_room_g": draw(st.integers(0, most_g)) * 1.0,
            "nitrogen_wanted_g": draw(st.integers(0, most_g)) * 1.0,
        }
        for first, end in zip(cuts[::2], cuts[1::2], strict=False)
    ]


def _wide(days: int) -> st.SearchStrategy[list[Document]]:
    """One window over all days with room for anything."""
    window = {"first_day": 0, "end_day": days, "nitrogen_room_g": 99.0, "nitrogen_wanted_g": 5.0}
    return st.just([window])


@st.composite
def _spots(draw: st.DrawFn, most: int, windows: st.SearchStrategy[Any]) -> list[Document]:
    return [
        {
            "id": f"spot-{number}",
            "x_m": draw(st.integers(0, 4)) * 1.0,
            "y_m": draw(st.integers(0, 3)) * 1.0,
            "nitrogen_room_g": draw(st.integers(0, 12)) * 1.0,
            "windows": draw(windows),
        }
        for number in range(draw(st.integers(1, most)))
    ]


@st.composite
def _run(
    draw: st.DrawFn,
    number: int,
    days: int,
    spots: list[Document],
    lengths: tuple[int, int],
    grams: st.SearchStrategy[float] = QUARTERS_G,
) -> Document:
    length = draw(st.integers(*lengths))
    names = [spot["id"] for spot in spots]
    return {
        "id": f"run-{number}",
        "first_day": draw(st.integers(0, days - length)),
        "nitrogen_g": [draw(grams) for _ in range(length)],
        "spots": draw(st.lists(st.sampled_from(names), unique=True, max_size=len(names))),
        "starts_on": None,
        "stood_days": 0,
        "pinned": [],
        "announced": [],
    }


@st.composite
def _lived(draw: st.DrawFn, run: Document, spots: list[Document]) -> Document:
    """Let a run stand somewhere already and have been told something, or not."""
    names = st.sampled_from([spot["id"] for spot in spots])
    first_day, length = run["first_day"], len(run["nitrogen_g"])
    starts_on = draw(st.none() | names)
    cuts = sorted(draw(st.sets(st.integers(0, length), max_size=4)))
    return run | {
        "starts_on": starts_on,
        "stood_days": draw(st.integers(0, 3)) if starts_on else 0,
        "announced": [
            {"spot": draw(names), "first_day": first_day + start, "end_day": first_day + end}
            for start, end in zip(cuts[::2], cuts[1::2], strict=False)
        ],
    }


def _document(
    days: int, rules: Document, costs: Document, spots: list[Document], runs: list[Document]
) -> Document:
    return {
        "format": "rotation-problem/1",
        "days": days,
        "rules": rules,
        "costs": costs,
        "spots": spots,
        "runs": runs,
    }


@st.composite
def mixed(draw: st.DrawFn) -> Document:
    """One or two short runs with everything that a document may say, pins in half of them."""
    days = draw(st.integers(5, 7))
    spots = draw(_spots(3, _windows(days)))
    count = draw(st.integers(1, 2))
    runs = [draw(_lived(draw(_run(n, days, spots, (1, 5))), spots)) for n in range(count)]
    document = _document(days, draw(_rules(2, 4, 4)), draw(_costs()), spots, runs)
    return draw(_pinned(document)) if draw(st.booleans()) else document


@st.composite
def returning(draw: st.DrawFn) -> Document:
    """One run longer than stay and rest together, which may come back to a spot it has left."""
    spots = draw(_spots(2, _wide(8) | _windows(8, 20)))
    run = draw(_run(0, 8, spots, (6, 7))) | {"spots": [spot["id"] for spot in spots]}
    rules = draw(_rules(1, 3, 2))
    return _document(8, rules, draw(_costs(off_bed_day=20.0)), spots, [run])


@st.composite
def crowded(draw: st.DrawFn) -> Document:
    """Three short runs at once on one or two spots."""
    spots = draw(_spots(2, _wide(5)))
    runs = [draw(_run(number, 5, spots, (2, 3))) for number in range(3)]
    return _document(5, draw(_rules(1, 3, 3)), draw(_costs(off_bed_day=20.0)), spots, runs)


@st.composite
def brimming(draw: st.DrawFn) -> Document:
    """Rooms and wants that are hit exactly by some days of the run, but for binary noise."""
    spots = draw(_spots(2, _windows(7)))
    run = draw(_run(0, 7, spots, (4, 6), TENTHS_G)) | {"spots": [spot["id"] for spot in spots]}
    length = len(run["nitrogen_g"])
    for place in (window for spot in spots for window in [*spot["windows"], spot]):
        for amount in {"nitrogen_room_g", "nitrogen_wanted_g"} & set(place):
            start, end = sorted(draw(st.tuples(*[st.integers(0, length)] * 2)))
            # a decimal sum and not the sum of the floats, as a grower would write it down
            place[amount] = round(sum(run["nitrogen_g"][start:end]), 1)
    return _document(7, draw(_rules(2, 4, 3)), draw(_costs()), spots, [run])


@st.composite
def even(draw: st.DrawFn) -> Document:
    """Everything alike and in one place, birds that drop nothing: plans of one cost abound."""
    spots = draw(_spots(3, _wide(6)))
    for spot in spots:
        spot |= {"x_m": 0.0, "y_m": 0.0}
    names = [spot["id"] for spot in spots]
    runs = [
        draw(_run(number, 6, spots, (3, 4), st.just(0.0))) | {"spots": names}
        for number in range(draw(st.integers(1, 2)))
    ]
    costs = draw(_costs(move=1.0, off_bed_day=4.0))
    return _document(6, draw(_rules(2, 3, 3)), costs, spots, runs)


@st.composite
def lived_in(draw: st.DrawFn) -> Document:
    """Pens that stand somewhere already, long stays, and plans that were told."""
    spots = draw(_spots(2, _wide(7) | _windows(7, 20)))
    runs = [draw(_lived(draw(_run(n, 7, spots, (3, 5))), spots)) for n in range(2)]
    rules = draw(_rules(3, 4, 2))
    return _document(7, rules, draw(_costs(changed_day=15.0)), spots, runs)


@st.composite
def _pinned(draw: st.DrawFn, document: Document) -> Document:
    """Pin one or two stays of a route that some run could take alone."""
    random: Random = draw(st.randoms(use_true_random=False))
    index = random.randrange(len(document["runs"]))
    plan: list[Any] = [[] for _ in document["runs"]]
    lone = []
    for route in routes_of(document, document["runs"][index]):
        plan[index] = route
        if route and keeps_shared_rules(document, plan):
            lone.append(route)
    if lone:
        route = random.choice(lone)
        document["runs"][index]["pinned"] = [
            {"spot": spot, "first_day": first_day, "end_day": end_day}
            for spot, first_day, end_day in random.sample(route, min(len(route), 2))
        ]
    return document


@st.composite
def pinned(draw: st.DrawFn) -> Document:
    """Two runs on the same spots, one of them held by pins."""
    spots = draw(_spots(2, _wide(7) | _windows(7, 20)))
    runs = [draw(_run(number, 7, spots, (3, 5))) for number in range(2)]
    return draw(_pinned(_document(7, draw(_rules(2, 4, 2)), draw(_costs()), spots, runs)))


@st.composite
def larger(draw: st.DrawFn) -> Document:
    """Two or three runs of a week on four spots: too many plans to try them all."""
    spots = draw(_spots(4, _windows(14, 20)))
    count = draw(st.integers(2, 3))
    runs = [draw(_lived(draw(_run(n, 14, spots, (5, 8))), spots)) for n in range(count)]
    return _document(14, draw(_rules(2, 4, 5)), draw(_costs(off_bed_day=20.0)), spots, runs)
