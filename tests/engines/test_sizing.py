"""Sizing a season on paper: limits, hatch days, the walk over the beds and the search with a planner."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from rotation.sizing import (
    BatchSize,
    Bird,
    Judged,
    Limits,
    PenFloor,
    most_chicks,
    offer_of,
    stock_on,
    trimmed,
)
from rotation.sizing_choices import by_floor_alone, pen_choices, undominated
from rotation.sizing_clock import PATIENCE, Stopwatch
from rotation.sizing_dates import back_to_back, best_apart, climbed, hatch_days, least_gap
from rotation.sizing_search import Asked, Setting, size_season
from rotation.sizing_walk import Place, StayRules, Walk

BIRD = Bird(
    out_age=20, end_age=40, nitrogen_g=(1.0,) * 20, live_kg=2.0, meat_kg=1.4, feed_kg=4.0, cost=10.0
)
PEN = PenFloor(1, 2.0, 0)
RULES = StayRules(max_stay_days=5, rest_days=30)


def limits(**changed: object) -> Limits:
    """Return the limits of a year with one pen for 20 birds."""
    usual = {
        "outdoors": (True,) * 367,
        "at_home": (True,) * 367,
        "pens": (PEN,),
        "density_kg_m2": 20.0,
        "birds_there": (0,) * 367,
    }
    return Limits(**usual | changed)


def places(count: int, room_g: float, first: int = 0, end: int = 366) -> list[Place]:
    """Return places alike, open on the same days."""
    return [Place(0, room_g, ((first, end, room_g),)) for _ in range(count)]


def batches(*pairs: tuple[int, int]) -> list[BatchSize]:
    """Return batches of the one pen by hatch day and chicks."""
    return [BatchSize(day, chicks, (1,)) for day, chicks in pairs]


# Limits


def test_the_floor_and_the_local_limit_hold_a_batch():
    assert most_chicks(0, [PEN], BIRD, limits()) == 20
    assert most_chicks(0, [PEN], BIRD, limits(birds_at_once=12)) == 12
    there = (0,) * 30 + (7,) * 337
    assert most_chicks(0, [PEN], BIRD, limits(birds_at_once=12, birds_there=there)) == 5


def test_meat_wanted_cuts_all_batches_alike_and_rounds_up_to_whole_birds():
    cut = trimmed(batches((0, 20), (60, 10)), BIRD, limits(wanted_kg=21.1))
    assert [batch.chicks for batch in cut] == [11, 5]  # 16 birds: 15 would be 100 g short
    assert trimmed(batches((0, 20)), BIRD, limits(wanted_kg=500.0)) == batches((0, 20))
    assert trimmed(batches((0, 20)), BIRD, limits(wanted_kg=0.0)) == []


def test_money_is_never_overspent():
    cut = trimmed(batches((0, 20), (60, 20)), BIRD, limits(budget=155.0))
    assert sum(batch.chicks for batch in cut) == 15
    assert offer_of(cut, BIRD, Judged(0)).cost == 150.0
    both = trimmed(batches((0, 20)), BIRD, limits(budget=100.0, wanted_kg=21.0))
    assert both[0].chicks == 10


def test_the_freezer_empties_by_what_is_eaten():
    room = limits(freezer_kg=28.0, wanted_a_year_kg=73.0)  # 0.2 kg a day
    first, second = trimmed(batches((0, 20), (50, 20)), BIRD, room)
    assert first.chicks == 20  # 28 kg on day 40
    assert stock_on(90, [first], BIRD, room) == pytest.approx(18.0)
    assert second.chicks == 7  # 10 kg of room on day 90
    full = limits(freezer_kg=28.0)
    assert trimmed(batches((0, 20), (50, 20)), BIRD, full) == batches((0, 20))


def test_what_lies_in_the_freezer_and_what_is_coming_count():
    room = limits(freezer_kg=28.0, in_freezer_kg=14.0, coming_kg=((10, 7.0),))
    assert stock_on(5, [], BIRD, room) == 14.0
    assert stock_on(40, [], BIRD, room) == 21.0
    assert trimmed(batches((0, 20)), BIRD, room)[0].chicks == 5


def test_birds_of_two_batches_at_once_are_counted_together():
    cut = trimmed(batches((0, 10), (30, 10)), BIRD, limits(birds_at_once=15))
    assert [batch.chicks for batch in cut] == [10, 5]
    apart = trimmed(batches((0, 10), (40, 10)), BIRD, limits(birds_at_once=15))
    assert [batch.chicks for batch in apart] == [10, 10]


def test_a_handful_of_chicks_is_no_batch():
    assert trimmed(batches((0, 3)), BIRD, limits()) == []


# Hatch days


def test_hatch_days_keep_to_the_days_outdoors_and_at_home():
    outdoors = tuple(100 <= day <= 140 for day in range(367))
    assert hatch_days([PEN], BIRD, limits(outdoors=outdoors)) == [80, 87, 94, 100]
    at_home = tuple(day != 139 for day in range(367))
    assert hatch_days([PEN], BIRD, limits(outdoors=outdoors, at_home=at_home)) == [80, 87, 94, 98]


def test_a_pen_or_brooder_that_is_taken_keeps_a_batch_away_with_its_cleaning():
    taken = replace(PEN, taken=((100, 120),))
    days = hatch_days([taken], BIRD, limits(pens=(taken,)))
    assert not [day for day in days if day + 20 < 127 and day + 40 > 93]
    brooder = limits(brooder_taken=((50, 70),))
    assert not [day for day in hatch_days([PEN], BIRD, brooder) if day < 77 and day + 20 > 43]


def test_batches_one_after_the_other_leave_time_for_cleaning():
    gap = least_gap(BIRD)
    assert gap == 27
    assert back_to_back([0, 20, 27, 28, 60], BIRD) == [0, 27, 60]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_the_best_days_apart_are_those_of_trying_all(count):
    days, worth = [0, 7, 14, 21, 30, 37, 51, 58], [3.0, 9.0, 4.0, 8.0, 2.0, 7.0, 5.0, 6.0]
    value = dict(zip(days, worth, strict=True))
    lawful = [
        chosen
        for chosen in combinations(days, count)
        if all(b - a >= 20 for a, b in pairwise(chosen))
    ]
    found = best_apart(days, worth, count, 20)
    if not lawful:
        assert found == []
    else:
        assert sum(value[day] for day in found) == max(
            sum(value[day] for day in chosen) for chosen in lawful
        )


def test_climbing_ends_where_no_single_move_is_better():
    def value(chosen: Sequence[int]) -> float:
        return -sum((day - want) ** 2 for day, want in zip(chosen, (21, 70), strict=True))

    days = list(range(0, 100, 7))
    assert climbed([0, 35], days, 20, value, lambda: True) == [21, 70]
    assert climbed([0, 35], days, 20, value, lambda: False) == [0, 35]


# The walk


def taken(walk: Walk, chicks: float, hatch_day: int = 0) -> int:
    """Return the off-bed days of a batch of one pen."""
    return walk.take(BatchSize(hatch_day, 1, (1,)), [(0, chicks)], BIRD)


def test_a_pen_moves_on_after_the_longest_stay_and_keeps_the_rest():
    assert taken(Walk(places(4, 1e9), RULES), 1) == 0  # 4 places of 5 days
    assert taken(Walk(places(3, 1e9), RULES), 1) == 5
    assert taken(Walk(places(3, 1e9), StayRules(5, 15)), 1) == 5  # back on day 20 only
    assert taken(Walk(places(3, 1e9), StayRules(5, 10)), 1) == 0


def test_nitrogen_room_is_never_passed_and_stays_used_up():
    walk = Walk(places(4, 10.0), RULES)
    assert taken(walk.copy(), 2) == 0  # 2 g a day, 5 days a place
    assert taken(walk.copy(), 3) == 8  # 3 days a place
    assert taken(walk, 2) == 0
    assert taken(walk, 2, hatch_day=100) == 20


def test_windows_open_and_shut():
    assert taken(Walk(places(4, 1e9, first=30), RULES), 1) == 10
    assert taken(Walk(places(4, 1e9, end=25), RULES), 1) == 15


def test_places_on_the_same_ground_share_what_is_dropped():
    small = Place(0, 10.0, ((0, 366, 10.0),), shares=((1, 1.0),))
    large = Place(1, 10.0, ((0, 366, 10.0),), shares=((0, 0.5),))
    walk = Walk([small, large], StayRules(20, 0))
    assert taken(walk, 0.5) == 0
    assert walk.take(BatchSize(50, 1, (2,)), [(1, 1.0)], BIRD) == 20


def test_two_pens_do_not_stand_on_one_place():
    walk = Walk(places(1, 1e9), StayRules(20, 0))
    assert walk.take(BatchSize(0, 2, (1, 2)), [(0, 1.0), (0, 1.0)], BIRD) == 20


# The search


def setting(room_g: float, spots: int, **changed: object) -> Setting:
    """Return a garden whose planner walks as the search does."""
    ground = places(spots, room_g)

    def judge(proposed: Sequence[BatchSize]) -> Judged:
        walk = Walk(ground, RULES)
        return Judged(sum(walk.take(each, [(0, each.chicks)], BIRD) for each in sorted(proposed)))

    return Setting(limits(**changed), Walk(ground, RULES), judge)


def asked(garden: Setting, **changed: object) -> Asked:
    """Return a search of a second."""
    usual = {"bird": BIRD, "setting": garden, "looser": {}, "seconds": 8.0}
    return Asked(**usual | changed)


def test_a_wish_that_fits_is_met_with_one_batch_and_nothing_binds():
    sized = size_season(asked(setting(60.0, 8, wanted_kg=14.0)))
    assert sized.meets_wish
    assert (sized.best.chicks, len(sized.best.batches), sized.best.off_bed_days) == (10, 1, 0)
    assert sized.loosened == ()


def test_a_garden_too_small_tells_which_limit_binds():
    poor = setting(25.0, 8)
    looser = {"bed": lambda: setting(25.0, 16), "birds": lambda: poor}
    sized = size_season(asked(poor, looser=looser))
    assert not sized.meets_wish
    assert sized.best.off_bed_days == 0
    assert [each.key for each in sized.loosened] == ["bed", "birds"]
    assert sized.loosened[0].more_kg > 4 > sized.loosened[1].more_kg


def test_off_bed_days_put_up_with_bring_more_meat_and_the_frontier_rises():
    poor = setting(25.0, 8)
    strict, easy = (size_season(asked(poor, off_days_a_batch=days)) for days in (0, 5))
    assert easy.best.meat_kg > strict.best.meat_kg
    assert easy.best.off_bed_days <= 5 * len(easy.best.batches)
    meat = [offer.meat_kg for offer in strict.frontier]
    off = [offer.off_bed_days for offer in strict.frontier]
    assert meat == sorted(meat)
    assert off == sorted(off)
    assert len(meat) > 1


def test_the_planner_has_the_last_word():
    garden = setting(60.0, 8)
    harsh = replace(
        garden, judge=lambda proposed: Judged(max(0, sum(b.chicks for b in proposed) - 6))
    )
    assert size_season(asked(harsh)).best.chicks <= 6


def test_the_search_beats_the_rule_of_thumb_at_its_own_off_bed_days():
    garden = setting(40.0, 10)
    rule = by_floor_alone(BIRD, garden.limits)
    rule_off = garden.judge(rule)
    frontier = size_season(asked(garden)).frontier
    at_most = [offer for offer in frontier if offer.off_bed_days <= rule_off.off_bed_days]
    assert max(offer.meat_kg for offer in at_most) >= offer_of(rule, BIRD, rule_off).meat_kg


def test_where_nothing_fits_the_wish_is_offered_with_the_days_off_that_it_costs():
    sized = size_season(asked(setting(0.5, 8, wanted_kg=14.0)))
    assert sized.best is None
    least = sized.frontier[0]
    assert (least.chicks, len(least.batches)) == (10, 1)
    assert least.off_bed_days > 0
    assert sized.frontier[-1].meat_kg > least.meat_kg


def test_no_day_outdoors_brings_no_batch():
    sized = size_season(asked(setting(60.0, 8, outdoors=(False,) * 367)))
    assert (sized.best, sized.others, sized.frontier) == (None, (), ())


def test_a_search_that_is_told_to_end_answers_with_what_it_has():
    told: list[str] = []

    def tell(share: float, words: str) -> bool:
        told.append(words)
        return len(told) > 2

    assert size_season(asked(setting(60.0, 8), seconds=60.0), tell).best is not None
    assert "planned so far" in told[0]


class SlowClock:
    """A clock that only moves when it is told to."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def __call__(self) -> float:
        return self.seconds


