"""Every address walked as everybody, from the list of addresses itself, so that a new one cannot be forgotten.

A new kind of id in an address fails here until `rows_of` makes one; a new address that a helper must not use
fails until it refuses a helper or stands in `FOR_HELPERS`.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta

import pytest
from django.contrib.auth import get_user_model
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from flocks.models import Batch, BatchPen
from garden.clock import now
from garden.models import Bed, Garden, Invitation, Planting, UndoStep
from rotation.models import CalendarFeed, Photo, Reminder
from rotation.photo_files import photo_write
from rotation.pictures import Picture
from tests.conftest import TODAY
from tests.factories import (
    ArrivalFactory,
    BatchFactory,
    BatchPenFactory,
    CleaningFactory,
    ClosureFactory,
    CostFactory,
    DesignFactory,
    EarlyHarvestFactory,
    ExportFactory,
    FeedCountFactory,
    FeedLotFactory,
    FeedProductFactory,
    FeedPurchaseFactory,
    FeedRecordFactory,
    GardenFactory,
    HandOverFactory,
    HarvestWeightFactory,
    HeapFactory,
    HeapInputFactory,
    HeapReadingFactory,
    HoursFactory,
    LossFactory,
    MembershipFactory,
    NoteFactory,
    PackFactory,
    PackOutFactory,
    PhotoFactory,
    PinnedStayFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    ProcessingDayFactory,
    ProcessingFactory,
    SizingFactory,
    SoilTestFactory,
    SpreadFactory,
    StayFactory,
    TreatmentFactory,
    TurnFactory,
    UserFactory,
    VisitorFactory,
    WaterRecordFactory,
    WeighingFactory,
    WhatIfFactory,
    processed_sooner,
)

pytestmark = pytest.mark.django_db

METHODS = ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE")
LOOKS = ("GET", "HEAD")
GUARDS = {
    "Content-Security-Policy": "default-src 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "geolocation=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
"""What every answer carries, with a part of it that says so."""

OPEN_TO_ALL = {
    "health",
    "language",
    "mode",
    "worker",
    "manifest",
    "offline",
    "outbox_token",
    "healthz",
    "readyz",
    "metrics",
    "calendar_feed",
    "reminder_stop",
}
"""Addresses outside gardens that need no sign-in; the accounts pages are allauth's own."""
FOR_HELPERS = {
    "batch_new", "sizing", "sizing_enough", "sizing_make", "batch_edit", "undo", "plan_again", "plan_enough",
    "weighing_new", "weighing_edit", "weighing_remove", "feed_new", "feed_edit", "feed_remove",
    "water_new", "water_edit", "water_remove",
    "loss_new", "loss_edit", "loss_remove", "processing_new", "processing_edit", "processing_remove",
    "note_new", "note_edit", "note_remove",
    "design_shop", "design_tick", "move_done", "move_elsewhere", "chore_mark", "quick_log", "leave",
    "chore_cannot", "weather",
    "planting_new", "planting_edit", "planting_remove", "early_harvest_new", "early_harvest_remove",
    "soil_test_new", "soil_test_edit", "soil_test_remove", "spread_new", "spread_edit", "spread_remove",
    "harvest_new", "harvest_edit", "harvest_remove",
    "heap_new", "heap_edit", "heap_input_new", "heap_reading_new", "heap_spread_new", "heap_off_bed",
    "heap_lift",
    "heap_input_remove", "heap_reading_remove", "heap_carried_remove",
    "stay_change", "stay_swap", "pin_change", "pin_remove", "closure_new", "closure_edit", "closure_remove",
    "feed_product_new", "feed_product_edit", "feed_product_retire", "feed_bought", "feed_counted",
    "feed_purchase_remove", "feed_count_remove", "feed_habits", "weighings_import",
    "feed_import", "plantings_import", "past_batches_import",
    "calendar_make", "calendar_revoke", "reminder",
    "photo_new", "photo_remove", "export_ask", "export_stop",
    "treatment_new", "treatment_edit", "treatment_remove", "arrival_new", "arrival_edit",
    "arrival_remove", "feed_lot_new", "feed_lot_edit", "feed_lot_remove", "cleaning_new",
    "cleaning_edit", "cleaning_remove", "visitor_new", "visitor_edit", "visitor_remove", "pack_new",
    "pack_edit", "pack_remove", "cost_new", "cost_edit", "cost_remove", "hours_new", "hours_edit",
    "hours_remove", "turn_new", "turn_edit", "turn_remove", "hand_over_new", "hand_over_edit",
    "hand_over_remove", "pack_out", "pack_out_remove", "house_rules", "processing_day",
    "processing_day_edit", "processing_day_remove", "processing_day_split",
    "what_if_new", "what_if_try", "what_if_accept", "what_if_drop",
}  # fmt: skip
"""Addresses by which a helper logs work."""
OF_ONES_OWN = {"leave", "calendar_make", "calendar_revoke", "reminder"}
"""Addresses that concern nobody but whoever uses them, so a viewer may."""


