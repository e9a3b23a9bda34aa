"""The day's chores, as values without a database."""

from dataclasses import replace
from datetime import time, timedelta

import pytest

from flocks.feed import water_in_words
from rotation.chore_keys import done_in_words
from rotation.chores import Act, Left, chores_of
from rotation.day_sheet import Place, Standing, due_move
from rotation.processing_due import ProcessingDue
from rotation.tasks import tasks_of
from tests.engines.test_day_sheet import BATCH, ON, day, pen, place, planned

WEIGHED = replace(BATCH, weighed_on=day(-1))


def keys(*args, **kwargs) -> list[str]:
    return [chore.key for chore in chores_of(ON, *args, **kwargs)]


def test_an_ordinary_day_feeds_waters_and_shuts() -> None:
    assert keys([WEIGHED], [pen(batch=WEIGHED)]) == ["feed:12:1", "water", "shade", "dusk"]


def test_a_fed_pen_is_not_fed_again() -> None:
    assert "feed:12:1" not in keys([WEIGHED], [pen(batch=WEIGHED, fed_today=True)])


def test_the_feed_is_told_in_the_gardens_units() -> None:
    metric, *_ = chores_of(ON, [WEIGHED], [pen(batch=WEIGHED)])
    us, *_ = chores_of(ON, [WEIGHED], [pen(batch=WEIGHED)], system="us")
    assert metric.detail == "1.0 kg of grower for 7 birds"
    assert us.detail == "2.2 lb of grower for 7 birds"


@pytest.mark.parametrize(
    ("litres", "system", "words"),
    [
        (7.4, "metric", "7.5 litres"),
        (1.1, "metric", "1 litre"),
        (0.01, "metric", "0.5 litre"),
        # 1 US quart is 0.946 L, by definition a quarter of 231 cubic inches.
        (3.785, "us", "4 quarts"),
    ],
)
def test_water_is_told_to_the_half(litres, system, words) -> None:
    assert water_in_words(litres, system) == words


@pytest.mark.parametrize(("weighed", "due"), [(-6, None), (-7, 0), (-9, -2)])
def test_a_weighing_is_due_a_week_after_the_last(weighed: int, due: int | None) -> None:
    batch = replace(BATCH, weighed_on=day(weighed))
    [chore] = [c for c in chores_of(ON, [batch], []) if c.act is Act.WEIGH] or [None]
    assert (chore and chore.due_on) == (None if due is None else day(due))


def test_nobody_is_weighed_for_the_forecast_on_processing_day() -> None:
    assert "weigh:12" not in keys([replace(BATCH, processing_on=ON)], [])


def test_chicks_are_first_weighed_at_two_weeks() -> None:
    young = replace(BATCH, hatch_on=day(-13), leaves_brooder_on=day(11))
    assert "weigh:12" not in keys([young], [])
    assert "weigh:12" in keys([replace(young, hatch_on=day(-14))], [])


def test_chicks_in_the_brooder_are_fed_and_looked_at_there() -> None:
    young = replace(BATCH, hatch_on=day(-5), leaves_brooder_on=day(18), brooder_feed_kg=0.3)
    waiting = pen(batch=young, standing=None)
    assert keys([young], [waiting]) == ["feed:12:brooder", "water", "brooder:12"]


@pytest.mark.parametrize(
    ("age_days", "system", "warmth"),
    [
        # Clauer, Penn State and Virginia Tech: week 1 92-95 °F (33-35 °C), weeks 2-3 85-90 °F (29-32 °C).
        (5, "metric", "33 °C to 35 °C"),
        (8, "metric", "29 °C to 32 °C"),
        (8, "us", "84 °F to 90 °F"),
    ],
)
def test_the_brooder_is_as_warm_as_their_age_asks(age_days, system, warmth) -> None:
    young = replace(BATCH, hatch_on=day(-age_days), age_days=age_days, leaves_brooder_on=day(18))
    [chore] = [c for c in chores_of(ON, [young], [], system=system) if c.key == "brooder:12"]
    assert chore.detail.startswith(warmth)


def test_birds_that_come_out_today_eat_in_their_pen() -> None:
    leaving = replace(WEIGHED, leaves_brooder_on=ON)
    out = pen(batch=leaving, standing=None, now=planned(place(2), 0, 3))
    assert "feed:12:1" in keys([leaving], [out], moves=[due_move(out, ON)])


def test_feed_is_taken_away_the_evening_before_processing() -> None:
    # Wabeck 1972, Poultry Science 51:1119: 8-10 h best; Directive 2007/43/EC, Annex I: at most 12 h.
    last_day = replace(WEIGHED, processing_on=day(1))
    assert "withdraw:12" in keys([last_day], [pen(batch=last_day)])
    due = ProcessingDue(on=day(1), birds=4, day_id=1, starts_at=time(8))
    [chore] = [
        chore
        for chore in chores_of(ON, [replace(last_day, due=(due,))], [])
        if chore.key == "withdraw:12"
    ]
    assert chore.title == "Take the feed from 4 of Batch 12"
    assert chore.detail.startswith("Between 20:00 and 00:00, 8 to 12 hours before the first bird")
    waiting = replace(last_day, due=(replace(due, wait="Inside"),))
    assert "withdraw:12" not in keys([waiting], [])


def test_nobody_is_fed_on_processing_day() -> None:
    today = replace(WEIGHED, processing_on=ON)
    assert "feed:12:1" not in keys([today], [pen(batch=today)])


def test_droppings_are_lifted_off_the_beds_and_mixed_in_on_them() -> None:
    off = Standing(id=1, place=Place(), first_day=day(-1))
    left = [Left(bed_id=3, bed_name="Bed 3")]
    told = keys([WEIGHED], [pen(batch=WEIGHED, standing=off)], left=left)
    assert {"lift:1", "mix:3"} <= set(told)


def test_put_off_tasks_come_last_and_name_who() -> None:
    birds = pen(batch=WEIGHED, now=planned(place(4), 0, 2))
    move = due_move(birds, ON)
    tasks = tasks_of(ON, [WEIGHED], [move], chores_of(ON, [WEIGHED], [birds]), {"move:1": "hal"})
    assert [task.key for task in tasks][-1] == "move:1"
    assert tasks[-1].put_off_by == "hal"
    assert [task.then for task in tasks] == [*(task.key for task in tasks[1:]), ""]


def test_processing_comes_before_everything_and_is_late_the_day_after() -> None:
    overdue = replace(WEIGHED, processing_on=ON - timedelta(days=1))
    first, *_ = tasks_of(ON, [overdue], [], chores_of(ON, [overdue], []), {})
    assert (first.kind, first.late_since) == ("processing", ON - timedelta(days=1))


@pytest.mark.parametrize(
    ("key", "known"),
    [
        ("feed:12:1", True),
        ("feed:12:brooder", True),
        ("water", True),
        ("move:1", True),
        ("dance", False),
        ("water'; drop", False),
        ("feed:x", False),
    ],
)
def test_only_known_keys_are_ticked(key: str, known: bool) -> None:
    assert bool(done_in_words(key)) is known
