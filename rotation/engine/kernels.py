"""The two inner loops of the search, compiled: what stays cost, and the cheapest routes through them.

PURE. Everything here works on plain arrays; `rotation.engine.prices` and `rotation.engine.pricing` say what
they mean. The first call on a machine compiles, which takes some seconds, and keeps the result beside this
file.
"""

import numpy as np
from numba import njit

NONE = -1
EMPTY = np.uint64(0)

KEEP, SHIFT, DROP = 0, 1, 2
"""What a day does to a pen's memory; see `rotation.engine.pricing.memory_actions`."""

MOST_AT_A_DOOR = 48
"""Labels that enter one place on one day before the next one forgets what it remembers (a choice)."""


@njit(cache=True, nogil=True)
def crowded(nitrogen_g, room_g, parts):
    """Return what a stay takes of a room counted in `parts`; see `rotation.engine.prices.crowding`."""
    share = nitrogen_g / room_g
    if parts == 0:
        return share
    scaled = parts * share
    if abs(scaled - np.rint(scaled)) < 1e-9:
        return share
    return np.floor(scaled) / (parts - 1)


@njit(cache=True, nogil=True)
def price_stays(
    base,
    nitrogen_g,
    window,
    spots,
    first_day,
    rest,
    busy,
    window_price,
    spot_price,
    window_room_g,
    spot_room_g,
    earned_gram,
    earned_up_to_g,
    steps_of,
    step_from_g,
    step_charge,
):
    """Return what each stay costs but for entering it, shaped like `base`.

    `busy` holds running sums of the day prices, one row a day and one more; the rooms include the
    tolerance. ``steps_of[w] : steps_of[w + 1]`` are the steps of what window ``w`` charges on top, each
    from some nitrogen on.
    """
    days, longest, places = base.shape
    out = np.empty(base.shape)
    last = len(busy) - 1
    ways = np.array([0, 2, 3])
    for place in range(places):
        spot = spots[place]
        for day in range(days):
            at = window[day, place]
            priced = False
            for way in range(3):
                priced |= window_price[way, at] > 0 or spot_price[way, spot] > 0
            gram, up_to = earned_gram[at], earned_up_to_g[at]
            for length in range(longest):
                cost = base[day, length, place]
                if cost < np.inf:
                    start = first_day + day
                    end = min(start + length + 1 + rest, last)
                    dropped = nitrogen_g[day, length]
                    cost += busy[end, spot] - busy[start, spot]
                    cost -= gram * min(dropped, up_to)
                    if priced:
                        for way in range(3):
                            if window_price[way, at] > 0:
                                cost += window_price[way, at] * crowded(
                                    dropped, window_room_g[at], ways[way]
                                )
                            if spot_price[way, spot] > 0:
                                cost += spot_price[way, spot] * crowded(
                                    dropped, spot_room_g[spot], ways[way]
                                )
                    for step in range(steps_of[at], steps_of[at + 1]):
                        if dropped >= step_from_g[step]:
                            cost += step_charge[step]
                out[day, length, place] = cost
    return out


@njit(cache=True, nogil=True)
def costs_to_go(price, off, carry, move, rest):
    """Return the least further cost by day and place just left, when only the place just left is
    remembered.
    """
    days, longest, places = price.shape
    to_go = np.zeros((days + 1, places + 1))
    onward = np.empty(places)
    for day in range(days - 1, -1, -1):
        for place in range(places):
            onward[place] = np.inf
            for length in range(min(longest, days - day)):
                onward[place] = min(
                    onward[place], price[day, length, place] + to_go[day + length + 1, place]
                )
        order = np.argsort(onward)
        stay_off = off[day] + to_go[day + 1, places]
        for place in range(places + 1):
            best = stay_off
            for k in range(places):
                entered = order[k]
                cost = onward[entered] + move
                if cost >= best:
                    break
                if entered != place or rest == 0:
                    if place < places:
                        cost += carry[place, entered]
                    best = min(best, cost)
            to_go[day, place] = best
    return to_go


