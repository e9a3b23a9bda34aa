"""A cheap way through a stretch of one run, all else staying as it is; see `rotation.engine.annealing`.

PURE. Compiled. Day by day, the cheapest way to leave each place on each day; no place is used twice in the
stretch. The days off the beds are spent at one place more, the last.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from rotation.engine.grid import ROOM_SLACK_G, Floats, Ints
from rotation.engine.kernels import NONE
from rotation.engine.kernels.stays import Ground, Plan, off_cost, starts_free


class Ways(NamedTuple):
    """By day of the stretch and place: the cheapest way to leave it then."""

    cost: Floats
    place: Ints
    """The place before, or `NONE` at the beginning."""
    began: Ints
    """Day of the stretch on which the last stay began."""


class Stretch(NamedTuple):
    """What is to be found a way through."""

    run: int
    first: int
    end: int
    before: int
    """Spot that the pen comes from, or `NONE`."""
    after: int
    """Spot that it goes to, or `NONE`."""
    share: float
    """Share of the charges that its stays pay while a way is looked for."""


@njit(cache=True, nogil=True)
def last_end(on: Ints, visits: int, spot: int, day: int, end: int, rest: int) -> int:
    """Return the latest day up to `end` on which a stay from `day` may end beside its spot's others."""
    for number in range(visits):
        begins = on[spot, number, 1]
        if begins >= day:
            end = min(end, begins - rest)
        elif on[spot, number, 2] + rest > day:
            return day
    return end


@njit(cache=True, nogil=True)
def went_to(place_of: Ints, began: Ints, day: int, place: int, other: int) -> bool:
    """Say whether a way that leaves `place` on `day` has been at another."""
    while place != NONE:
        if place == other:
            return True
        day, place = began[day, place], place_of[day, place]
    return False


@njit(cache=True, nogil=True)
def sort_waiting(cost: Floats, day: int, waiting: Ints, costs: Floats) -> int:
    """Note the places that can be left on a day, cheapest first, with their costs; return how many."""
    many = 0
    for place in range(cost.shape[1]):
        least, slot = cost[day, place], many
        if least < np.inf:
            while slot > 0 and costs[slot - 1] > least:
                costs[slot], waiting[slot] = costs[slot - 1], waiting[slot - 1]
                slot -= 1
            costs[slot], waiting[slot] = least, place
            many += 1
    return many


@njit(cache=True, nogil=True)
def entered(
    place_of: Ints,
    began: Ints,
    where: tuple[int, int],
    waiting: Ints,
    costs: Floats,
    many: int,
    spots: Ints,
    carry: Floats,
) -> tuple[float, int]:
    """Return the least cost at which a place can be entered on a day, and from where."""
    (day, place), (best, source) = where, (np.inf, NONE)
    for number in range(many):
        other, cost = waiting[number], costs[number]
        if cost >= best:
            break
        if other < len(spots):
            cost += carry[spots[other], spots[place]]
        if cost < best and not went_to(place_of, began, day, other, place):
            best, source = cost, other
    return best, source


@njit(cache=True, nogil=True)
def leave_all(
    ways: tuple[Floats, Ints, Ints],
    where: tuple[int, int, int, int, int],
    paid: tuple[float, int],
    dropped_g: Floats,
    told: Ints,
    charge: Floats,
    rooms_g: tuple[float, float, float],
    costs: tuple[float, float, float],
) -> None:
    """Note what it costs to leave a place on each day on which a stay there may end.

    `where` is the day of the stretch, the place, the stay's first day, the least and the latest end; `paid`
    what it cost to enter, and from where. `rooms_g` are the nitrogen that fits, what its window has and what is
    wanted there; `costs` what a gram earns, a changed day costs and the share of the charges; `charge` is by
    length less one.
    """
    cost_of, place_of, began = ways
    (since, place, day, soonest, end), (cost, source) = where, paid
    (left_g, had_g, wanted_g), (per_gram, changed_day, share) = rooms_g, costs
    had_g = min(max(had_g, 0.0), wanted_g)
    for leaves in range(day + 1, end + 1):
        if changed_day > 0:
            cost += changed_day * told[leaves - 1]
        if leaves < soonest:
            continue
        nitrogen_g = dropped_g[leaves] - dropped_g[day]
        if nitrogen_g > left_g:
            break
        total = cost - per_gram * (min(had_g + nitrogen_g, wanted_g) - had_g)
        total += share * charge[leaves - day - 1]
        at = since + leaves - day
        if total < cost_of[at, place]:
            cost_of[at, place], place_of[at, place], began[at, place] = total, source, since


