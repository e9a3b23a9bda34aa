"""What makes a garden hard to plan, one cause at a time.

A *shape* changes a plain ``rotation-problem/1`` document in place and stays within the format: pins
keep the rules, and what was announced is a plan that kept them before the garden changed.
"""

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Callable
from itertools import accumulate
from math import exp
from random import Random
from typing import Any, NamedTuple

Document = dict[str, Any]


def plain(document: Document, random: Random) -> None:
    """Leave the garden as it is."""


def long_stays(document: Document, random: Random) -> None:
    """Ask for two or three days at least on every spot."""
    document["rules"]["min_stay_days"] = random.randint(2, 3)


def returns(document: Document, random: Random) -> None:
    """Let spots rest for less than a run, so that a run may come back to a spot it has left."""
    document["rules"]["rest_days"] = random.randint(3, 9)


def scarce(document: Document, random: Random) -> None:
    """Leave room for four fifths of the droppings only: off-bed days cannot be avoided."""
    dropped_g = sum(sum(run["nitrogen_g"]) for run in document["runs"])
    room_g = sum(spot["nitrogen_room_g"] for spot in document["spots"])
    _scale_rooms(document["spots"], 0.8 * dropped_g / room_g)


def one_point(document: Document, random: Random) -> None:
    """Put all spots in one place: carrying costs nothing, and plans of one cost abound."""
    for spot in document["spots"]:
        spot["x_m"] = spot["y_m"] = 0.0


def clusters(document: Document, random: Random) -> None:
    """Part the spots into four groups 300 m from one another."""
    for spot in document["spots"]:
        spot["x_m"] += 300.0 * random.randrange(2)
        spot["y_m"] += 300.0 * random.randrange(2)


def unequal(document: Document, random: Random) -> None:
    """Make some spots twenty times as roomy as others."""
    for spot in document["spots"]:
        _scale_rooms([spot], exp(random.uniform(-1.5, 1.5)))


def standing(document: Document, random: Random) -> None:
    """Let every pen stand on a spot of its own already, for one to three days."""
    taken: set[str] = set()
    for run in document["runs"]:
        day = run["first_day"]
        free = [s["id"] for s in document["spots"] if _is_open(s, day) and s["id"] not in taken]
        run["starts_on"] = random.choice(free or run["spots"])
        run["stood_days"] = random.randint(1, 3)
        taken.add(run["starts_on"])


def own_spots(document: Document, random: Random) -> None:
    """Let each run use about half of the spots, others for every run."""
    for run in document["runs"]:
        run["spots"] = [spot for spot in run["spots"] if random.random() < 0.5] or run["spots"][:1]


def mended(document: Document, random: Random) -> None:
    """Announce a plan, then let the birds grow heavier and every tenth bed be planted."""
    for run, stays in zip(document["runs"], _told_plan(document), strict=True):
        run["announced"] = stays
        run["nitrogen_g"] = [round(1.1 * grams, 2) for grams in run["nitrogen_g"]]
    document["costs"]["changed_day"] = 15.0
    for spot in document["spots"]:
        if random.random() < 0.1:
            spot["windows"] = spot["windows"][:-1]


def pinned(document: Document, random: Random) -> None:
    """Hold every run to two stays of a lawful plan."""
    for run, stays in zip(document["runs"], _told_plan(document), strict=True):
        run["pinned"] = random.sample(stays, min(2, len(stays)))


SHAPES: dict[str, Callable[[Document, Random], None]] = {
    shape.__name__: shape
    for shape in (
        *(plain, long_stays, returns, scarce, one_point, clusters, unequal),
        *(standing, own_spots, mended, pinned),
    )
}


def _scale_rooms(spots: list[Document], factor: float) -> None:
    for spot in spots:
        spot["nitrogen_room_g"] = round(factor * spot["nitrogen_room_g"], 1)
        for window in spot["windows"]:
            for amount in ("nitrogen_room_g", "nitrogen_wanted_g"):
                window[amount] = round(factor * window[amount], 1)


def _is_open(spot: Document, day: int) -> bool:
    return any(window["first_day"] <= day < window["end_day"] for window in spot["windows"])


class _Left(NamedTuple):
    """What a greedy plan has left of a garden so far."""

    windows: dict[tuple[str, int], float]
    """Room left by spot and the window's first day [g]."""
    spots: dict[str, float]
    """Room left by spot [g]."""
    visits: dict[str, list[tuple[int, int]]]
    """First day and end day of the stays on each spot, in order."""


def _told_plan(document: Document) -> list[list[Document]]:
    """Return the stays of every run: at each turn the spot that can be stood on the longest."""
    left = _Left(
        {
            (spot["id"], window["first_day"]): window["nitrogen_room_g"]
            for spot in document["spots"]
            for window in spot["windows"]
        },
        {spot["id"]: spot["nitrogen_room_g"] for spot in document["spots"]},
        defaultdict(list),
    )
    return [_told_run(document, run, left) for run in document["runs"]]


def _told_run(document: Document, run: Document, left: _Left) -> list[Document]:
    spots = [spot for spot in document["spots"] if spot["id"] in set(run["spots"])]
    dropped_g = list(accumulate(run["nitrogen_g"], initial=0.0))
    stays: list[Document] = []
    day = 0
    while day < len(run["nitrogen_g"]):
        lengths = [_longest(document, spot, run, day, left) for spot in spots]
        longest = max(lengths)
        if longest:
            spot = spots[lengths.index(longest)]
            first_day = run["first_day"] + day
            end_day = first_day + longest
            stays.append({"spot": spot["id"], "first_day": first_day, "end_day": end_day})
            grams = dropped_g[day + longest] - dropped_g[day]
            left.spots[spot["id"]] -= grams
            left.windows[spot["id"], _window(spot, first_day)["first_day"]] -= grams
            insort(left.visits[spot["id"]], (first_day, end_day))
        day += max(longest, 1)
    return stays


def _window(spot: Document, day: int) -> Document:
    return next(w for w in spot["windows"] if w["first_day"] <= day < w["end_day"])


def _longest(document: Document, spot: Document, run: Document, day: int, left: _Left) -> int:
    """Return the length of the longest lawful stay from a day of the run on, or 0."""
    rules, first_day = document["rules"], run["first_day"] + day
    if not _is_open(spot, first_day):
        return 0
    window = _window(spot, first_day)
    visits = left.visits[spot["id"]]
    later = bisect_left(visits, (first_day, first_day))
    if later and visits[later - 1][1] + rules["rest_days"] > first_day:
        return 0
    ends = [window["end_day"], first_day + rules["max_stay_days"]]
    if later < len(visits):
        ends.append(visits[later][0] - rules["rest_days"])
    room_g = min(left.spots[spot["id"]], left.windows[spot["id"], window["first_day"]])
    longest, grams = 0, 0.0
    for each_g in run["nitrogen_g"][day : max(min(ends) - run["first_day"], day)]:
        grams += each_g
        if grams > room_g:
            break
        longest += 1
    return longest if longest >= rules["min_stay_days"] else 0