@njit(cache=True, nogil=True)
def sweep(price, off, carry, move, rest, bit, remembered, action, to_go, limit):
    """Run the labels of one run over its days; return the cheapest label that reaches the end, and the labels.

    Labels that `to_go` shows to end above `limit` are dropped.

    A label is a part of a route: its cost, the place just left, the two memories, the label before it and
    the day on which its last stay began. ``first[day, place]`` begins the list of labels that leave a place
    on a day.
    """
    days, longest, places = price.shape
    size = 4096
    cost = np.empty(size)
    place_of = np.empty(size, dtype=np.int32)
    older = np.empty(size, dtype=np.uint64)
    newer = np.empty(size, dtype=np.uint64)
    before = np.empty(size, dtype=np.int32)
    began = np.empty(size, dtype=np.int32)
    following = np.empty(size, dtype=np.int32)
    first = np.full((days + 1, places + 1), NONE, dtype=np.int32)
    cost[0], place_of[0], older[0], newer[0], before[0], began[0] = 0.0, places, 0, 0, NONE, 0
    following[0] = NONE
    first[0, places] = 0
    count = 1

    door_cost = np.empty(MOST_AT_A_DOOR + 1)
    door_older = np.empty(MOST_AT_A_DOOR + 1, dtype=np.uint64)
    door_newer = np.empty(MOST_AT_A_DOOR + 1, dtype=np.uint64)
    door_from = np.empty(MOST_AT_A_DOOR + 1, dtype=np.int32)
    here = np.empty(1024, dtype=np.int32)
    here_cost = np.empty(1024)

    for day in range(days):
        # the labels of the day, cheapest first, with what the day does to their memory
        waiting = 0
        for place in range(places + 1):
            label = first[day, place]
            while label != NONE:
                if action[day] == SHIFT:
                    older[label] = newer[label]
                    newer[label] = EMPTY
                elif action[day] == DROP:
                    older[label] = EMPTY
                if waiting == len(here):
                    here = np.concatenate((here, np.empty(waiting, dtype=np.int32)))
                    here_cost = np.concatenate((here_cost, np.empty(waiting)))
                here[waiting] = label
                here_cost[waiting] = cost[label]
                waiting += 1
                label = following[label]
        order = np.argsort(here_cost[:waiting])

        for place in range(places + 1):
            is_off = place == places
            enter = off[day] if is_off else move
            if is_off:
                lasts = 1
                if not off[day] < np.inf:
                    continue
            else:
                lasts = 0
                for length in range(min(longest, days - day)):
                    if price[day, length, place] < np.inf:
                        lasts = length + 1
                if lasts == 0:
                    continue
            at_door = 0
            free = np.inf  # cost of the cheapest label at the door that remembers nothing
            for k in range(waiting):
                source = here[order[k]]
                least = cost[source] + enter
                if least >= free:
                    break
                left = place_of[source]
                if left == place and rest > 0 and not is_off:
                    continue
                if not is_off and (older[source] | newer[source]) & bit[place]:
                    continue
                if not is_off and left < places:
                    least += carry[left, place]
                    if least >= free:
                        continue
                old = older[source] & remembered[place]
                new = (newer[source] | bit[left]) & remembered[place]
                dominated = False
                for other in range(at_door):
                    if (
                        door_cost[other] <= least
                        and (door_newer[other] & ~new) == 0
                        and ((door_older[other] | door_newer[other]) & ~(old | new)) == 0
                    ):
                        dominated = True
                        break
                if dominated:
                    continue
                kept = 0
                for other in range(at_door):
                    if not (
                        least <= door_cost[other]
                        and (new & ~door_newer[other]) == 0
                        and ((old | new) & ~(door_older[other] | door_newer[other])) == 0
                    ):
                        door_cost[kept] = door_cost[other]
                        door_older[kept] = door_older[other]
                        door_newer[kept] = door_newer[other]
                        door_from[kept] = door_from[other]
                        kept += 1
                at_door = kept
                if at_door >= MOST_AT_A_DOOR:
                    # a memory let go may only make the run look cheaper, so the bound stays true
                    at_door = MOST_AT_A_DOOR
                    old = EMPTY
                    new = EMPTY
                door_cost[at_door] = least
                door_older[at_door] = old
                door_newer[at_door] = new
                door_from[at_door] = source
                at_door += 1
                if (old | new) == 0:
                    free = least

            for entry in range(at_door):
                old, new = door_older[entry], door_newer[entry]
                for length in range(lasts):
                    if length > 0:
                        if action[day + length] == SHIFT:
                            old = new
                            new = EMPTY
                        elif action[day + length] == DROP:
                            old = EMPTY
                    stay = 0.0 if is_off else price[day, length, place]
                    if not stay < np.inf:
                        continue
                    total = door_cost[entry] + stay
                    end = day + length + 1
                    if total + to_go[end, place] > limit:
                        continue
                    dominated = False
                    label = first[end, place]
                    previous = NONE
                    while label != NONE:
                        if (
                            cost[label] <= total
                            and (newer[label] & ~new) == 0
                            and ((older[label] | newer[label]) & ~(old | new)) == 0
                        ):
                            dominated = True
                            break
                        after = following[label]
                        if (
                            total <= cost[label]
                            and (new & ~newer[label]) == 0
                            and ((old | new) & ~(older[label] | newer[label])) == 0
                        ):
                            if previous == NONE:
                                first[end, place] = after
                            else:
                                following[previous] = after
                        else:
                            previous = label
                        label = after
                    if dominated:
                        continue
                    if count == size:
                        size *= 2
                        cost = np.concatenate((cost, np.empty(count)))
                        place_of = np.concatenate((place_of, np.empty(count, dtype=np.int32)))
                        older = np.concatenate((older, np.empty(count, dtype=np.uint64)))
                        newer = np.concatenate((newer, np.empty(count, dtype=np.uint64)))
                        before = np.concatenate((before, np.empty(count, dtype=np.int32)))
                        began = np.concatenate((began, np.empty(count, dtype=np.int32)))
                        following = np.concatenate((following, np.empty(count, dtype=np.int32)))
                    cost[count] = total
                    place_of[count] = place
                    older[count] = old
                    newer[count] = new
                    before[count] = door_from[entry]
                    began[count] = day
                    following[count] = first[end, place]
                    first[end, place] = count
                    count += 1
    best = NONE
    for place in range(places + 1):
        label = first[days, place]
        while label != NONE:
            if best == NONE or cost[label] < cost[best]:
                best = label
            label = following[label]
    return best, cost[:count], place_of[:count], before[:count], began[:count]


