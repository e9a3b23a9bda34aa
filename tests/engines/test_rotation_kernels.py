"""The compiled inner loops of the search against plain statements of what they should give, on small arrays."""

from itertools import combinations_with_replacement, pairwise

import numpy as np
import pytest

from rotation.engine.kernels import NONE
from rotation.engine.kernels.beam import beam
from rotation.engine.kernels.levels import level_sets
from rotation.engine.kernels.prices import crowded, open_lengths, price_stays, shut_taken
from rotation.engine.kernels.sweep import DROP, LABEL, SHIFT, dominates, sweep
from rotation.engine.kernels.to_go import costs_to_go
from rotation.engine.neighbourhoods import Neighbourhoods
from rotation.engine.programme import memory_actions

DAYS, LONGEST, PLACES, REST, MOVE = 6, 3, 3, 2, 1.0
SEEDS = range(8)


class Tiny:
    """A run of six days among three spots of a garden of four, at random prices."""

    def __init__(self, seed):
        random = np.random.default_rng(seed)
        self.price = random.uniform(0.0, 9.0, (DAYS, LONGEST, PLACES))
        self.price[random.random(self.price.shape) < 0.3] = np.inf
        for day in range(DAYS):
            self.price[day, DAYS - day :] = np.inf
        self.off = random.uniform(2.0, 8.0, DAYS)
        self.carry = random.uniform(0.0, 3.0, (PLACES, PLACES))
        daily_g = random.uniform(1.0, 3.0, DAYS + LONGEST)
        sums_g = np.concatenate([[0.0], np.cumsum(daily_g)])
        day, length = np.arange(DAYS)[:, None], np.arange(LONGEST)[None, :]
        self.nitrogen_g = sums_g[day + length + 1] - sums_g[day]
        self.window = np.repeat(random.integers(0, 2, (2, PLACES)), 3, axis=0)
        self.spots = np.array([2, 0, 3])
        self.room_g = random.uniform(4.0, 9.0, 4)
        self.random = random

    @property
    def lasts(self):
        return open_lengths(self.price, self.off)

    def onward(self, rest):
        """Return what is cheapest from each day on, its costs first."""
        near = Neighbourhoods.of(self.carry)
        return costs_to_go(
            self.price, self.off, self.carry, near.near, near.order, near.begins, MOVE, rest
        )

    def left_on(self, day):
        """Return the places that some stay leaves on a day."""
        lasts = range(1, min(LONGEST, day) + 1)
        left = [np.flatnonzero(self.price[day - days, days - 1] < np.inf) for days in lasts]
        return {int(place) for places in left for place in places}

    def cost(self, route, before=PLACES):
        """Return what a route of (day, days, place) costs; off the beds is the last place."""
        total = 0.0
        for day, days, place in route:
            if place == PLACES:
                total += self.off[day]
            else:
                total += MOVE + self.price[day, days - 1, place]
                total += self.carry[before, place] if before != PLACES else 0.0
            before = place
        return total

    def routes(self, day=0):
        """Yield every open route from a day on, whether it keeps its rests or not."""
        if day == DAYS:
            yield ()
            return
        for rest in self.routes(day + 1):
            yield ((day, 1, PLACES), *rest)
        for days in range(1, min(LONGEST, DAYS - day) + 1):
            for place in np.flatnonzero(self.price[day, days - 1] < np.inf):
                for rest in self.routes(day + days):
                    yield ((day, days, int(place)), *rest)


def is_rested(route, rest=REST):
    """Say whether no place is entered less than a rest after it was left."""
    return not any(
        one[2] == other[2] != PLACES and other[0] < one[0] + one[1] + rest
        for at, one in enumerate(route)
        for other in route[at + 1 :]
    )


def fits(tiny, route, window_g, spot_g):
    """Say whether what a route drops on returns fits into the rooms of spots and windows together."""
    for at, (day, days, place) in enumerate(route):
        earlier = [stay for stay in route[:at] if stay[2] == place != PLACES]
        if earlier:
            here = [*earlier, (day, days, place)]
            window = tiny.window[day, place]
            within = [stay for stay in here if tiny.window[stay[0], place] == window]
            grams = [sum(tiny.nitrogen_g[d, n - 1] for d, n, _ in some) for some in (here, within)]
            if grams[0] > spot_g[place] or grams[1] > window_g[window]:
                return False
    return True


