"""Every plan of a tiny rotation problem, one by one, from the document as the design writes it.

Nothing here shares code with the engine.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from math import hypot
from typing import Any

Document = dict[str, Any]
Route = list[tuple[str, int, int]]
"""The stays of one run in order: spot, first day, end day."""

TOLERANCE_G = 1e-6
"""The format's own: sums of floating-point grams may pass a room by so much."""


def routes_of(document: Document, run: Document) -> Iterator[Route]:
    """Yield every route that a run could take if it were alone, whatever its nitrogen and rest."""
    rules = document["rules"]
    windows = {spot["id"]: spot["windows"] for spot in document["spots"]}
    last = run["first_day"] + len(run["nitrogen_g"])

    def onward(day: int) -> Iterator[Route]:
        if day == last:
            yield []
            return
        yield from onward(day + 1)
        for spot in run["spots"]:
            stood = 0
            if spot == run["starts_on"] and day == run["first_day"]:
                stood = run["stood_days"]
            for end in range(day + 1, last + 1):
                if not rules["min_stay_days"] <= end - day + stood <= rules["max_stay_days"]:
                    continue
                if not any(w["first_day"] <= day and end <= w["end_day"] for w in windows[spot]):
                    continue
                for rest_of_route in onward(end):
                    yield [(spot, day, end), *rest_of_route]

    for route in onward(run["first_day"]):
        pins = [(pin["spot"], pin["first_day"], pin["end_day"]) for pin in run["pinned"]]
        if all(pin in route for pin in pins):
            yield route


def keeps_shared_rules(document: Document, plan: Sequence[Route]) -> bool:
    """Say whether a plan, a route for each run, keeps rest and nitrogen on every spot."""
    rest = document["rules"]["rest_days"]
    for spot in document["spots"]:
        visits = sorted(
            (first, end, _dropped(run, first, end))
            for run, route in zip(document["runs"], plan, strict=True)
            for where, first, end in route
            if where == spot["id"]
        )
        for (_, end, _), (first, _, _) in pairwise(visits):
            if first < end + rest:
                return False
        if sum(grams for _, _, grams in visits) > spot["nitrogen_room_g"] + TOLERANCE_G:
            return False
        for window in spot["windows"]:
            grams = sum(g for a, _, g in visits if window["first_day"] <= a < window["end_day"])
            if grams > window["nitrogen_room_g"] + TOLERANCE_G:
                return False
    return True


def cost_of_plan(document: Document, plan: Sequence[Route]) -> float:
    """Return what a plan costs."""
    costs, total = document["costs"], 0.0
    where = {spot["id"]: (spot["x_m"], spot["y_m"]) for spot in document["spots"]}
    for run, route in zip(document["runs"], plan, strict=True):
        stands = {day: spot for spot, first, end in route for day in range(first, end)}
        for index, (spot, first, _) in enumerate(route):
            free = index == 0 and spot == run["starts_on"] and first == run["first_day"]
            total += 0.0 if free else costs["move"]
            if index and route[index - 1][2] == first:
                (x, y), (u, v) = where[route[index - 1][0]], where[spot]
                total += costs["carry_per_metre"] * hypot(u - x, v - y)
        total += costs["off_bed_day"] * (len(run["nitrogen_g"]) - len(stands))
        for told in run["announced"]:
            for day in range(told["first_day"], told["end_day"]):
                total += costs["changed_day"] * (stands.get(day) != told["spot"])
    return total - costs["wanted_nitrogen_per_gram"] * _wanted_met_g(document, plan)


def least_cost(document: Document) -> float:
    """Return the cost of the cheapest plan there is."""
    choices = [
        [route for route in routes_of(document, run) if _may_be_alone(document, index, route)]
        for index, run in enumerate(document["runs"])
    ]
    return min(
        cost_of_plan(document, plan)
        for plan in product(*choices)
        if keeps_shared_rules(document, plan)
    )


def _may_be_alone(document: Document, index: int, route: Route) -> bool:
    plan: list[Route] = [[] for _ in document["runs"]]
    plan[index] = route
    return keeps_shared_rules(document, plan)


def _dropped(run: Document, first_day: int, end_day: int) -> float:
    return sum(run["nitrogen_g"][first_day - run["first_day"] : end_day - run["first_day"]])


def _wanted_met_g(document: Document, plan: Sequence[Route]) -> float:
    met = 0.0
    for spot in document["spots"]:
        for window in spot["windows"]:
            grams = sum(
                _dropped(run, first, end)
                for run, route in zip(document["runs"], plan, strict=True)
                for there, first, end in route
                if there == spot["id"] and window["first_day"] <= first < window["end_day"]
            )
            met += min(grams, window["nitrogen_wanted_g"])
    return met