@pytest.fixture(autouse=True)
def _plans_take_no_time(settings, monkeypatch) -> None:
    settings.PLAN_SECONDS = 0.0001
    monkeypatch.setattr(
        "rotation.middleware.plan_keep", lambda **_: None
    )  # the next stories' matter


@dataclass(frozen=True)
class Address:
    """A named address with the names of its ids."""

    name: str
    ids: frozenset[str]


def addresses() -> Iterator[Address]:
    """Yield every named address of the product itself."""

    def walk(patterns: list, ids: frozenset[str]) -> Iterator[Address]:
        for pattern in patterns:
            found = ids | set(pattern.pattern.converters)
            if isinstance(pattern, URLResolver):
                if "allauth" not in str(pattern.urlconf_name):
                    yield from walk(pattern.url_patterns, found)
            elif isinstance(pattern, URLPattern) and not str(pattern.name).startswith("account_"):
                yield Address(pattern.name, frozenset(found))

    return walk(get_resolver().url_patterns, frozenset())


IN_GARDENS = [address for address in addresses() if "garden_id" in address.ids]
WITH_ROWS = [
    address for address in IN_GARDENS if address.ids - {"garden_id", "year", "page", "chore"}
]
"""A year, a page of the guide and a daily chore are the same in every garden."""
OUTSIDE = [address for address in addresses() if "garden_id" not in address.ids]


def named(address: Address) -> str:
    """Return a test's id."""
    return address.name


def rows_of(garden: Garden, user: object) -> dict[str, object]:
    """Return one id of every kind that an address may hold, all of one garden."""
    planting = PlantingFactory(bed__garden=garden)
    share = BatchPenFactory(batch__garden=garden)
    return {
        "garden_id": garden.pk,
        "year": TODAY.year,
        "which": "cuts",
        "name": "plan",
        "chore": "water",
        "page": "morning",
        "on": TODAY.isoformat(),
        **ground_rows(planting),
        **flock_rows(share.batch),
        **book_rows(share.batch, user),
        **plan_rows(share, planting.bed),
        **people_rows(garden, user),
    }


def ground_rows(planting: Planting) -> dict[str, object]:
    """Return what a bed and its planting have, by kind of id."""
    heap = HeapFactory(garden=planting.bed.garden)
    return {
        "bed_id": planting.bed.pk,
        "planting_id": planting.pk,
        "crop_id": planting.crop.pk,
        "heap_id": heap.pk,
        "input_id": HeapInputFactory(heap=heap).pk,
        "reading_id": HeapReadingFactory(heap=heap).pk,
        "carried_id": SpreadFactory(bed=planting.bed, heap=heap).pk,
        "soil_test_id": SoilTestFactory(bed=planting.bed).pk,
        "spread_id": SpreadFactory(bed=planting.bed).pk,
        "harvest_id": HarvestWeightFactory(planting=planting).pk,
        "early_id": EarlyHarvestFactory(planting=planting).pk,
        "closure_id": ClosureFactory(bed=planting.bed).pk,
    }


def flock_rows(batch: Batch) -> dict[str, object]:
    """Return what is logged about a flock and its feed, by kind of id."""
    garden = batch.garden
    return {
        "batch_id": batch.pk,
        "weighing_id": WeighingFactory(batch=batch).pk,
        "feed_id": FeedRecordFactory(batch=batch).pk,
        "product_id": FeedProductFactory(garden=garden).pk,
        "purchase_id": FeedPurchaseFactory(product__garden=garden).pk,
        "count_id": FeedCountFactory(product__garden=garden).pk,
        "water_id": WaterRecordFactory(batch=batch).pk,
        "loss_id": LossFactory(batch=batch).pk,
        "processing_id": ProcessingFactory(batch=batch).pk,
        "day_id": ProcessingDayFactory(batch=batch).pk,
        "note_id": NoteFactory(garden=garden, batch=batch).pk,
        "photo_id": photo_of(garden).pk,
    }


