"""What a phone kept without signal is taken once, by the person who made it, and answered for a script."""

import gzip
import json
from datetime import timedelta
from uuid import uuid4

import pytest
from django.conf import settings
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from flocks.models import Batch, FeedRecord, Loss
from garden import taken_once
from garden.clock import now
from garden.models import Garden, TakenEntry, UndoStep
from rotation.day_sheet import place_key
from rotation.models import ChoreMark, Stay
from tests.conftest import TODAY
from tests.factories import BatchPenFactory, LossFactory
from tests.stories.morning import Morning, day


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old."""
    return BatchPenFactory(batch__garden=garden, batch__name="Spring batch").batch


def send(
    client: Client, address: str, data: dict[str, object], key: object = None, user: object = None
) -> HttpResponse:
    """Send an entry as a phone does."""
    headers = {
        "Outbox-Key": str(key or uuid4()),
        "Outbox-User": str(user or client.user.pk),
    }
    return client.post(address, data, headers=headers)


def feed(batch: Batch, mass_kg: str = "2") -> tuple[str, dict[str, object]]:
    """Return where feed is logged, and what is sent."""
    address = reverse("feed_new", args=[batch.garden_id, batch.pk])
    return address, {"on": TODAY.isoformat(), "mass_kg": mass_kg}


def test_the_same_entry_sent_three_times_is_one_record_with_one_answer(helper, batch):
    key = uuid4()
    answers = [send(helper, *feed(batch), key=key) for _ in range(3)]
    assert {answer.status_code for answer in answers} == {200}
    assert len({answer.content for answer in answers}) == 1
    assert answers[0].json() == {"go": reverse("batch", args=[batch.garden_id, batch.pk])}
    assert FeedRecord.objects.count() == UndoStep.objects.count() == 1
    assert TakenEntry.objects.get().key == key


def test_two_entries_that_say_the_same_are_two(helper, batch):
    # Kept without signal they arrive in one moment, which is no double tap: each has a key of its own.
    for _ in range(2):
        send(helper, *feed(batch))
    assert FeedRecord.objects.count() == 2


def test_a_key_is_ones_own(helper, owner, batch):
    key = uuid4()
    send(helper, *feed(batch, "2"), key=key)
    send(owner, *feed(batch, "3"), key=key)
    assert FeedRecord.objects.count() == TakenEntry.objects.count() == 2


def test_what_is_wrong_is_told_by_its_field_and_may_be_mended_under_its_key(helper, batch):
    key = uuid4()
    refused = send(helper, *feed(batch, "a bag"), key=key)
    assert refused.status_code == 422
    assert refused.json()["wrong"][0].startswith("Feed given (kg): Give a weight")
    assert not TakenEntry.objects.exists()
    assert send(helper, *feed(batch, "20"), key=key).status_code == 200
    assert FeedRecord.objects.get().mass_kg == 20


def test_a_loss_that_others_made_impossible_meanwhile_is_told(helper, batch):
    LossFactory(batch=batch, count=9)
    address = reverse("loss_new", args=[batch.garden_id, batch.pk])
    data = {"on": TODAY.isoformat(), "count": 2, "cause": "predator"}
    answer = send(helper, address, data)
    assert answer.json() == {"wrong": ["Birds lost: Only 1 bird is left."]}
    assert Loss.objects.count() == 1


def test_who_is_signed_out_gets_401_and_no_redirect(batch):
    client = Client()
    answer = client.post(
        feed(batch)[0], feed(batch)[1], headers={"Outbox-Key": str(uuid4()), "Outbox-User": "1"}
    )
    assert answer.status_code == 401
    assert answer.json() == {"wrong": ["Sign in to send this."]}
    assert not FeedRecord.objects.exists()


def test_another_persons_entry_is_not_taken_as_ones_own(owner, helper, batch):
    answer = send(owner, *feed(batch), user=helper.user.pk)
    assert answer.status_code == 401
    assert not FeedRecord.objects.exists()


def test_a_stranger_a_viewer_and_nonsense_are_answered_in_kind(stranger, viewer, helper, batch):
    assert send(stranger, *feed(batch)).status_code == 404
    refused = send(viewer, *feed(batch))
    assert refused.status_code == 403
    assert "takes a helper or an owner" in refused.json()["wrong"][0]
    assert send(helper, *feed(batch), key="1").status_code == 400
    assert not FeedRecord.objects.exists()
    assert not TakenEntry.objects.exists()


def test_without_a_key_a_form_is_answered_as_ever(helper, batch):
    answer = helper.post(*feed(batch))
    assert answer.status_code == 302
    assert not TakenEntry.objects.exists()


def test_two_phones_make_one_move_and_the_second_is_told(morning: Morning, owner, helper):
    morning.plans(morning.bed_2)
    sent = {
        "place": place_key(morning.bed_2.pk, 15.0),
        "on": TODAY.isoformat(),
        "seen": morning.stay.pk,
    }
    assert send(owner, morning.address("move_done"), sent).status_code == 200
    second = send(helper, morning.address("move_done"), sent)
    assert second.status_code == 200
    assert Stay.objects.filter(bed=morning.bed_2).count() == 1
    page = helper.get(reverse("today", args=[morning.garden.pk])).content.decode()
    assert "Pen A already stands on Bed 2: olive logged it." in page


def test_a_move_that_another_phone_made_elsewhere_is_refused_with_its_reason(
    morning: Morning, owner, helper
):
    bed_3 = morning.bed_2
    sent = {"place": place_key(bed_3.pk, 15.0), "on": TODAY.isoformat(), "seen": morning.stay.pk}
    off = {"place": "off", "on": TODAY.isoformat(), "seen": morning.stay.pk}
    assert send(owner, morning.address("move_done"), off).status_code == 200
    answer = send(helper, morning.address("move_done"), sent)
    assert answer.status_code == 409
    assert answer.json()["wrong"] == ["olive has moved Pen A off the beds meanwhile."]
    # It stands with the entry; the next page does not say it again.
    assert (
        "meanwhile" not in helper.get(reverse("today", args=[morning.garden.pk])).content.decode()
    )


def test_a_tick_of_yesterday_counts_for_yesterday(morning: Morning, helper):
    address = reverse("chore_mark", args=[morning.garden.pk])
    data = {"chore": "water", "mark": "done"}
    assert send(helper, address, data | {"on": day(-1).isoformat()}).status_code == 200
    assert ChoreMark.objects.get().on == day(-1)
    for wrong in (1, -15):
        refused = send(helper, address, data | {"on": day(wrong).isoformat()})
        assert refused.status_code == 422
    assert ChoreMark.objects.count() == 1


def test_the_token_tells_who_is_signed_in_and_is_good_for_a_post(helper, batch):
    strict = Client(enforce_csrf_checks=True)
    nobody = strict.get(reverse("outbox_token"))
    assert nobody.json() == {"user": None, "token": None}
    assert not nobody.cookies, "a new cookie would overtake the sign-in form that is open"
    strict.force_login(helper.user)
    told = strict.get(reverse("outbox_token"))
    assert told.json()["user"] == helper.user.pk
    assert "no-store" in told["Cache-Control"]
    headers = {"Outbox-Key": str(uuid4()), "Outbox-User": str(helper.user.pk)}
    assert strict.post(*feed(batch), headers=headers).status_code == 403
    headers["X-CSRFToken"] = told.json()["token"]
    assert strict.post(*feed(batch), headers=headers).status_code == 200


def test_of_two_that_arrive_at_once_one_is_written(helper, batch, monkeypatch):
    key, real, missed = uuid4(), taken_once._taken, []

    def looks_too_soon(*args: object) -> TakenEntry | None:
        missed.append(args)
        return None if len(missed) == 1 else real(*args)

    first = send(helper, *feed(batch), key=key)
    monkeypatch.setattr(taken_once, "_taken", looks_too_soon)
    assert send(helper, *feed(batch), key=key).content == first.content
    assert len(missed) == 2
    assert FeedRecord.objects.count() == TakenEntry.objects.count() == 1


def test_pages_say_whose_they_are_and_which_are_kept(helper, garden):
    kept = helper.get(reverse("today", args=[garden.pk]))
    assert (kept["Page-Of"], kept["Page-Kept"]) == (f"{helper.user.pk} en-gb", "yes")
    other = helper.get(reverse("people", args=[garden.pk]))
    assert other["Page-Of"] == kept["Page-Of"]
    assert "Page-Kept" not in other
    assert "Page-Of" not in Client().get(reverse("account_login"))


def test_the_worker_names_the_files_of_the_pages_and_a_version(client):
    answer = client.get(reverse("worker"))
    assert answer["Content-Type"].startswith("text/javascript")
    text = answer.content.decode()
    assert 'const FILES = "files ' in text
    for name in ("app.css", "outbox.js", "outbox_store.js"):
        assert name in text
    assert "worker-src 'self'" in answer["Content-Security-Policy"]


def test_a_phone_may_install_it(client):
    told = json.loads(client.get(reverse("manifest")).content)
    assert (told["display"], told["start_url"]) == ("standalone", "/")
    assert {icon["sizes"] for icon in told["icons"]} >= {"any", "192x192", "512x512"}
    assert any(icon.get("purpose") == "maskable" for icon in told["icons"])


def test_the_whole_of_the_scripts_is_light():
    folder = settings.BASE_DIR / "static"
    names = ("app.js", "outbox_store.js", "outbox.js")
    assert sum(len(gzip.compress((folder / name).read_bytes())) for name in names) < 12_000


def test_keys_of_long_ago_are_forgotten_when_the_next_is_taken(helper, owner, batch):
    for client in (helper, owner):
        send(client, *feed(batch))
    long_ago = now() - timedelta(days=taken_once.KEPT_DAYS + 1)
    TakenEntry.objects.update(taken_at=long_ago)
    send(helper, *feed(batch))
    assert [entry.taken_at > long_ago for entry in TakenEntry.objects.filter(user=helper.user)] == [
        True
    ]
    assert TakenEntry.objects.filter(user=owner.user).count() == 1
