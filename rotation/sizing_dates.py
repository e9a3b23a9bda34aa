"""When batches of a season may hatch, and which days bring most.

PURE. A hatch day is possible where the birds are outdoors on warm days only, somebody is at home from the first
day to the last, the pens are free and the brooder is.
"""

from collections.abc import Callable, Iterator, Sequence

from rotation.sizing import CLEANING_DAYS, Bird, Limits, PenFloor

STEP_DAYS = 7
"""Hatch days are looked for week by week. A choice: hatcheries send on one or two days a week."""
NOTICE_DAYS = 7
"""Days from today to the soonest hatch day. A choice."""
FARTHEST_MOVE_DAYS = 15
"""How far one hatch day is tried to be moved at a time [day]. A choice."""
MOST_BATCHES = 8
"""Batches in a year at most. A choice."""


def may_hatch(day: int, pens: Sequence[PenFloor], bird: Bird, limits: Limits) -> bool:
    """Whether a batch in some pens may hatch on a day, whatever other batches are proposed."""
    out, end = day + bird.out_age, day + bird.end_age
    if day < NOTICE_DAYS or end >= limits.days:
        return False
    brooder_free = all(
        out + CLEANING_DAYS <= first or last + CLEANING_DAYS <= day
        for first, last in limits.brooder_taken
    )
    return (
        brooder_free
        and all(limits.outdoors[out : end + 1])
        and all(limits.at_home[day : end + 1])
        and all(pen.is_free(out, end) for pen in pens)
    )


def hatch_days(pens: Sequence[PenFloor], bird: Bird, limits: Limits) -> list[int]:
    """Return the days on which a batch may hatch: each first and last possible one, and weekly between."""
    days, before = [], None
    for day in range(limits.days):
        if not may_hatch(day, pens, bird, limits):
            before = None
        elif before is None or (day - before) % STEP_DAYS == 0:
            days.append(day)
            before = day if before is None else before
        elif not may_hatch(day + 1, pens, bird, limits):
            days.append(day)
    return days


def least_gap(bird: Bird) -> int:
    """Return the days from one hatch day to the next in the same pens and brooder."""
    return max(bird.end_age - bird.out_age, bird.out_age) + CLEANING_DAYS


def back_to_back(days: Sequence[int], bird: Bird) -> list[int]:
    """Return as many hatch days as there can be, each as soon as pens and brooder are free."""
    chosen: list[int] = []
    for day in days:
        if not chosen or day >= chosen[-1] + least_gap(bird):
            chosen.append(day)
    return chosen[:MOST_BATCHES]


def best_apart(days: Sequence[int], worth: Sequence[float], count: int, gap: int) -> list[int]:
    """Return `count` of the days at least `gap` apart that are worth most together; empty where none are.

    Exact, by going through the days once for each number chosen.
    """
    best: list[tuple[float, tuple[int, ...]]] = [(0.0, ())] * (len(days) + 1)
    for number in range(1, count + 1):
        row: list[tuple[float, tuple[int, ...]]] = [(float("-inf"), ())]
        for at, day in enumerate(days):
            before = sum(1 for other in days[:at] if other + gap <= day)
            earlier = best[before] if number > 1 else (0.0, ())
            taken = (earlier[0] + worth[at], (*earlier[1], day))
            feasible = len(earlier[1]) == number - 1
            row.append(max(row[-1], taken) if feasible else row[-1])
        best = row
    chosen = best[-1][1]
    return list(chosen) if len(chosen) == count else []


def moved(chosen: Sequence[int], days: Sequence[int], gap: int) -> Iterator[list[int]]:
    """Yield the choices in which one hatch day is another one, as far as the gap leaves room."""
    for at in range(len(chosen)):
        least = chosen[at - 1] + gap if at else 0
        most = chosen[at + 1] - gap if at + 1 < len(chosen) else max(days)
        for day in days:
            if least <= day <= most and 0 < abs(day - chosen[at]) <= FARTHEST_MOVE_DAYS:
                yield [*chosen[:at], day, *chosen[at + 1 :]]


def climbed(
    chosen: list[int],
    days: Sequence[int],
    gap: int,
    value: Callable[[Sequence[int]], float],
    go_on: Callable[[], bool],
) -> list[int]:
    """Return the choice after taking every single move that is worth more, until none is or time is up."""
    best, changed = value(chosen), True
    while changed and go_on():
        changed = False
        for other in moved(chosen, days, gap):
            if not go_on():
                break
            worth = value(other)
            if worth > best + 1e-9:
                chosen, best, changed = other, worth, True
                break
    return chosen
