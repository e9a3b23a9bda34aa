"""The garden's days elsewhere: a calendar's secret address, the letter about tomorrow, sheets for the door."""

from datetime import UTC, date, datetime, timedelta
from smtplib import SMTPServerDisconnected
from zoneinfo import ZoneInfo

import pytest
from django.core import mail
from django.core.cache import cache
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from icalendar import Calendar

from flocks.models import Batch
from garden.languages import remember
from garden.models import Garden
from rotation import digest
from rotation.digest import digests_send_due, reminder_set
from rotation.models import CalendarFeed, Reminder
from tests.conftest import TODAY
from tests.factories import (
    BatchPenFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    StayFactory,
)

DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def no_counts() -> None:
    """Let every story begin with nobody having asked for anything."""
    cache.clear()


@pytest.fixture
def flock(garden: Garden) -> Batch:
    """Return ten birds in a pen on Bed 1, planned to go to Bed 2 tomorrow and off the beds after."""
    pen = PenFactory(garden=garden, name="Pen A")
    first, second = (BedFactory(garden=garden, name=f"Bed {n}") for n in (1, 2))
    share = BatchPenFactory(batch__garden=garden, batch__name="Spring batch", pen=pen)
    batch = share.batch
    common = {"pen": pen, "batch": batch}
    StayFactory(bed=first, first_day=TODAY - 2 * DAY, stretch_mm=1170, **common)
    plan = PlanFactory(garden=garden, from_day=TODAY)
    common |= {"plan": plan, "stretch_mm": 1170}
    PlannedStayFactory(bed=first, first_day=TODAY, end_day=TODAY + DAY, **common)
    PlannedStayFactory(bed=second, first_day=TODAY + DAY, end_day=TODAY + 3 * DAY, **common)
    end_day = batch.processing_on
    PlannedStayFactory(bed=None, first_day=TODAY + 3 * DAY, end_day=end_day, **common)
    PlantingFactory(
        bed=first,
        crop=CropFactory(garden=garden, name="Leek"),
        starts_on=TODAY + 20 * DAY,
        first_harvest_on=TODAY + 90 * DAY,
        ends_on=TODAY + 200 * DAY,
    )
    return batch


def feed_of(client: Client, garden: Garden, **data: object) -> tuple[CalendarFeed, str]:
    """Make an address and return it."""
    client.post(reverse("calendar_make", args=[garden.pk]), {"hour": 7} | data)
    feed = CalendarFeed.objects.get(user=client.user, revoked_at=None)
    return feed, reverse("calendar_feed", args=[feed.token])


def events_of(content: bytes) -> dict[str, object]:
    """Read a feed back and return its events by what they say."""
    calendar = Calendar.from_ical(content)
    assert calendar["version"] == "2.0"
    assert not calendar.errors
    events = calendar.walk("VEVENT")
    assert len({event["uid"] for event in events}) == len(events)
    assert all("dtstamp" in event and "dtstart" in event for event in events)
    return {str(event["summary"]): event for event in events}


def test_the_feed_tells_moves_feed_weighing_processing_and_safe_harvest(viewer, garden, flock):
    _, address = feed_of(viewer, garden)
    answer = Client().get(address)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    events = events_of(answer.content)
    move = events["Move Pen A to Bed 2"]
    dublin = ZoneInfo("Europe/Dublin")
    assert move["dtstart"].dt == datetime(2026, 6, 13, 7, tzinfo=dublin)
    assert move["dtstart"].params["TZID"] == "Europe/Dublin"
    assert events["Move Pen A off the beds"]["dtstart"].dt.date() == TODAY + 3 * DAY
    assert events["Process Spring batch, 10 birds"]["dtstart"].dt == flock.processing_on
    assert events["Take the feed from Spring batch"]["dtstart"].dt.date() == (
        flock.processing_on - DAY
    )
    assert events["Weigh 10 of Spring batch"]["dtstart"].dt >= TODAY
    assert any("Pen A" in str(event.get("description")) for event in events.values())
    # Birds leave Bed 1 tomorrow, the droppings are mixed in that day, and leeks touch the soil.
    safe = events["Leek on Bed 1 may be picked from today"]
    assert safe["dtstart"].dt == max(TODAY + 90 * DAY, TODAY + DAY + timedelta(days=120))
    assert b"\r\n" in answer.content
    assert all(len(line) <= 75 for line in answer.content.split(b"\r\n"))


