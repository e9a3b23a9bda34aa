"""The rotation engine against an exhaustive search that shares none of its code.

The search below reads the problem document as it stands in the design and tries every plan.
"""

import json
from itertools import pairwise, product
from math import hypot

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rotation.engine.document import read_problem
from rotation.engine.search import solve

EXAMPLES = 300
ROUNDS = 80


def routes_of(document, run):
    """Yield every list of (spot, first day, end day) that a run could make if it were alone."""
    rules = document["rules"]
    windows = {spot["id"]: spot["windows"] for spot in document["spots"]}
    last = run["first_day"] + len(run["nitrogen_g"])

    def onward(day):
        if day == last:
            yield []
            return
        for rest_of_route in onward(day + 1):
            yield rest_of_route
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


def dropped(run, first_day, end_day):
    return sum(run["nitrogen_g"][first_day - run["first_day"] : end_day - run["first_day"]])


def keeps_shared_rules(document, plan):
    rest = document["rules"]["rest_days"]
    for spot in document["spots"]:
        visits = sorted(
            (first, end, dropped(run, first, end))
            for run, route in zip(document["runs"], plan, strict=True)
            for where, first, end in route
            if where == spot["id"]
        )
        for (_, end, _), (first, _, _) in pairwise(visits):
            if first < end + rest:
                return False
        if sum(grams for _, _, grams in visits) > spot["nitrogen_room_g"] + 1e-6:
            return False
        for window in spot["windows"]:
            grams = sum(g for a, _, g in visits if window["first_day"] <= a < window["end_day"])
            if grams > window["nitrogen_room_g"] + 1e-6:
                return False
    return True


def cost(document, plan):
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
    for spot in document["spots"]:
        for window in spot["windows"]:
            grams = sum(
                dropped(run, first, end)
                for run, route in zip(document["runs"], plan, strict=True)
                for there, first, end in route
                if there == spot["id"] and window["first_day"] <= first < window["end_day"]
            )
            total -= costs["wanted_nitrogen_per_gram"] * min(grams, window["nitrogen_wanted_g"])
    return total


def least_cost(document):
    choices = [list(routes_of(document, run)) for run in document["runs"]]
    return min(
        cost(document, plan) for plan in product(*choices) if keeps_shared_rules(document, plan)
    )


grams = st.integers(0, 12).map(lambda n: n / 4)


@st.composite
def windows(draw, days):
    cuts = sorted(draw(st.sets(st.integers(0, days), min_size=2, max_size=4)))
    pairs = zip(cuts[::2], cuts[1::2], strict=False)
    return [
        {
            "first_day": first,
            "end_day": end,
            "nitrogen_room_g": draw(st.integers(0, 8)) * 1.0,
            "nitrogen_wanted_g": draw(st.integers(0, 8)) * 1.0,
        }
        for first, end in pairs
    ]


@st.composite
def runs(draw, number, days, spots):
    length = draw(st.integers(1, 5))
    first_day = draw(st.integers(0, days - length))
    allowed = draw(st.lists(st.sampled_from(spots), unique=True, max_size=len(spots)))
    starts_on = draw(st.none() | st.sampled_from(spots))
    announced = []
    if draw(st.booleans()):
        spot, end = draw(st.sampled_from(spots)), draw(st.integers(1, length))
        announced = [{"spot": spot, "first_day": first_day, "end_day": first_day + end}]
    return {
        "id": f"run-{number}",
        "first_day": first_day,
        "nitrogen_g": [draw(grams) for _ in range(length)],
        "spots": allowed,
        "starts_on": starts_on,
        "stood_days": draw(st.integers(0, 2)) if starts_on else 0,
        "pinned": [],
        "announced": announced,
    }


@st.composite
def tiny_problems(draw):
    days = draw(st.integers(5, 7))
    spots = [f"spot-{number}" for number in range(draw(st.integers(1, 3)))]
    shortest = draw(st.integers(1, 2))
    return {
        "format": "rotation-problem/1",
        "days": days,
        "rules": {
            "min_stay_days": shortest,
            "max_stay_days": draw(st.integers(shortest, 4)),
            "rest_days": draw(st.integers(0, 4)),
        },
        "costs": {
            "move": draw(st.sampled_from([0.0, 1.0, 10.0])),
            "carry_per_metre": draw(st.sampled_from([0.0, 0.5, 2.0])),
            "off_bed_day": draw(st.sampled_from([0.0, 4.0, 20.0])),
            "wanted_nitrogen_per_gram": draw(st.sampled_from([0.0, 0.5, 3.0])),
            "changed_day": draw(st.sampled_from([0.0, 2.0, 15.0])),
        },
        "spots": [
            {
                "id": spot,
                "x_m": draw(st.integers(0, 4)) * 1.0,
                "y_m": draw(st.integers(0, 3)) * 1.0,
                "nitrogen_room_g": draw(st.integers(0, 12)) * 1.0,
                "windows": draw(windows(days)),
            }
            for spot in spots
        ],
        "runs": [draw(runs(number, days, spots)) for number in range(draw(st.integers(1, 2)))],
    }


@settings(
    max_examples=EXAMPLES,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(tiny_problems(), st.randoms(use_true_random=False))
def test_no_plan_is_cheaper_and_the_bound_is_true(document, random):
    # half of the problems pin a stay of some lawful plan
    if random.random() < 0.5:
        pin_a_stay(document, random)
    least = least_cost(document)
    solution = solve(read_problem(json.dumps(document)), rounds=ROUNDS)
    plan = [
        [
            (stay.spot, stay.first_day, stay.end_day)
            for stay in solution.stays
            if stay.run == run["id"]
        ]
        for run in document["runs"]
    ]
    assert keeps_shared_rules(document, plan)
    for run, route in zip(document["runs"], plan, strict=True):
        assert route in list(routes_of(document, run))
    assert abs(solution.cost - cost(document, plan)) < 1e-6
    assert abs(solution.cost - least) < 1e-6
    assert solution.lower_bound <= least + 1e-6


def pin_a_stay(document, random):
    run = random.choice(document["runs"])
    others = [[] for _ in document["runs"]]
    where = document["runs"].index(run)
    lone = [route for route in routes_of(document, run) if route]
    lone = [
        route
        for route in lone
        if keeps_shared_rules(document, [*others[:where], route, *others[where + 1 :]])
    ]
    if lone:
        spot, first_day, end_day = random.choice(random.choice(lone))
        run["pinned"] = [{"spot": spot, "first_day": first_day, "end_day": end_day}]