@njit(cache=True, nogil=True)
def stays_of(ways: Ways, stretch: Stretch, spots: Ints, carry: Floats, out: Ints) -> Ints:
    """Return the stays of the cheapest way through the stretch, in order."""
    day, off, many = stretch.end - stretch.first, len(spots), 0
    if stretch.after != NONE:
        for last in range(off):
            ways.cost[day, last] += carry[spots[last], stretch.after]
    place = np.argmin(ways.cost[day, : off + 1])
    while day > 0:
        began, source = ways.began[day, place], ways.place[day, place]
        if place < off:
            out[many, 0], out[many, 1] = spots[place], stretch.first + began
            out[many, 2], out[many, 3] = stretch.first + day, 0
            many += 1
        day, place = began, source
    return out[:many][::-1].copy()


@njit(cache=True, nogil=True)
def open_on(
    ground: Ground,
    plan: Plan,
    stretch: Stretch,
    spots: Ints,
    day: int,
    end_of: Ints,
    left_g: Floats,
) -> None:
    """Note by place the latest end of a stay that begins on `day`, and the nitrogen that it may drop.

    Where none may begin, the end is `day`.
    """
    run, rest, most = stretch.run, ground.rest, ground.most
    # arrays are unpacked once: counting references to them is what such loops would spend their time on
    window_at, closes, may = ground.window_at, ground.closes, ground.may
    on, on_count, window_g, spot_g = plan.on, plan.on_count, plan.window_g, plan.spot_g
    window_room_g, spot_room_g = ground.window_room_g, ground.spot_room_g
    next_g = ground.dropped_g[run, day + 1] - ground.dropped_g[run, day]
    starts_on, stood = NONE, ground.stood_days[run]
    if day == ground.first_day[run]:
        starts_on = ground.starts_on[run]
    for place in range(len(spots)):
        spot = spots[place]
        window = window_at[day, spot]
        end_of[place] = day
        if window >= 0 and may[run, spot]:
            left_g[place] = ROOM_SLACK_G + min(
                window_room_g[window] - window_g[window], spot_room_g[spot] - spot_g[spot]
            )
            if next_g <= left_g[place]:
                lasts = most - stood if spot == starts_on else most
                end = min(min(closes[day, spot], stretch.end), day + lasts)
                end_of[place] = last_end(on, on_count[spot], spot, day, end, rest)


@njit(cache=True, nogil=True)
def told_elsewhere(told: Ints, spot: int, first: int, end: int, elsewhere: Ints) -> None:
    """Note for each day whether another spot was announced."""
    for day in range(first, end):
        elsewhere[day] = told[day] != NONE and told[day] != spot


@njit(cache=True, nogil=True)
def way_through(
    ground: Ground,
    plan: Plan,
    stretch: Stretch,
    charge: Floats,
    spots: Ints,
    extra: Floats,
    space: Ways,
    out: Ints,
) -> Ints:
    """Return stays for a stretch from which all stays have been taken out.

    Only `spots` are looked at, each at some `extra` cost that is not real; `space` and `out` are written over.
    """
    run, days, off = stretch.run, stretch.end - stretch.first, len(spots)
    cost_of, place_of = space.cost[: days + 1, : off + 1], space.place[: days + 1]
    began, dropped_g, told = space.began[: days + 1], ground.dropped_g[run], ground.told[run]
    carry, window_g, wanted_g = ground.carry, plan.window_g, ground.wanted_g
    window_at, first_day = ground.window_at, ground.first_day[run]
    weights = (ground.earned_per_gram, ground.changed_day, stretch.share)
    waiting, costs, many = np.empty(off + 1, dtype=np.int64), np.empty(off + 1), 1
    end_of, left_g = np.empty(off, dtype=np.int64), np.empty(off)
    elsewhere = np.zeros(len(told), dtype=np.int64)
    cost_of[:] = np.inf
    for since in range(days):
        day, came = stretch.first + since, (0.0, NONE)
        if since > 0:
            many = sort_waiting(cost_of, since, waiting, costs)
            came = (costs[0], waiting[0])
        if many == 0:
            continue
        cost_of[since + 1, off] = came[0] + off_cost(ground, run, day, day + 1)
        place_of[since + 1, off], began[since + 1, off] = came[1], since
        open_on(ground, plan, stretch, spots, day, end_of, left_g)
        for place in range(off):
            spot, end, window = spots[place], end_of[place], window_at[day, spots[place]]
            if end <= day:
                continue
            if since > 0:
                where = (since, place)
                came = entered(place_of, began, where, waiting, costs, many, spots, carry)
            elif stretch.before != NONE:
                came = (carry[stretch.before, spot], NONE)
            paid, soonest = came[0] + extra[place] + ground.move, day + ground.least
            if starts_free(ground, run, spot, day):
                paid, soonest = paid - ground.move, soonest - ground.stood_days[run]
            if ground.changed_day > 0:
                told_elsewhere(told, spot, day, end, elsewhere)
            ways, stay = (cost_of, place_of, began), (since, place, day, soonest, end)
            rooms_g = (left_g[place], window_g[window], wanted_g[window])
            fees, source = charge[day - first_day, :, spot], (paid, came[1])
            leave_all(ways, stay, source, dropped_g, elsewhere, fees, rooms_g, weights)
    return stays_of(space, stretch, spots, carry, out)