@njit(cache=True, nogil=True)
def shut_taken(
    price, nitrogen_g, window, spots, first_day, rest, busy, window_left_g, spot_left_g, slack_g
):
    """Shut, in place, the stays that other runs leave no days or no room for.

    `busy` counts the visits that cover a day and spot; rests are counted with the visits.
    """
    days, longest, places = price.shape
    last = len(busy)
    for place in range(places):
        spot = spots[place]
        # the first busy day on or after each day of the run, found from the end backwards
        for day in range(days):
            start = first_day + day
            at = window[day, place]
            left = min(window_left_g[at], spot_left_g[spot]) + slack_g
            blocked = busy[start, spot] > 0
            reached = start
            for length in range(longest):
                end = min(start + length + 1 + rest, last)
                while not blocked and reached < end:
                    blocked = busy[reached, spot] > 0
                    reached += 1
                if blocked or nitrogen_g[day, length] > left:
                    price[day, length, place] = np.inf


@njit(cache=True, nogil=True)
def beam(
    price, off, carry, move, rest, width, nitrogen_g, window, window_left_g, spot_left_g, sign
):
    """Follow the `width` cheapest lawful parts of routes that leave each place on each day.

    `window_left_g` is by window, `spot_left_g` by place; a second visit of the run itself must fit into
    what its first left. `sign` holds a random number a place, so that parts that visited the same places
    are known.
    """
    days, longest, places = price.shape
    size = 4096
    cost = np.empty(size)
    place_of = np.empty(size, dtype=np.int32)
    before = np.empty(size, dtype=np.int32)
    began = np.empty(size, dtype=np.int32)
    ended = np.empty(size, dtype=np.int32)
    visited = np.empty(size, dtype=np.uint64)
    kept = np.full((days + 1, places + 1, width), NONE, dtype=np.int32)
    many = np.zeros((days + 1, places + 1), dtype=np.int32)
    cost[0], place_of[0], before[0], began[0], ended[0], visited[0] = 0.0, places, NONE, 0, 0, EMPTY
    kept[0, places, 0] = 0
    many[0, places] = 1
    count = 1
    door = np.empty(width, dtype=np.int32)
    door_cost = np.empty(width)
    here = np.empty((places + 1) * width, dtype=np.int32)
    here_cost = np.empty((places + 1) * width)

    for day in range(days):
        waiting = 0
        for place in range(places + 1):
            for k in range(many[day, place]):
                here[waiting] = kept[day, place, k]
                here_cost[waiting] = cost[kept[day, place, k]]
                waiting += 1
        order = np.argsort(here_cost[:waiting])
        for place in range(places + 1):
            is_off = place == places
            lasts = 0
            if is_off:
                lasts = 1 if off[day] < np.inf else 0
            else:
                for length in range(min(longest, days - day)):
                    if price[day, length, place] < np.inf:
                        lasts = length + 1
            if lasts == 0:
                continue
            enter = off[day] if is_off else move
            at_door = 0
            for k in range(waiting):
                source = here[order[k]]
                least = cost[source] + enter
                if at_door == width and least >= door_cost[width - 1]:
                    break
                left = place_of[source]
                if not is_off and left < places:
                    least += carry[left, place]
                    if at_door == width and least >= door_cost[width - 1]:
                        continue
                if not is_off:
                    blocked = False
                    label = source
                    while label != NONE and ended[label] + rest > day:
                        if place_of[label] == place:
                            blocked = True
                            break
                        label = before[label]
                    if blocked:
                        continue
                slot = at_door if at_door < width else width - 1
                while slot > 0 and door_cost[slot - 1] > least:
                    door[slot] = door[slot - 1]
                    door_cost[slot] = door_cost[slot - 1]
                    slot -= 1
                door[slot] = source
                door_cost[slot] = least
                at_door = min(at_door + 1, width)
            for entry in range(at_door):
                source = door[entry]
                spot_own, window_own = 0.0, 0.0
                if not is_off and off[day] < np.inf:
                    label = source
                    while before[label] != NONE:
                        if place_of[label] == place:
                            dropped = nitrogen_g[began[label], ended[label] - began[label] - 1]
                            spot_own += dropped
                            if window[began[label], place] == window[day, place]:
                                window_own += dropped
                        label = before[label]
                signature = visited[source] if is_off else visited[source] ^ sign[place]
                for length in range(lasts):
                    stay = 0.0 if is_off else price[day, length, place]
                    if not stay < np.inf:
                        continue
                    if spot_own > 0:
                        dropped = nitrogen_g[day, length]
                        if (
                            spot_own + dropped > spot_left_g[place]
                            or window_own + dropped > window_left_g[window[day, place]]
                        ):
                            continue
                    total = door_cost[entry] + stay
                    end = day + length + 1
                    n = many[end, place]
                    if n == width and total >= cost[kept[end, place, n - 1]]:
                        continue
                    twin = NONE
                    for k in range(n):
                        if visited[kept[end, place, k]] == signature:
                            twin = k
                            break
                    if twin != NONE:
                        if total >= cost[kept[end, place, twin]]:
                            continue
                        slot = twin
                    elif n < width:
                        slot = n
                        many[end, place] = n + 1
                    else:
                        slot = width - 1
                    while slot > 0 and cost[kept[end, place, slot - 1]] > total:
                        kept[end, place, slot] = kept[end, place, slot - 1]
                        slot -= 1
                    if count == size:
                        size *= 2
                        cost = np.concatenate((cost, np.empty(count)))
                        place_of = np.concatenate((place_of, np.empty(count, dtype=np.int32)))
                        before = np.concatenate((before, np.empty(count, dtype=np.int32)))
                        began = np.concatenate((began, np.empty(count, dtype=np.int32)))
                        ended = np.concatenate((ended, np.empty(count, dtype=np.int32)))
                        visited = np.concatenate((visited, np.empty(count, dtype=np.uint64)))
                    cost[count] = total
                    place_of[count] = place
                    before[count] = source
                    began[count] = day
                    ended[count] = end
                    visited[count] = signature
                    kept[end, place, slot] = count
                    count += 1
    last = kept[days].ravel()
    last = last[last != NONE]
    last = last[np.argsort(cost[last])]
    return last, cost[:count], place_of[:count], before[:count], began[:count], ended[:count]