def test_a_slow_planner_leaves_out_neither_frontier_nor_limits():
    clock, poor = SlowClock(), setting(25.0, 8)

    def slow(proposed: Sequence[BatchSize]) -> Judged:
        clock.seconds += 4.0  # a tenth of the time for one answer
        return poor.judge(proposed)

    looser = {"bed": lambda: setting(25.0, 16), "birds": lambda: poor}
    watch = Stopwatch(40.0, work=clock, clock=lambda: 0.0)
    sized = size_season(asked(replace(poor, judge=slow), looser=looser, watch=watch))
    assert sized.best.meat_kg > 0
    assert len(sized.frontier) > 1
    assert {each.key for each in sized.loosened} | set(sized.untried) == {"bed", "birds"}
    assert sized.loosened
    assert clock.seconds <= 1.3 * 40.0


def test_the_time_of_a_search_is_the_work_done_and_the_clock_only_where_that_is_far_behind():
    work, clock = SlowClock(), SlowClock()
    watch = Stopwatch(10.0, work=work, clock=clock)
    work.seconds, clock.seconds = 4.0, 9.0
    assert watch.used == pytest.approx(0.4)
    with watch.part(0.5):
        work.seconds = 6.9
        assert watch.has_time
        work.seconds = 7.1
        assert not watch.has_time
    assert watch.has_time
    with watch.paused():
        work.seconds, clock.seconds = 50.0, 60.0
    assert watch.used == pytest.approx(0.71)
    clock.seconds += PATIENCE * 10.0
    assert watch.used > 1


def test_choices_of_pens_and_of_proposals_have_no_doubles():
    pens = [PenFloor(pk, float(pk), 0) for pk in (1, 2, 3)]
    chosen = [[pen.pk for pen in choice] for choice in pen_choices(pens)]
    assert chosen == [[3, 2, 1], [3, 2], [3]]
    assert pen_choices([PEN]) == [[PEN]]
    few, many = (offer_of(batches((0, n)), BIRD, Judged(3)) for n in (10, 12))
    best = offer_of(batches((0, 12)), BIRD, Judged(1))
    assert undominated([few, many, best]) == [best]