@pytest.mark.parametrize("seed", SEEDS)
def test_a_stay_pays_its_days_its_rest_its_rooms_and_its_steps_and_earns_its_grams(seed):
    tiny = Tiny(seed)
    random, spots, first_day = tiny.random, tiny.spots, 1
    daily = random.uniform(0.0, 1.0, (DAYS + first_day + 1, 4))  # rests are cut at the last day
    busy = np.concatenate([np.zeros((1, 4)), np.cumsum(daily, axis=0)])
    window_price, spot_price = random.uniform(0, 2, (3, 2)), random.uniform(0, 2, (3, 4))
    window_price[random.random((3, 2)) < 0.5] = 0.0
    spot_price[random.random((3, 4)) < 0.7] = 0.0
    window_g, gram, up_to_g = random.uniform(4.0, 9.0, (3, 2))
    steps_of, from_g = np.array([0, 2, 3]), np.array([1.0, 4.0, 3.0])
    charge = np.array([1.0, 2.0, 4.0])
    out = price_stays(
        tiny.price, tiny.nitrogen_g, tiny.window, spots, first_day, REST, busy, window_price,
        spot_price, window_g, tiny.room_g, gram, up_to_g, steps_of, from_g, charge,
    )  # fmt: skip
    for (day, length, place), base in np.ndenumerate(tiny.price):
        spot, window, grams = spots[place], tiny.window[day, place], tiny.nitrogen_g[day, length]
        start = first_day + day
        cost = base + daily[start : start + length + 1 + REST, spot].sum()
        cost -= gram[window] * min(grams, up_to_g[window])
        for way, parts in enumerate((0, 2, 3)):
            cost += window_price[way, window] * crowded(grams, window_g[window], parts)
            cost += spot_price[way, spot] * crowded(grams, tiny.room_g[spot], parts)
        mine = slice(steps_of[window], steps_of[window + 1])
        cost += charge[mine][grams >= from_g[mine]].sum()
        assert out[day, length, place] == pytest.approx(cost)


@pytest.mark.parametrize("parts", [2, 3, 4])
def test_what_fits_into_a_room_together_never_counts_more_than_one(parts):
    random = np.random.default_rng(parts)
    for _ in range(500):
        grams = random.dirichlet(np.ones(random.integers(1, 6))) * 60.0
        assert sum(crowded(one, 60.0, parts) for one in grams) <= 1.0 + 1e-9
    assert crowded(0.51 * 60.0, 60.0, 2) == 1.0


@pytest.mark.parametrize("seed", SEEDS)
def test_a_stay_is_shut_when_others_cover_its_days_or_rest_or_left_it_no_room(seed):
    tiny = Tiny(seed)
    busy = (tiny.random.random((DAYS + 2, 4)) < 0.1).astype(np.int64)
    window_g, shut = tiny.random.uniform(2.0, 9.0, 2), tiny.price.copy()
    shut_taken(
        shut, tiny.nitrogen_g, tiny.window, tiny.spots, 1, REST, busy, window_g, tiny.room_g, 0.1
    )
    for (day, length, place), base in np.ndenumerate(tiny.price):
        spot = tiny.spots[place]
        room_g = min(window_g[tiny.window[day, place]], tiny.room_g[spot]) + 0.1
        covered = busy[1 + day : 1 + day + length + 1 + REST, spot].any()
        is_open = not covered and tiny.nitrogen_g[day, length] <= room_g
        assert shut[day, length, place] == (base if is_open else np.inf)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("rest", [0, REST])
def test_costs_to_go_forget_all_but_the_place_just_left(seed, rest):
    tiny = Tiny(seed)
    to_go, _, _ = tiny.onward(rest)
    for day in range(DAYS + 1):
        for left in [*tiny.left_on(day), PLACES]:
            allowed = (
                route
                for route in tiny.routes(day)
                if rest == 0 or not returns_at_once([left, *(place for *_, place in route)])
            )
            least = min(tiny.cost(route, left) for route in allowed)
            assert to_go[day, left] == pytest.approx(least)