@njit(cache=True, nogil=True)
def level_sets(room_g, window_room_g, nitrogen_g, window_of, kind_of, meets, most):
    """List every set of levels, repeats allowed, that fits into a spot's rooms and whose kinds all meet.

    Kinds are runs in windows; ``meets[a, b]`` says whether visits of two kinds can lie a rest apart.
    Returns, by set: how often it has each level, what it leaves of the spot and of each window, and which
    kinds could still join it. The first set is the empty one. An answer of `most` rows is cut short.
    """
    levels, windows, kinds = len(nitrogen_g), len(window_room_g), len(meets)
    counts = np.zeros((most, levels), dtype=np.int8)
    left_g = np.empty(most)
    window_left_g = np.empty((most, windows))
    joins = np.ones((most, kinds), dtype=np.bool_)
    from_level = np.zeros(most, dtype=np.int64)
    left_g[0] = room_g
    window_left_g[0] = window_room_g
    found = 1
    at = 0
    while at < found:
        for level in range(from_level[at], levels):
            window, kind = window_of[level], kind_of[level]
            if not joins[at, kind]:
                continue
            if nitrogen_g[level] > min(left_g[at], window_left_g[at, window]):
                continue
            if found == most:
                return counts, left_g, window_left_g, joins
            counts[found] = counts[at]
            counts[found, level] += 1
            left_g[found] = left_g[at] - nitrogen_g[level]
            window_left_g[found] = window_left_g[at]
            window_left_g[found, window] -= nitrogen_g[level]
            for other in range(kinds):
                joins[found, other] = joins[at, other] and meets[kind, other]
            from_level[found] = level
            found += 1
        at += 1
    return counts[:found], left_g[:found], window_left_g[:found], joins[:found]