def book_rows(batch: Batch, user: object) -> dict[str, object]:
    """Return what stands in a garden's books, by kind of id."""
    garden = batch.garden
    return {
        "treatment_id": TreatmentFactory(batch=batch).pk,
        "arrival_id": ArrivalFactory(batch=batch).pk,
        "feed_lot_id": FeedLotFactory(garden=garden).pk,
        "cleaning_id": CleaningFactory(garden=garden).pk,
        "visitor_id": VisitorFactory(garden=garden).pk,
        "turn_id": TurnFactory(garden=garden, person=user).pk,
        "hand_over_id": HandOverFactory(garden=garden).pk,
        "pack_id": PackFactory(batch=batch).pk,
        "out_id": PackOutFactory(pack__batch=batch).pk,
        "cost_id": CostFactory(garden=garden).pk,
        "hours_id": HoursFactory(batch=batch).pk,
    }


def plan_rows(share: BatchPen, bed: Bed) -> dict[str, object]:
    """Return what is planned and built for a batch's pen, by kind of id."""
    garden, where = bed.garden, {"pen": share.pen, "batch": share.batch, "bed": bed}
    return {
        "pen_id": share.pen.pk,
        "design_id": DesignFactory(garden=garden).pk,
        "stay_id": StayFactory(**where).pk,
        "planned_id": PlannedStayFactory(plan=PlanFactory(garden=garden), **where).pk,
        "pin_id": PinnedStayFactory(**where).pk,
        "what_if_id": WhatIfFactory(garden=garden, changes=processed_sooner(share.batch)).pk,
        "sizing_id": SizingFactory(garden=garden).pk,
        "export_id": ExportFactory(garden=garden).pk,
    }


def people_rows(garden: Garden, user: object) -> dict[str, object]:
    """Return what people of a garden have, and the secrets in their addresses, by kind of id."""
    invitation = Invitation.objects.create(garden=garden, made_by=user)
    step = UndoStep.objects.create(
        garden=garden, user=user, said="x", rows=[], expires_at=now() + timedelta(minutes=5)
    )
    return {
        "membership_id": MembershipFactory(garden=garden, role="viewer").pk,
        "invitation_id": invitation.pk,
        "step_id": step.pk,
        "token": invitation.token,
        "key": CalendarFeed.objects.create(garden=garden, user=user).token,
        "letter": Reminder.objects.create(garden=garden, user=user, address="http://x").token,
    }


def photo_of(garden: Garden) -> Photo:
    """Return a photo with its files."""
    return PhotoFactory(garden=garden, name=photo_write(Picture(b"large", b"small", 4, 3)))


def url(address: Address, rows: dict[str, object]) -> str:
    """Return an address with ids put in; KeyError names a kind of id that `rows_of` should make."""
    return reverse(address.name, kwargs={name: rows[name] for name in address.ids})


def asked(client: Client, method: str, place: str) -> HttpResponse:
    """Ask once and put everything back as it was; every answer must carry every header."""
    with transaction.atomic():
        answer = client.generic(method, place)
        transaction.set_rollback(True)
    missing = [name for name, part in GUARDS.items() if part not in answer.headers.get(name, "")]
    assert not missing, f"{method} {place} answers without {missing}"
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    return answer


Allowed = Callable[[Address, str], Iterable[int]]
"""The answers that somebody may get from an address by a method."""


def walked(client: Client, rows: dict[str, object], where: list[Address], may: Allowed) -> None:
    """Ask every address by every method and tell all answers that should not be."""
    wrong = [
        f"{method} {place} answers {answer.status_code}"
        for address in where
        for place in [url(address, rows)]
        for method in METHODS
        for answer in [asked(client, method, place)]
        if answer.status_code not in may(address, method)
    ]
    assert wrong == []


def test_a_passer_by_is_asked_to_sign_in(garden, owner):
    rows, passer_by = rows_of(garden, owner.user), Client()
    for address in [*IN_GARDENS, *OUTSIDE]:
        is_open, place = address.name in OPEN_TO_ALL, url(address, rows)
        for method in METHODS:
            answer = asked(passer_by, method, place)
            if is_open:
                assert answer.status_code in (200, 302, 403, 404, 405, 503), f"{method} {place}"
            else:
                assert answer.status_code == 302, f"{method} {place}"
                assert answer.url.startswith("/accounts/login/")


@pytest.fixture
def _plain_404(monkeypatch) -> None:
    """Say 404 without drawing the page that says so, which takes longer than all else."""
    monkeypatch.setattr(
        "garden.urls.handler404", lambda *_, **__: HttpResponse(status=404), raising=False
    )


