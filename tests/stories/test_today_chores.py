"""Ticking the day's chores, and who may."""

from datetime import time

import pytest
from django.urls import reverse

from flocks.models import FeedRecord, WaterRecord
from garden.models import UndoStep
from rotation.models import ChoreMark
from rotation.today import day_sheet
from tests.conftest import TODAY
from tests.factories import (
    FeedRecordFactory,
    GardenFactory,
)
from tests.stories.morning import HTMX, Morning, day, page, tap


def test_a_tick_is_kept_and_told_who_made_it(helper, garden, morning) -> None:
    assert tap(helper, garden, "water").status_code == 302
    text = page(helper, garden)
    assert "1 done today" in text
    assert "Rinse and fill the drinkers, hal" in text


def test_a_tick_is_taken_back(helper, garden, morning) -> None:
    tap(helper, garden, "water")
    tap(helper, garden, "water", "open")
    assert not ChoreMark.objects.exists()


def test_later_puts_the_move_last_and_says_who_did(helper, garden, morning) -> None:
    morning.plans(morning.bed_2)
    tap(helper, garden, f"move:{morning.pen.pk}", "later")
    text = page(helper, garden)
    assert "Put off by hal" in text
    assert text.index("Shut up for the night") < text.index("Move Pen A to Bed 2")


def test_nobody_puts_off_what_is_done(owner, helper, garden, morning) -> None:
    tap(helper, garden, "water")
    tap(owner, garden, "water", "later")
    assert ChoreMark.objects.get().mark == "done"


def test_one_tap_logs_the_feed_that_was_shown(helper, garden, morning) -> None:
    key = f"feed:{morning.batch.pk}:{morning.pen.pk}"
    tap(helper, garden, key, feed_kg="1.4")
    fed = FeedRecord.objects.get()
    assert (fed.pen, fed.mass_kg, fed.on, fed.logged_by) == (morning.pen, 1.4, TODAY, helper.user)
    text = page(helper, garden)
    assert "Feed logged, 1.4 kg, Pen A" in text
    assert "Pen A: 1.4 kg of feed, hal" in text
    assert "Feed Pen A" not in text


def test_two_taps_are_one_feeding(owner, helper, garden, morning) -> None:
    key = f"feed:{morning.batch.pk}:{morning.pen.pk}"
    tap(helper, garden, key, feed_kg="1.4")
    tap(owner, garden, key, feed_kg="1.4")
    assert FeedRecord.objects.count() == 1


def test_feed_logged_for_the_whole_batch_feeds_its_pens(helper, garden, morning) -> None:
    FeedRecordFactory(batch=morning.batch, on=TODAY)
    assert "Feed Pen A" not in page(helper, garden)


def test_htmx_gets_the_day_alone_with_the_focus_on_what_follows(helper, garden, morning) -> None:
    answer = tap(helper, garden, "water", then="shade", headers=HTMX)
    text = answer.content.decode()
    assert text.lstrip().startswith('<div id="day"')
    assert 'data-said="Drinkers filled"' in text
    assert text.count("data-take-focus") == 1
    assert 'id="undo" hx-swap-oob="true"' in text
    # The page goes on from Today, not from the address that was tapped.
    home = reverse("today", args=[garden.pk])
    assert f'name="next" value="{home}"' in text
    assert f"next={reverse('chore_mark', args=[garden.pk])}" not in text


@pytest.mark.parametrize(
    "sent",
    [
        {"chore": "dance", "mark": "done"},
        {"chore": "water", "mark": "burn"},
        {"chore": "feed:999:1", "mark": "done", "feed_kg": "1"},
        {"chore": "feed:{batch}:999", "mark": "done", "feed_kg": "1"},
        {"chore": "feed:{batch}:{pen}", "mark": "done"},
        {"chore": "feed:{batch}:{pen}", "mark": "done", "feed_kg": "9999"},
        {"chore": "feed:{batch}:{pen}", "mark": "done", "feed_kg": "nan"},
    ],
)
def test_a_tap_that_no_page_offers_is_refused(helper, garden, morning, sent) -> None:
    known = {"batch": morning.batch.pk, "pen": morning.pen.pk}
    sent = {name: value.format(**known) for name, value in sent.items()}
    assert helper.post(reverse("chore_mark", args=[garden.pk]), sent).status_code == 422
    assert not FeedRecord.objects.exists()


