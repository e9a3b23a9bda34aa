"""What the books say where the day is told: Today, the calendar, the letter and the sheet for the door."""

from datetime import date, time, timedelta

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from icalendar import Calendar

from flocks.models import Batch, HandOver, ProcessingDay, Turn
from garden.models import UndoStep
from rotation.digest import digests_send_due, reminder_set
from rotation.models import CalendarFeed
from tests.conftest import TODAY
from tests.factories import (
    BatchPenFactory,
    ProcessingDayFactory,
    ProcessingFactory,
    TreatmentFactory,
)

DAY = timedelta(days=1)


@pytest.fixture
def batch(garden) -> Batch:
    """Return ten birds in a pen, to be processed tomorrow."""
    row = BatchPenFactory(batch__garden=garden, batch__name="Spring batch").batch
    row.processing_on = TODAY + DAY
    row.save()
    return row


@pytest.fixture
def held(batch):
    """Return a medicine that holds past tomorrow, to 17 June."""
    return TreatmentFactory(batch=batch, name="Tylan", on=TODAY, last_on=TODAY, withdrawal_days=4)


def text_of(client: Client, name: str, *ids: int, query: str = "") -> str:
    """Return a page with its white space evened out."""
    return " ".join(client.get(reverse(name, args=ids) + query).content.decode().split())


def events_of(client: Client, garden) -> dict[str, object]:
    """Return the events of the garden's calendar by what they say."""
    client.post(reverse("calendar_make", args=[garden.pk]), {"hour": 7})
    feed = CalendarFeed.objects.filter(revoked_at=None).latest("pk")
    content = Client().get(reverse("calendar_feed", args=[feed.token])).content
    return {str(each["summary"]): each for each in Calendar.from_ical(content).walk("VEVENT")}


def letter_of(user: object, garden) -> str:
    """Return the letter about tomorrow."""
    user.email = "anna@example.org"
    user.save()
    reminder = reminder_set(garden=garden, user=user, hour=0, is_on=True, address="https://x")
    reminder.sent_for = None
    reminder.save()
    digests_send_due()
    return f"{mail.outbox[-1].subject}\n{mail.outbox[-1].body}"


def test_a_day_inside_a_wait_is_told_wherever_the_day_is(helper, garden, batch, held, settings):
    inside = "Inside the withdrawal time of Tylan: no bird of this batch before Wed 17 June."
    today = text_of(helper, "today", garden.pk)
    assert f"Spring batch may not be processed. {inside}" in today
    assert "Take the feed from" not in today
    events = events_of(helper, garden)
    assert events["Do not process Spring batch"]["description"] == inside
    assert not any(told.startswith(("Process", "Take the feed")) for told in events)
    letter = letter_of(helper.user, garden)
    assert f"Do not process Spring batch. {inside}" in letter
    assert "process Spring batch" not in letter.splitlines()[0]
    assert inside in text_of(helper, "day_sheet_print", garden.pk, query="?tomorrow")
    settings.PRETEND_TODAY = TODAY + DAY
    today = text_of(helper, "today", garden.pk)
    assert "Spring batch may not be processed" in today
    assert "Log what was processed" not in today
    assert "Choose another day" in today


def test_a_planned_day_has_its_birds_and_its_hour_everywhere(helper, garden, batch):
    ProcessingDayFactory(batch=batch, on=TODAY + DAY, birds=4, starts_at=time(8, 30))
    batch.processing_on = TODAY + 9 * DAY
    batch.save()
    today = text_of(helper, "today", garden.pk)
    assert "Spring batch: processing day for 4 birds, the first at 08:30" in today
    assert "Take the feed from 4 of Spring batch" in today
    assert "Between 20:30 and 00:30" in today
    events = events_of(helper, garden)
    first = events["Process Spring batch, 4 birds"]["dtstart"].dt
    assert (first.date(), first.time()) == (TODAY + DAY, time(8, 30))
    assert events["Process Spring batch, 6 birds"]["dtstart"].dt == TODAY + 9 * DAY
    assert "the first at 08:30" in letter_of(helper.user, garden)


