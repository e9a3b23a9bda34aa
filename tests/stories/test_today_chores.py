"""Ticking the day's chores, and who may."""

import pytest
from django.urls import reverse

from flocks.models import FeedRecord
from rotation.models import ChoreMark
from tests.conftest import TODAY
from tests.factories import (
    FeedRecordFactory,
    GardenFactory,
)
from tests.stories.morning import HTMX, Morning, page, tap


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