def test_a_viewer_sees_the_day_and_no_buttons(viewer, garden, morning) -> None:
    morning.plans(morning.bed_2)
    text = page(viewer, garden)
    assert "Move Pen A to Bed 2" in text
    assert reverse("chore_mark", args=[garden.pk]) not in text
    assert morning.address("move_done") not in text


def test_a_viewers_taps_are_refused(viewer, garden, morning) -> None:
    assert tap(viewer, garden, "water").status_code == 403
    assert morning.done(viewer, morning.bed_2).status_code == 403
    assert viewer.get(morning.address("move_elsewhere")).status_code == 403


def test_a_stranger_finds_nothing(stranger, garden, morning) -> None:
    assert stranger.get(reverse("today", args=[garden.pk])).status_code == 404
    assert tap(stranger, garden, "water").status_code == 404
    assert morning.done(stranger, morning.bed_2).status_code == 404


def test_another_gardens_rows_are_out_of_reach(helper, garden, morning) -> None:
    elsewhere = Morning(GardenFactory())
    theirs = reverse("move_done", args=[garden.pk, elsewhere.batch.pk, elsewhere.pen.pk])
    place = {"place": "off", "on": TODAY.isoformat()}
    assert helper.post(theirs, place).status_code == 404
    mixed = reverse("move_done", args=[garden.pk, morning.batch.pk, elsewhere.pen.pk])
    assert helper.post(mixed, place).status_code == 404
    answer = morning.done(helper, elsewhere.bed_2)
    assert answer.status_code == 422
    feeding = f"feed:{elsewhere.batch.pk}:{elsewhere.pen.pk}"
    assert tap(helper, garden, feeding, feed_kg="1").status_code == 422


def test_water_logged_in_litres_fills_the_drinkers_for_the_day(helper, garden, morning) -> None:
    address = reverse("water_new", args=[garden.pk, morning.batch.pk])
    assert "Rinse and fill the drinkers" in page(helper, garden)
    helper.post(address, {"on": TODAY.isoformat(), "litres": "1.5 gal"})
    given = WaterRecord.objects.get()
    assert round(given.litres, 3) == 5.678
    text = page(helper, garden)
    assert "Rinse and fill the drinkers" not in text
    assert "Batch 12: 5.7 L of water, hal" in text
    batch_page = helper.get(reverse("batch", args=[garden.pk, morning.batch.pk])).content.decode()
    assert "Water given (1)" in batch_page


def test_what_was_not_possible_is_told_with_its_day_and_comes_back_by_undo(
    helper, garden, morning
) -> None:
    address = reverse("chore_cannot", args=[garden.pk, "water"])
    yesterday = day(-1)
    helper.post(address, {"reason": "Not enough hands", "on": yesterday.isoformat()})
    assert ChoreMark.objects.get().on == yesterday
    assert (
        helper.post(address, {"reason": "Not enough hands", "on": "2020-01-01"}).status_code == 422
    )
    helper.post(address, {"reason": "Not enough hands"})
    assert "Not enough hands, hal" in page(helper, garden)
    tap(helper, garden, "water", "open")
    assert "Not enough hands, hal" not in page(helper, garden)
    helper.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))
    assert "Not enough hands, hal" in page(helper, garden)


@pytest.mark.parametrize(
    ("clock", "first", "then", "told"),
    [
        (time(8), "Check shade and water", "Shut up for the night", "Midday"),
        (time(20), "Shut up for the night", "Check shade and water", "Left from midday"),
    ],
)
def test_the_rail_tells_what_matters_now_and_what_was_left(
    garden, morning, clock, first, then, told
) -> None:
    tasks = day_sheet(garden, TODAY, clock).tasks
    titles = [task.chore.title for task in tasks if task.chore]
    assert titles.index(first) < titles.index(then)
    shade = next(task for task in tasks if task.key == "shade")
    assert shade.when == told


def test_the_sunset_on_the_rail_is_by_the_gardens_clock(helper, garden, morning) -> None:
    garden.latitude_deg, garden.longitude_deg, garden.time_zone = 53.35, -6.26, "Europe/Dublin"
    garden.save()
    text = page(helper, garden)
    assert "sunset 21:52" in text
    assert "20:52" not in text