@pytest.mark.parametrize("seed", SEEDS)
def test_where_the_pen_goes_costs_what_is_said(seed):
    tiny = Tiny(seed)
    to_go, enters, lasts = tiny.onward(REST)
    route, day, left = [], 0, PLACES
    while day < DAYS:
        place = PLACES if enters[day, left] == NONE else enters[day, left]
        route.append((day, lasts[day, left], place))
        day, left = day + lasts[day, left], place
    assert tiny.cost(route) == pytest.approx(to_go[0, PLACES])


@pytest.mark.parametrize("places", [0, 1, 2, 50])
def test_every_place_lies_in_one_neighbourhood_and_none_is_nearer_than_the_nearest(places):
    random = np.random.default_rng(places)
    x_m = random.integers(0, 6, places)  # some lie where others do
    carry = np.abs(x_m[:, None] - x_m[None, :]).astype(float)
    parted = Neighbourhoods.of(carry)
    assert sorted(parted.order) == list(range(places))
    for number, (begin, end) in enumerate(pairwise(parted.begins)):
        assert begin < end
        inside = carry[:, parted.order[begin:end]]
        assert (parted.near[:, number] == inside.min(axis=1)).all()
    assert len(parted.begins) == parted.near.shape[1] + 1
    assert parted.begins[-1] == places


def returns_at_once(places):
    return any(one == other != PLACES for one, other in pairwise(places))


def route_of(parts, number):
    """Return the route that ends with a part, by the records of the parts."""
    stays, end = [], DAYS
    while parts["before"][number] >= 0:
        day = int(parts["began"][number])
        stays.append((day, end - day, int(parts["place"][number])))
        number, end = parts["before"][number], day
    return tuple(reversed(stays))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("limit", ["none", "the cost of the best"])
def test_a_pen_that_remembers_every_place_takes_the_cheapest_lawful_route(seed, limit):
    tiny, rest = Tiny(seed), DAYS
    best = min((route for route in tiny.routes() if is_rested(route, rest)), key=tiny.cost)
    every, bit = np.full(PLACES + 1, 7, dtype=np.uint64), np.array([1, 2, 4, 0], dtype=np.uint64)
    to_go, _, _ = tiny.onward(rest)
    last, labels = sweep(
        tiny.price, tiny.lasts, tiny.off, tiny.carry, MOVE, rest, bit, every,
        memory_actions(DAYS, rest), to_go, np.inf if limit == "none" else tiny.cost(best) + 1e-9,
    )  # fmt: skip
    assert labels["cost"][last] == pytest.approx(tiny.cost(best))
    assert route_of(labels, last) == best


def is_allowed(route, remembered, actions):
    """Say whether a pen with this memory, place by place, enters no place that it remembers or just left."""
    older, newer, left = set(), set(), PLACES
    for first_day, days, place in route:
        for day in range(first_day, first_day + days):
            if actions[day] == SHIFT:
                older, newer = newer, set()
            elif actions[day] == DROP:
                older = set()
            if day == first_day:
                if place != PLACES and place in older | newer | {left}:
                    return False
                older &= remembered[place]
                newer = (newer | {left}) & remembered[place]
        left = place
    return True


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("rest", [2, 3, 4])
def test_a_pen_takes_the_cheapest_route_that_its_memory_allows(seed, rest):
    tiny, actions = Tiny(seed), memory_actions(DAYS, rest)
    flags = tiny.random.random((PLACES + 1, PLACES)) < 0.8
    remembered = [set(np.flatnonzero(row).tolist()) for row in flags]
    last, labels = sweep(
        tiny.price, tiny.lasts, tiny.off, tiny.carry, MOVE, rest,
        np.array([1, 2, 4, 0], dtype=np.uint64), (flags @ [1, 2, 4]).astype(np.uint64), actions,
        tiny.onward(rest)[0], np.inf,
    )  # fmt: skip
    allowed = [route for route in tiny.routes() if is_allowed(route, remembered, actions)]
    assert labels["cost"][last] == pytest.approx(min(map(tiny.cost, allowed)))
    assert set(filter(is_rested_for(rest), tiny.routes())) <= set(allowed)