def test_seven_o_clock_stays_seven_when_the_clocks_change(owner, garden, settings, flock):
    settings.PRETEND_TODAY = date(2026, 10, 22)
    Batch.objects.update(
        hatch_on=date(2026, 9, 20), leaves_brooder_on=date(2026, 10, 14),
        processing_on=date(2026, 11, 10),
    )  # fmt: skip
    _, address = feed_of(owner, garden)
    content = Client().get(address).content
    calendar = Calendar.from_ical(content)
    assert [str(zone["tzid"]) for zone in calendar.walk("VTIMEZONE")] == ["Europe/Dublin"]
    fed = [
        event["dtstart"].dt
        for event in calendar.walk("VEVENT")
        if str(event["summary"]).startswith("Feed: ")
    ]
    assert {moment.hour for moment in fed} == {7}
    in_utc = {moment.date(): moment.astimezone(UTC).hour for moment in fed}
    assert (in_utc[date(2026, 10, 24)], in_utc[date(2026, 10, 25)]) == (6, 7)


def test_an_address_dies_when_it_is_closed_renewed_or_its_person_leaves(owner, helper, garden):
    _, first = feed_of(owner, garden)
    assert Client().get(first).status_code == 200
    _, second = feed_of(owner, garden, hour=6)
    assert (Client().get(first).status_code, Client().get(second).status_code) == (404, 200)
    owner.post(reverse("calendar_revoke", args=[garden.pk]))
    assert Client().get(second).status_code == 404
    _, theirs = feed_of(helper, garden)
    garden.memberships.of_user(helper.user).delete()
    assert Client().get(theirs).status_code == 404
    assert Client().get(first.replace("calendar/", "calendar/x")).status_code == 404


def test_who_asks_too_often_is_told_to_wait(owner, garden, monkeypatch):
    monkeypatch.setattr("rotation.views.messages.MOST_ASKED", 3)
    _, address = feed_of(owner, garden)
    codes = [Client().get(address).status_code for _ in range(4)]
    assert codes == [200, 200, 200, 429]
    assert Client().get(address)["Retry-After"] == "600"
    guesses = [Client().get(f"/calendar/guess{n}.ics").status_code for n in range(5)]
    assert guesses == [404, 404, 404, 429, 429]


def test_a_feed_takes_few_queries(owner, garden, flock, django_assert_max_num_queries):
    for n in range(4):
        share = BatchPenFactory(batch__garden=garden, pen=PenFactory(garden=garden))
        assert share.batch.pk != flock.pk + n * 1000
    _, address = feed_of(owner, garden)
    with django_assert_max_num_queries(12):
        Client().get(address)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """Return the moment that letters are sent at, to be set; at first half past five in Dublin."""
    moment = [datetime(2026, 6, 12, 16, 30, tzinfo=UTC)]
    for module in ("rotation.digest", "rotation.models.messages"):
        monkeypatch.setattr(f"{module}.now", lambda: moment[0])
    return moment


@pytest.fixture
def reminder(garden: Garden, helper: Client, clock: list[datetime]) -> Reminder:
    """Return Hal's letter, at six in the evening."""
    return reminder_set(
        garden=garden, user=helper.user, hour=18, is_on=True, address="https://till.example"
    )


def test_the_letter_goes_out_once_a_day_at_its_hour_of_the_gardens_clock(
    garden, flock, reminder, clock, settings
):
    assert digests_send_due() == 0
    clock[0] = datetime(2026, 6, 12, 17, 0, tzinfo=UTC)  # six in Dublin, in summer
    assert digests_send_due() == 1
    assert digests_send_due() == 0
    settings.PRETEND_TODAY = TODAY + DAY
    clock[0] += DAY
    assert digests_send_due() == 1
    letter = mail.outbox[0]
    assert letter.to == ["hal@example.org"]
    assert letter.subject == f"{garden.name}, Sat 13 June: Move Pen A to Bed 2"
    assert "- Move Pen A to Bed 2" in letter.body
    assert "kg of" in letter.body
    assert f"https://till.example/g/{garden.pk}/" in letter.body


def test_the_letter_tells_pounds_where_the_garden_does_and_its_own_zone(
    garden, flock, reminder, clock
):
    Garden.objects.update(unit_system="us", time_zone="America/New_York")
    clock[0] = datetime(2026, 6, 12, 21, 59, tzinfo=UTC)
    assert digests_send_due() == 0
    clock[0] = datetime(2026, 6, 12, 22, 0, tzinfo=UTC)
    call_command("send_digest")
    [letter] = mail.outbox
    assert " lb of " in letter.body
    assert " kg" not in letter.body


