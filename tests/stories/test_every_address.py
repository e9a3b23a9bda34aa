"""Every address walked as everybody, from the list of addresses itself, so that a new one cannot be forgotten.

A new kind of id in an address fails here until `rows_of` makes one; a new address that a helper must not use
fails until it refuses a helper or stands in `FOR_HELPERS`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from garden.clock import now
from garden.models import Garden, Invitation, Membership, UndoStep
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
    WeighingFactory,
    WhatIfFactory,
    processed_sooner,
)

pytestmark = pytest.mark.django_db

OPEN_TO_ALL = {
    "health",
    "mode",
    "worker",
    "manifest",
    "offline",
    "outbox_token",
    "calendar_feed",
    "reminder_stop",
}
"""Addresses outside gardens that need no sign-in; the accounts pages are allauth's own."""
FOR_HELPERS = {
    "batch_new", "sizing", "sizing_enough", "sizing_make", "batch_edit", "undo", "plan_again", "plan_enough",
    "weighing_new", "weighing_edit", "weighing_remove", "feed_new", "feed_edit", "feed_remove",
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
    "photo_new", "photo_remove",
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
    batch, pen = share.batch, share.pen
    stay = StayFactory(pen=pen, batch=batch, bed=planting.bed)
    planned = PlannedStayFactory(
        plan=PlanFactory(garden=garden), pen=pen, batch=batch, bed=planting.bed
    )
    invitation = Invitation.objects.create(garden=garden, made_by=user)
    step = UndoStep.objects.create(
        garden=garden, user=user, said="x", rows=[], expires_at=now() + timedelta(minutes=5)
    )
    heap = HeapFactory(garden=garden)
    return {
        "heap_id": heap.pk,
        "input_id": HeapInputFactory(heap=heap).pk,
        "reading_id": HeapReadingFactory(heap=heap).pk,
        "carried_id": SpreadFactory(bed=planting.bed, heap=heap).pk,
        "soil_test_id": SoilTestFactory(bed=planting.bed).pk,
        "spread_id": SpreadFactory(bed=planting.bed).pk,
        "harvest_id": HarvestWeightFactory(planting=planting).pk,
        "garden_id": garden.pk,
        "bed_id": planting.bed.pk,
        "planting_id": planting.pk,
        "crop_id": planting.crop.pk,
        "pen_id": pen.pk,
        "design_id": DesignFactory(garden=garden).pk,
        "which": "cuts",
        "name": "plan",
        "batch_id": batch.pk,
        "weighing_id": WeighingFactory(batch=batch).pk,
        "feed_id": FeedRecordFactory(batch=batch).pk,
        "product_id": FeedProductFactory(garden=garden).pk,
        "purchase_id": FeedPurchaseFactory(product__garden=garden).pk,
        "count_id": FeedCountFactory(product__garden=garden).pk,
        "loss_id": LossFactory(batch=batch).pk,
        "processing_id": ProcessingFactory(batch=batch).pk,
        "year": TODAY.year,
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
        "day_id": ProcessingDayFactory(batch=batch).pk,
        "note_id": NoteFactory(garden=garden, batch=batch).pk,
        "photo_id": photo_of(garden).pk,
        "stay_id": stay.pk,
        "planned_id": planned.pk,
        "pin_id": PinnedStayFactory(pen=pen, batch=batch, bed=planting.bed).pk,
        "early_id": EarlyHarvestFactory(planting=planting).pk,
        "closure_id": ClosureFactory(bed=planting.bed).pk,
        "what_if_id": WhatIfFactory(garden=garden, changes=processed_sooner(batch)).pk,
        "sizing_id": SizingFactory(garden=garden).pk,
        "membership_id": MembershipFactory(garden=garden, role="viewer").pk,
        "invitation_id": invitation.pk,
        "step_id": step.pk,
        "token": invitation.token,
        "key": CalendarFeed.objects.create(garden=garden, user=user).token,
        "letter": Reminder.objects.create(garden=garden, user=user, address="http://x").token,
        "chore": "water",
        "page": "morning",
        "on": TODAY.isoformat(),
    }


def photo_of(garden: Garden) -> Photo:
    """Return a photo with its files."""
    return PhotoFactory(garden=garden, name=photo_write(Picture(b"large", b"small", 4, 3)))


def url(address: Address, rows: dict[str, object]) -> str:
    """Return an address with ids put in; KeyError names a kind of id that `rows_of` should make."""
    return reverse(address.name, kwargs={name: rows[name] for name in address.ids})


def membership_of(client: Client, garden: Garden) -> Membership:
    """Return a signed-in person's membership."""
    return Membership.objects.get(garden=garden, user=client.user)


@pytest.mark.parametrize("address", IN_GARDENS, ids=named)
def test_a_stranger_and_a_passer_by_find_nothing(address, garden, owner, stranger):
    place = url(address, rows_of(garden, owner.user))
    for ask in (stranger.get, stranger.post):
        assert ask(place).status_code in (404, 405), place
    for ask in (Client().get, Client().post):
        answer = ask(place)
        assert answer.status_code == 302
        assert answer.url.startswith("/accounts/login/")


@pytest.mark.parametrize("address", WITH_ROWS, ids=named)
def test_ids_of_another_garden_are_not_found_in_ones_own(address, garden, owner):
    other = GardenFactory()
    foreign = rows_of(other, UserFactory()) | {"garden_id": garden.pk}
    place = url(address, foreign)
    for ask in (owner.get, owner.post):
        assert ask(place).status_code in (404, 405), place


@pytest.mark.parametrize("address", IN_GARDENS, ids=named)
def test_a_viewer_looks_and_changes_nothing(address, garden, owner, viewer):
    place = url(address, rows_of(garden, owner.user))
    assert viewer.get(place).status_code in (200, 302, 403, 405), place
    if address.name not in OF_ONES_OWN:
        assert viewer.post(place).status_code in (403, 405), place


@pytest.mark.parametrize("address", IN_GARDENS, ids=named)
def test_a_helper_logs_work_but_changes_neither_rules_nor_people(address, garden, owner, helper):
    place = url(address, rows_of(garden, owner.user))
    assert helper.get(place).status_code in (200, 302, 403, 405), place
    answer = helper.post(place)
    if address.name in FOR_HELPERS:
        assert answer.status_code != 403, place
        assert answer.status_code < 500
    else:
        assert answer.status_code in (403, 405), place


@pytest.mark.parametrize("address", IN_GARDENS, ids=named)
def test_an_owner_can_open_or_use_everything(address, garden, owner):
    place = url(address, rows_of(garden, owner.user))
    assert owner.get(place).status_code in (200, 302, 405), place
    assert owner.post(place).status_code in (200, 204, 302, 303, 405, 409, 422), place


@pytest.mark.parametrize("address", OUTSIDE, ids=named)
def test_addresses_outside_gardens_ask_for_a_sign_in_first(address, garden, owner):
    place = url(address, rows_of(garden, owner.user))
    answer = Client().get(place)
    if address.name in OPEN_TO_ALL:
        assert answer.status_code in (200, 405)
    else:
        assert answer.status_code == 302
        assert answer.url.startswith("/accounts/login/")


def test_a_batch_of_another_garden_cannot_be_given_ones_own_pens(garden, owner):
    theirs = BatchFactory()
    answer = owner.get(reverse("batch", kwargs={"garden_id": garden.pk, "batch_id": theirs.pk}))
    assert answer.status_code == 404