@pytest.mark.usefixtures("_plain_404")
def test_a_stranger_finds_nothing(garden, owner, stranger):
    walked(stranger, rows_of(garden, owner.user), IN_GARDENS, lambda *_: (404, 405))


@pytest.mark.usefixtures("_plain_404")
def test_ids_of_another_garden_are_not_found_in_ones_own(garden, owner):
    rows = rows_of(GardenFactory(), UserFactory()) | {"garden_id": garden.pk}
    walked(owner, rows, WITH_ROWS, lambda *_: (404, 405))


def test_a_viewer_looks_and_changes_nothing(garden, owner, viewer):
    def may(address: Address, method: str) -> Iterable[int]:
        if method in LOOKS:
            return (200, 302, 403, 405)
        own = address.name in OF_ONES_OWN and method == "POST"
        return (200, 302, 303, 409, 422) if own else (403, 405)

    walked(viewer, rows_of(garden, owner.user), IN_GARDENS, may)


def test_a_helper_logs_work_but_changes_neither_rules_nor_people(garden, owner, helper):
    def may(address: Address, method: str) -> Iterable[int]:
        if method in LOOKS:
            return (200, 302, 403, 405)
        logs = address.name in FOR_HELPERS and method == "POST"
        return [*range(200, 403), *range(404, 500)] if logs else (403, 405)

    walked(helper, rows_of(garden, owner.user), IN_GARDENS, may)


MARKUP = "<script>alert(1)</script><img src=x>"


def test_an_owner_can_open_or_use_everything_and_names_are_text_wherever_they_stand(garden, owner):
    Garden.objects.filter(pk=garden.pk).update(name=MARKUP)
    planting = PlantingFactory(bed__garden=garden, bed__name=MARKUP, crop__name=MARKUP)
    BatchPenFactory(batch__garden=garden, batch__name=MARKUP, pen__name=MARKUP)
    rows = rows_of(garden, owner.user)
    rows |= {"bed_id": planting.bed.pk, "crop_id": planting.crop.pk}
    for address in IN_GARDENS:
        place = url(address, rows)
        answer = asked(owner, "GET", place)
        assert answer.status_code in (200, 302, 405), place
        if not answer.streaming and answer["Content-Type"].startswith("text/html"):
            page = answer.content.decode()
            assert "<script>alert" not in page, place
            assert "<img src=x>" not in page, place
        answer = asked(owner, "POST", place)
        # Which file is wanted is said in the form, and none is said here.
        unsaid = (404,) if address.name == "export_ask" else ()
        assert answer.status_code in (200, 204, 302, 303, 405, 409, 422, *unsaid), place


def test_faults_files_and_redirects_carry_every_header_too(client, settings, monkeypatch):
    settings.ALLOWED_HOSTS = ["testserver"]
    client.raise_request_exception = False
    assert asked(client, "GET", "/nothing-here/").status_code == 404
    assert asked(client, "GET", "/static/app.css").status_code == 200
    assert asked(client, "GET", "/accounts/2fa/").status_code == 302
    client.defaults["HTTP_HOST"] = "evil.example"
    assert asked(client, "GET", "/").status_code == 400
    del client.defaults["HTTP_HOST"]
    monkeypatch.setattr("garden.views.front.connection", None)
    assert asked(client, "GET", "/health/").status_code == 500
    settings.SECURE_SSL_REDIRECT = True
    to_https = asked(Client(), "GET", "/gardens/")
    assert to_https.url == "https://testserver/gardens/"


def test_cookies_are_kept_from_scripts_and_plain_http(client):
    get_user_model().objects.create_user("nora", "nora@example.org", "four words in a row")
    client.get("/accounts/login/")
    client.post("/accounts/login/", {"login": "nora", "password": "four words in a row"})
    session, token = client.cookies["sessionid"], client.cookies["csrftoken"]
    assert session["secure"]
    assert session["httponly"]
    assert token["secure"]
    assert {session["samesite"], token["samesite"]} == {"Lax"}


def test_browsers_are_told_to_insist_on_https(client):
    answer = client.get("/accounts/login/", secure=True)
    assert answer["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains; preload"


def test_a_batch_of_another_garden_cannot_be_given_ones_own_pens(garden, owner):
    theirs = BatchFactory()
    answer = owner.get(reverse("batch", kwargs={"garden_id": garden.pk, "batch_id": theirs.pk}))
    assert answer.status_code == 404