def test_a_letter_that_the_server_refused_is_tried_again_later_and_others_go_out(
    garden, owner, reminder, clock, monkeypatch
):
    reminder_set(garden=garden, user=owner.user, hour=18, is_on=True, address="https://x.example")
    sent = digest.EmailMessage.send

    def send(letter: object) -> int:
        if "hal@example.org" in letter.to:
            raise SMTPServerDisconnected
        return sent(letter)

    monkeypatch.setattr(digest.EmailMessage, "send", send)
    clock[0] = datetime(2026, 6, 12, 17, 5, tzinfo=UTC)
    assert digests_send_due() == 1
    assert digests_send_due() == 0
    reminder.refresh_from_db()
    assert (reminder.sent_for, reminder.next_try_at) == (None, clock[0] + digest.PATIENCE)
    monkeypatch.setattr(digest.EmailMessage, "send", sent)
    clock[0] += timedelta(minutes=16)
    assert digests_send_due() == 1


def test_one_click_stops_it_without_a_sign_in_and_a_look_alone_does_not(
    garden, flock, reminder, clock
):
    clock[0] += timedelta(hours=1)
    digests_send_due()
    letter = mail.outbox[0]
    link = letter.extra_headers["List-Unsubscribe"].strip("<>")
    assert letter.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert link in letter.body
    path = link.removeprefix("https://till.example")
    machine = Client(enforce_csrf_checks=True)
    look = machine.get(path)
    assert look.status_code == 200
    assert "Stop the letters" in look.content.decode()
    reminder.refresh_from_db()
    assert reminder.is_on
    stopped = machine.post(path, {"List-Unsubscribe": "One-Click"})
    assert "It is stopped" in stopped.content.decode()
    reminder.refresh_from_db()
    assert not reminder.is_on
    assert machine.get(path.replace("letters/", "letters/x")).status_code == 404


def test_who_left_the_garden_gets_no_letter(garden, helper, reminder, clock):
    garden.memberships.of_user(helper.user).delete()
    clock[0] += timedelta(hours=2)
    assert digests_send_due() == 0
    assert mail.outbox == []


def test_a_letter_turned_on_after_its_hour_comes_tomorrow(garden, owner, clock, settings):
    clock[0] = datetime(2026, 6, 12, 20, 0, tzinfo=UTC)
    owner.post(reverse("reminder", args=[garden.pk]), {"is_on": "on", "hour": "18"})
    assert Reminder.objects.get().address == "http://testserver"
    assert digests_send_due() == 0
    settings.PRETEND_TODAY = TODAY + DAY
    clock[0] += DAY
    assert digests_send_due() == 1


def test_without_an_address_the_form_says_so_and_a_wrong_hour_too(owner, viewer, garden):
    viewer.user.email = ""
    viewer.user.save()
    address = reverse("reminder", args=[garden.pk])
    answer = viewer.post(address, {"is_on": "on", "hour": "18"})
    assert answer.status_code == 422
    assert "has no e-mail address" in answer.content.decode()
    assert owner.post(address, {"is_on": "on", "hour": "24"}).status_code == 422
    assert not Reminder.objects.exists()


def test_the_sheets_for_the_shed_door_tell_the_day_and_the_week(viewer, garden, flock):
    day = viewer.get(reverse("day_sheet_print", args=[garden.pk])).content.decode()
    assert "No pen moves." in day
    assert "Pen A: " in day
    tomorrow = viewer.get(reverse("day_sheet_print", args=[garden.pk]) + "?tomorrow")
    assert "Move Pen A to Bed 2" in tomorrow.content.decode()
    week = viewer.get(reverse("week_sheet_print", args=[garden.pk])).content.decode()
    for told in ("Fri 12 June", "Thu 18 June", "Move Pen A off the beds", "Pen A: "):
        assert told in week


def test_an_empty_garden_has_sheets_a_calendar_and_a_letter_too(owner, garden, clock):
    for name in ("day_sheet_print", "week_sheet_print", "in_out", "own_messages"):
        assert owner.get(reverse(name, args=[garden.pk])).status_code == 200
    _, address = feed_of(owner, garden)
    assert events_of(Client().get(address).content) == {}
    reminder_set(garden=garden, user=owner.user, hour=18, is_on=True, address="https://x.example")
    clock[0] += timedelta(hours=2)
    assert digests_send_due() == 1
    assert "Nothing is planned for tomorrow." in mail.outbox[0].body


def test_letter_and_calendar_speak_the_language_of_whoever_they_are_for(
    viewer, garden, flock, reminder, clock
):
    _, address = feed_of(viewer, garden)
    for reader in (viewer.user, reminder.user):
        remember(reader, "es")
    clock[0] = datetime(2026, 6, 12, 17, 0, tzinfo=UTC)
    assert digests_send_due() == 1
    [letter] = mail.outbox
    assert letter.subject == f"{garden.name}, sáb 13 de junio: Trasladar Pen A a Bed 2"
    assert "- Trasladar Pen A a Bed 2" in letter.body
    assert "de pienso de" in letter.body
    assert "Move" not in letter.body
    assert "Trasladar Pen A a Bed 2" in events_of(Client().get(address).content)