def test_what_was_processed_settles_its_plan_and_no_other(helper, garden, batch, settings):
    ProcessingDayFactory(batch=batch, on=TODAY, birds=4)
    ProcessingDayFactory(batch=batch, on=TODAY + 5 * DAY, birds=6)
    assert "Processing day for Spring batch" in text_of(helper, "today", garden.pk)
    assert "4 of 10 birds" in text_of(helper, "today", garden.pk)
    ProcessingFactory(batch=batch, on=TODAY, count=4)
    assert "Processing day for Spring batch" not in text_of(helper, "today", garden.pk)
    settings.PRETEND_TODAY = TODAY + 6 * DAY
    assert "Processing day for Spring batch" in text_of(helper, "today", garden.pk)


def test_a_batch_ends_on_the_last_day_planned_for_its_birds(helper, garden, batch):
    fields = {"birds": 10, "starts_at": "08:00", "people": 2, "pace": "novice", "water_c": "15"}
    fields |= {"water_l_per_kg": "2", "crate_m2": "0.5", "on": (TODAY + 4 * DAY).isoformat()}
    new = reverse("processing_day", args=[garden.pk, batch.pk])
    assert helper.post(new, fields | {"birds": 6}).status_code == 302
    batch.refresh_from_db()
    assert batch.processing_on == TODAY + DAY
    rest = {"birds": 4, "on": (TODAY + 6 * DAY).isoformat()}
    assert helper.post(new, fields | rest).status_code == 302
    batch.refresh_from_db()
    assert batch.processing_on == TODAY + 6 * DAY
    step = UndoStep.objects.latest("pk")
    helper.post(reverse("undo", args=[garden.pk, step.pk]))
    batch.refresh_from_db()
    assert (batch.processing_on, ProcessingDay.objects.count()) == (TODAY + DAY, 1)


def test_who_comes_and_what_they_should_know(helper, viewer, garden, batch):
    common = {"garden": garden, "logged_by": helper.user}
    Turn.objects.create(on=TODAY, part="morning", person=helper.user, **common)
    Turn.objects.create(on=TODAY + DAY, person=viewer.user, **common)
    HandOver.objects.create(on=TODAY, text="The hose drips.", **common)
    HandOver.objects.create(on=TODAY + DAY, text="Look at the skirt.", **common)
    HandOver.objects.create(on=TODAY + 2 * DAY, text="Not yet.", **common)
    today = text_of(viewer, "today", garden.pk)
    left, _, tomorrow = today.partition('id="tomorrow"')
    assert "The hose drips." in left
    assert f"{helper.user.username}, morning" in left
    assert "Look at the skirt." in tomorrow
    assert f"On the rota: {viewer.user.username}, all day" in tomorrow
    assert "Not yet." not in today
    assert "Write a note for the next one" not in today
    assert "Write a note for the next one" in text_of(helper, "today", garden.pk)
    letter = letter_of(helper.user, garden)
    assert f"On the rota: {viewer.user.username}, all day" in letter
    assert "- Look at the skirt." in letter
    assert f"On the rota: {viewer.user.username}, all day" in events_of(helper, garden)
    assert "The hose drips." in text_of(viewer, "day_sheet_print", garden.pk)


def test_the_day_to_order_chicks_is_told(helper, garden, batch):
    later = BatchPenFactory(
        batch__garden=garden, batch__name="Autumn", batch__hatch_on=TODAY + 29 * DAY,
        batch__leaves_brooder_on=TODAY + 50 * DAY, batch__processing_on=date(2026, 9, 1),
    ).batch  # fmt: skip
    told = f"Order the chicks of Autumn, {later.chicks}"
    assert f"{told} of them" in text_of(helper, "today", garden.pk)
    assert events_of(helper, garden)[told]["dtstart"].dt == TODAY + DAY
    assert told in letter_of(helper.user, garden)