def is_rested_for(rest):
    return lambda route: is_rested(route, rest)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ((1.0, 0b01, 0b10), (1.0, 0b01, 0b10), True),
        ((1.0, 0b00, 0b00), (2.0, 0b01, 0b10), True),
        ((2.0, 0b00, 0b00), (1.0, 0b01, 0b10), False),  # dearer
        ((1.0, 0b10, 0b00), (1.0, 0b00, 0b10), True),  # forgets it earlier
        ((1.0, 0b00, 0b10), (1.0, 0b10, 0b00), False),  # remembers it longer
        ((1.0, 0b11, 0b00), (1.0, 0b01, 0b00), False),  # remembers more
    ],
)
def test_a_label_dominates_what_costs_and_remembers_no_less(one, other, expected):
    labels = np.zeros(2, dtype=LABEL)
    for label, values in zip(labels, (one, other), strict=True):
        label["cost"], label["older"], label["newer"] = values
    assert dominates(labels[0], labels[1]) is expected


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("width", [1, 3000])
def test_a_search_as_broad_as_there_are_routes_finds_the_cheapest_lawful_one(seed, width):
    tiny = Tiny(seed)
    window_g, spot_g = tiny.random.uniform(4.0, 12.0, 2), tiny.random.uniform(4.0, 12.0, PLACES)
    lawful = [
        route
        for route in tiny.routes()
        if is_rested(route, 1) and fits(tiny, route, window_g, spot_g)
    ]
    sign = np.append(tiny.random.integers(1, 2**63, PLACES, dtype=np.uint64), np.uint64(0))
    last, parts = beam(
        tiny.price, tiny.lasts, tiny.off, tiny.carry, MOVE, 1, width, tiny.nitrogen_g,
        tiny.window, window_g, spot_g, sign,
    )  # fmt: skip
    costs = [parts["cost"][number] for number in last]
    assert costs == sorted(costs)
    for number in last:
        assert route_of(parts, number) in lawful
        assert parts["cost"][number] == pytest.approx(tiny.cost(route_of(parts, number)))
    best = min(map(tiny.cost, lawful))
    assert costs[0] >= best - 1e-9
    if width > 1:
        assert costs[0] == pytest.approx(best)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sets_of_levels_are_those_that_fit_and_meet(seed):
    random = np.random.default_rng(seed)
    nitrogen_g, window_of = random.uniform(2.0, 6.0, 5), np.array([0, 0, 0, 1, 1])
    kind_of, rooms_g = np.array([0, 0, 1, 2, 3]), random.uniform(5.0, 12.0, 2)
    meets = random.random((4, 4)) < 0.7
    meets |= meets.T
    expected = set()
    for chosen in (c for n in range(7) for c in combinations_with_replacement(range(5), n)):
        grams = [sum(nitrogen_g[k] for k in chosen if window_of[k] == w) for w in range(2)]
        pairs = ((kind_of[a], kind_of[b]) for at, a in enumerate(chosen) for b in chosen[at + 1 :])
        fits_in = sum(grams) <= 13.0 and all(np.array(grams) <= rooms_g)
        if fits_in and all(meets[pair] for pair in pairs):
            expected.add(tuple(chosen.count(level) for level in range(5)))
    counts, left_g, window_left_g, joins = level_sets(
        13.0, rooms_g, nitrogen_g, window_of, kind_of, meets, 2000
    )
    assert {tuple(row) for row in counts.tolist()} == expected
    assert len(counts) == len(expected)
    assert left_g == pytest.approx(13.0 - counts @ nitrogen_g)
    assert window_left_g[:, 1] == pytest.approx(rooms_g[1] - counts[:, 3:] @ nitrogen_g[3:])
    for row, could in zip(counts, joins, strict=True):
        assert could.tolist() == meets[kind_of[row > 0]].all(axis=0).tolist()
