"""Two tabs, two people, two taps: whoever comes second is told, nothing is doubled and nothing fails."""

from datetime import timedelta

import pytest
from django.db import IntegrityError
from django.test import Client
from django.urls import reverse

from flocks.models import Batch, FeedRecord, Loss, Weighing
from garden.clock import now
from garden.models import Bed, Garden, Membership, UndoStep
from garden.names import NameOnce
from rotation import planning
from rotation.models import Plan, PlannedStay
from rotation.planning import plan_faults, plan_mend
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    LossFactory,
    PenFactory,
    WeighingFactory,
)

pytestmark = pytest.mark.django_db


def day(number: int) -> str:
    """Return a day counted from today as a form sends it."""
    return (TODAY + timedelta(days=number)).isoformat()


def undo(client: Client, step: UndoStep) -> str:
    """Press Undo on a step and return what the next page says."""
    place = reverse("undo", args=[step.garden_id, step.pk])
    return client.post(place, follow=True).content.decode()


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old, in one pen."""
    return BatchPenFactory(batch__garden=garden).batch


@pytest.mark.parametrize(
    ("kind", "sent", "model"),
    [
        ("weighing", {"weights": "1740 1690"}, Weighing),
        ("loss", {"count": 1, "cause": "unknown"}, Loss),
        ("feed", {"mass_kg": "2 kg"}, FeedRecord),
    ],
)
def test_a_record_sent_twice_is_logged_once(kind, sent, model, helper, batch):
    place = reverse(f"{kind}_new", args=[batch.garden_id, batch.pk])
    for _ in range(2):
        assert helper.post(place, {"on": day(0)} | sent).status_code == 302
    assert model.objects.count() == 1
    assert UndoStep.objects.count() == 1


def test_a_second_bird_lost_later_or_seen_by_another_is_a_second_loss(helper, owner, batch):
    place = reverse("loss_new", args=[batch.garden_id, batch.pk])
    sent = {"on": day(0), "count": 1, "cause": "unknown"}
    helper.post(place, sent)
    owner.post(place, sent)
    Loss.objects.update(logged_at=now() - timedelta(minutes=1))
    helper.post(place, sent)
    assert Loss.objects.count() == 3


def test_a_batch_saved_in_two_tabs_is_there_once(helper, garden):
    pen = PenFactory(garden=garden)
    sent = {
        "name": "Spring", "hatch_on": day(7), "chicks": 8, "strain": "fast", "target_g": "2.2 kg",
        "pens": [pen.pk],
    }  # fmt: skip
    place = reverse("batch_new", args=[garden.pk])
    assert helper.post(place, sent).status_code == 302
    again = helper.post(place, sent)
    assert again.status_code == 422
    assert "This garden already has a batch of that name." in again.content.decode()
    assert Batch.objects.count() == 1


@pytest.mark.parametrize(
    ("name", "sent"),
    [
        ("pen_new", {"name": "Twin", "length_mm": "1.2 m", "width_mm": "1.2 m"}),
        ("bed_new", {"name": "Twin", "kind": "raised", "count": 1, "length_mm": "2.4 m",
                     "width_mm": "1.2 m"}),
    ],
)  # fmt: skip
def test_of_two_who_save_one_name_at_once_the_later_is_told(name, sent, owner, garden, monkeypatch):
    """The form finds the name free, then the other's row comes, then this one's saving."""
    make = {"pen_new": PenFactory, "bed_new": BedFactory}[name]
    clean_name, others = NameOnce.clean_name, []

    def clean_slowly(form: object) -> str:
        found_free = clean_name(form)
        if not others:
            others.append(make(garden=garden, name="Twin"))
        return found_free

    monkeypatch.setattr(NameOnce, "clean_name", clean_slowly)
    answer = owner.post(reverse(name, args=[garden.pk]), sent)
    assert answer.status_code == 422
    assert "already has a" in answer.content.decode()
    assert list(make._meta.model.objects.all()) == others


def test_a_fault_that_stays_is_not_hidden(owner, garden, monkeypatch):
    def refuse(*_: object, **__: object) -> None:
        raise IntegrityError("for ever")

    monkeypatch.setattr(Bed, "save", refuse)
    sent = {"name": "B", "kind": "raised", "count": 1, "length_mm": "2 m", "width_mm": "1 m"}
    with pytest.raises(IntegrityError, match="for ever"):
        owner.post(reverse("bed_new", args=[garden.pk]), sent)


def test_an_undo_sent_twice_is_done_once(owner, garden):
    owner.post(
        reverse("bed_new", args=[garden.pk]),
        {"name": "B", "kind": "raised", "count": 1, "length_mm": "2 m", "width_mm": "1 m"},
    )
    step = UndoStep.objects.get()
    assert "Undone: B added" in undo(owner, step)
    assert "That can no longer be undone." in undo(owner, step)
    assert not Bed.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_a_removed_weighing_does_not_come_back_to_a_batch_that_is_gone(helper, garden):
    pen = PenFactory(garden=garden)
    sent = {
        "name": "Spring", "hatch_on": day(-20), "chicks": 8, "strain": "fast",
        "target_g": "2.2 kg", "pens": [pen.pk],
    }  # fmt: skip
    helper.post(reverse("batch_new", args=[garden.pk]), sent)
    added, batch = UndoStep.objects.get(), Batch.objects.get()
    weighing = WeighingFactory(batch=batch, on=TODAY)
    helper.post(reverse("weighing_remove", args=[garden.pk, batch.pk, weighing.pk]))
    removed = UndoStep.objects.latest("pk")
    undo(helper, added)
    assert not Batch.objects.exists()
    assert "cannot be undone" in undo(helper, removed)
    assert not Weighing.objects.exists()


def test_adding_a_batch_is_taken_back_after_the_plan_was_made_for_it(helper, garden, settings):
    settings.PLAN_SECONDS = 0.1
    BedFactory(garden=garden)
    pen = PenFactory(garden=garden)
    sent = {
        "name": "Spring", "hatch_on": day(-20), "chicks": 8, "strain": "fast",
        "target_g": "2.2 kg", "pens": [pen.pk],
    }  # fmt: skip
    helper.post(reverse("batch_new", args=[garden.pk]), sent)
    assert PlannedStay.objects.exists()
    assert "Undone" in undo(helper, UndoStep.objects.get())
    assert not Batch.objects.exists()
    assert plan_faults(garden, TODAY) == []


def test_the_processing_that_finished_a_batch_is_taken_back(helper, batch):
    place = reverse("processing_new", args=[batch.garden_id, batch.pk])
    helper.post(place, {"on": day(0), "count": 10})
    batch.refresh_from_db()
    assert batch.finished_on == TODAY
    undo(helper, UndoStep.objects.latest("pk"))
    batch.refresh_from_db()
    assert batch.finished_on is None
    assert not batch.processing_set.exists()


def test_the_last_processing_is_not_taken_back_over_a_loss_logged_since(helper, owner, batch):
    place = reverse("processing_new", args=[batch.garden_id, batch.pk])
    helper.post(place, {"on": day(0), "count": 10})
    processed = UndoStep.objects.latest("pk")
    edit = reverse("processing_edit", args=[*place_ids(batch), batch.processing_set.get().pk])
    owner.post(edit, {"on": day(0), "count": 9})
    assert "It has been changed since" in undo(helper, processed)
    assert batch.processing_set.get().count == 9


def place_ids(batch: Batch) -> tuple[int, int]:
    """Return the ids in every address of a batch."""
    return batch.garden_id, batch.pk


def test_who_no_longer_owns_the_garden_cannot_take_back_what_an_owner_did(owner, helper, garden):
    owner.post(
        reverse("bed_new", args=[garden.pk]),
        {"name": "B", "kind": "raised", "count": 1, "length_mm": "2 m", "width_mm": "1 m"},
    )
    Membership.objects.filter(user=owner.user).update(role="helper")
    assert owner.post(
        reverse("undo", args=[garden.pk, UndoStep.objects.get().pk])
    ).status_code == 403  # fmt: skip
    assert Bed.objects.exists()


def test_a_plan_that_another_made_meanwhile_is_looked_at_again(garden, settings, monkeypatch):
    """While one plans, a bird dies and another plans: the older knowledge must not come last."""
    settings.PLAN_SECONDS = 0.05
    BedFactory(garden=garden)
    batch = BatchFactory(garden=garden)
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden))
    solve, calls = planning.solved, []

    def solve_slowly(*args: object, **kwargs: object) -> planning.Solved:
        answer = solve(*args, **kwargs)
        calls.append(args)
        if len(calls) == 1:
            LossFactory(batch=batch, on=TODAY, count=9)
            plan_mend(garden=garden, on=TODAY, because="the other")
        return answer

    monkeypatch.setattr(planning, "solved", solve_slowly)
    plan_mend(garden=garden, on=TODAY, because="the first")
    assert Plan.objects.first().because == "the other"
    assert Plan.objects.count() == 1
    assert plan_faults(garden, TODAY) == []
