"""No bird is processed inside the withdrawal time of a medicine: every route by which that is written down.

The batch hatched on 10 May 2026; the medicine was last given on 3 June with a wait of 6 days, so 10 June is the
first free day. A second one of 10 June with a wait of 20 days holds to 1 July.
"""

from datetime import date, timedelta

import pytest
from django.contrib.messages import get_messages
from django.core import serializers
from django.urls import reverse

from flocks.actions import batch_update, record_change, record_log
from flocks.models import Batch, Processing, ProcessingDay, Treatment, WithdrawalOverride
from flocks.processing_actions import processing_day_split
from flocks.withdrawal_guard import InsideWithdrawalError, as_archived, holding, processed_inside
from garden.clock import now
from garden.models import UndoStep
from garden.undo import CannotUndoError, undo_step_take_back
from rotation.change_kinds import Processed
from rotation.facts import facts_of
from rotation.what_if_actions import CannotAcceptError, what_if_accept, what_if_make
from tests.conftest import TODAY
from tests.factories import (
    BatchPenFactory,
    PackFactory,
    ProcessingDayFactory,
    ProcessingFactory,
    TreatmentFactory,
    WhatIfFactory,
)

FREE = date(2026, 7, 1)
WHY = "The vet said so on the phone; the meat goes to the dog."


@pytest.fixture
def batch(garden) -> Batch:
    """Return ten birds in a pen, planned for processing on 28 June."""
    return BatchPenFactory(batch__garden=garden, batch__name="Spring batch").batch


@pytest.fixture
def medicine(batch) -> Treatment:
    """Return a medicine that holds until 1 July."""
    return TreatmentFactory(
        batch=batch,
        name="Tylan",
        on=date(2026, 6, 8),
        last_on=date(2026, 6, 10),
        withdrawal_days=20,
    )


def record_url(batch: Batch) -> str:
    """Return where a processing is logged."""
    return reverse("processing_new", args=[batch.garden_id, batch.pk])


def processing(on: date = TODAY, **more: object) -> dict[str, object]:
    """Return what the form of a processing is sent."""
    return {"on": on.isoformat(), "count": 2, "condemned": 0} | more


def undo_newest() -> None:
    """Take the newest step back."""
    undo_step_take_back(step=UndoStep.objects.latest("pk"))


# -- the forms


def test_logging_processing_inside_the_wait_is_refused_beside_the_day(helper, batch, medicine):
    answer = helper.post(record_url(batch), processing())
    assert answer.status_code == 422
    said = answer.context["form"].errors["on"]
    assert said == ["Inside the withdrawal time of Tylan: no bird of this batch before Wed 1 July."]
    assert not Processing.objects.exists()


def test_before_the_first_dose_and_after_the_wait_nothing_is_asked(
    helper, batch, medicine, settings
):
    assert helper.post(record_url(batch), processing(date(2026, 6, 7))).status_code == 302
    settings.PRETEND_TODAY = FREE
    assert helper.post(record_url(batch), processing(FREE - timedelta(days=1))).status_code == 422
    assert helper.post(record_url(batch), processing(FREE)).status_code == 302
    assert not WithdrawalOverride.objects.exists()


def test_a_reason_sets_it_aside_and_stays_with_a_name(helper, batch, medicine):
    text = helper.get(record_url(batch)).content.decode()
    assert "Inside a withdrawal time: why all the same" in text
    answer = helper.post(record_url(batch), processing(withdrawal_why=WHY))
    assert answer.status_code == 302
    kept = WithdrawalOverride.objects.get()
    assert (kept.treatment, kept.free_on, kept.logged_by, kept.why) == (
        medicine,
        FREE,
        helper.user,
        WHY,
    )
    page = helper.get(reverse("register", args=[batch.garden_id])).content.decode()
    assert "Withdrawal times set aside" in page
    assert "the meat goes to the dog" in page
    assert processed_inside(batch) == []


def test_a_word_is_no_reason(helper, batch, medicine):
    answer = helper.post(record_url(batch), processing(withdrawal_why="hungry"))
    assert set(answer.context["form"].errors) == {"on", "withdrawal_why"}


def test_without_a_medicine_no_reason_is_asked_for(helper, batch):
    TreatmentFactory(batch=batch, withdrawal_days=0)
    assert "withdrawal_why" not in helper.get(record_url(batch)).context["form"].fields


def test_moving_a_logged_processing_into_the_wait_is_refused(helper, batch, medicine):
    row = ProcessingFactory(batch=batch, on=date(2026, 6, 7))
    edit = reverse("processing_edit", args=[batch.garden_id, batch.pk, row.pk])
    assert helper.post(edit, processing()).status_code == 422
    assert helper.post(edit, processing(row.on, dressed_kg="3.1 kg")).status_code == 302
    row.refresh_from_db()
    assert row.dressed_kg == pytest.approx(3.1)


def test_a_weight_may_be_put_right_inside_the_wait_but_no_bird_added(helper, batch):
    row = ProcessingFactory(batch=batch, on=TODAY)
    TreatmentFactory(batch=batch, on=TODAY, last_on=TODAY, withdrawal_days=5)
    edit = reverse("processing_edit", args=[batch.garden_id, batch.pk, row.pk])
    assert helper.post(edit, processing(live_mean_g="2.1 kg")).status_code == 302
    assert helper.post(edit, processing(count=3)).status_code == 422


def batch_form(batch: Batch, **more: object) -> dict[str, object]:
    """Return what the form of a batch is sent when nothing else changes."""
    days = {
        name: getattr(batch, name).isoformat()
        for name in ("hatch_on", "leaves_brooder_on", "processing_on")
    }
    pens = [share.pen_id for share in batch.shares.all()]
    fields = {"name": batch.name, "chicks": 10, "strain": "fast", "target_g": "2400", "pens": pens}
    return fields | days | more


def test_a_planned_day_cannot_be_moved_into_the_wait(helper, batch, medicine):
    edit = reverse("batch_edit", args=[batch.garden_id, batch.pk])
    inside = {"processing_on": "2026-06-25"}
    answer = helper.post(edit, batch_form(batch, **inside))
    assert answer.status_code == 422
    assert "processing_on" in answer.context["form"].errors
    assert helper.post(edit, batch_form(batch, name="Renamed")).status_code == 302
    assert helper.post(edit, batch_form(batch, processing_on="2026-07-01")).status_code == 302
    answer = helper.post(edit, batch_form(batch, **inside, withdrawal_why=WHY))
    assert answer.status_code == 302
    assert WithdrawalOverride.objects.get().on == date(2026, 6, 25)


def test_a_processing_day_cannot_be_planned_inside_the_wait(helper, batch, medicine):
    new = reverse("processing_day", args=[batch.garden_id, batch.pk])
    fields = {"birds": 4, "starts_at": "08:00", "people": 2, "pace": "novice", "water_c": "15"}
    fields |= {"water_l_per_kg": "2", "crate_m2": "0.5"}
    answer = helper.post(new, fields | {"on": "2026-06-28"})
    assert answer.status_code == 422
    assert "Tylan" in answer.context["form"].errors["on"][0]
    assert helper.post(new, fields | {"on": "2026-07-01"}).status_code == 302
    assert ProcessingDay.objects.get().on == FREE


# -- what other pages write


def test_a_what_if_that_processes_inside_the_wait_is_not_accepted(owner, batch, medicine):
    changes = [{"kind": "process", "batch": batch.pk, "on": "2026-06-25"}]
    tried = WhatIfFactory(garden=batch.garden, changes=changes)
    answer = owner.post(reverse("what_if_accept", args=[batch.garden_id, tried.pk]))
    assert answer.status_code in (200, 302, 409, 422)
    batch.refresh_from_db()
    assert batch.processing_on == date(2026, 6, 28)


def test_accepting_says_why_not(owner, batch, medicine):
    facts = facts_of(batch.garden, TODAY)
    change = Processed(batch=batch.pk, on=date(2026, 6, 25))
    tried = what_if_make(facts=facts, user=owner.user, changes=[change])
    with pytest.raises(CannotAcceptError, match="Inside the withdrawal time of Tylan"):
        what_if_accept(what_if=tried, user=owner.user, on=TODAY)


def test_splitting_does_not_lead_into_the_wait(helper, batch):
    day = ProcessingDayFactory(batch=batch, on=TODAY, birds=10)
    TreatmentFactory(
        batch=batch,
        on=TODAY + timedelta(days=1),
        last_on=TODAY + timedelta(days=1),
        withdrawal_days=9,
    )
    with pytest.raises(InsideWithdrawalError):
        processing_day_split(day=day, first=5, user=helper.user, said="split")
    split = reverse("processing_day_split", args=[batch.garden_id, batch.pk, day.pk])
    answer = helper.post(split)
    assert "Coccidiostat" in str(next(iter(get_messages(answer.wsgi_request))))
    assert ProcessingDay.objects.get().birds == 10


# -- the last door


def test_actions_called_past_the_forms_are_refused(helper, batch, medicine):
    with pytest.raises(InsideWithdrawalError):
        record_log(record=Processing(batch=batch, on=TODAY, count=1), user=helper.user, said="x")
    row = ProcessingFactory(batch=batch, on=date(2026, 6, 7))
    row.on = TODAY
    with pytest.raises(InsideWithdrawalError):
        record_change(record=row, user=helper.user, said="x")
    with pytest.raises(InsideWithdrawalError):
        batch_update(batch=batch, user=helper.user, pens=[], processing_on=date(2026, 6, 25))
    assert not UndoStep.objects.exists()


@pytest.mark.parametrize("model", [Processing, ProcessingDay])
def test_rows_written_by_any_other_means_are_refused(batch, medicine, model):
    birds = {"count": 1} if model is Processing else {"birds": 1, "garden": batch.garden}
    row = model(batch=batch, on=TODAY, **birds)
    with pytest.raises(InsideWithdrawalError):
        row.save()
    with pytest.raises(InsideWithdrawalError):
        model.objects.bulk_create([row])
    with pytest.raises(InsideWithdrawalError):
        model.objects.create(batch=batch, on=TODAY, **birds)
    with pytest.raises(InsideWithdrawalError):
        model.objects.update_or_create(batch=batch, on=TODAY, defaults=birds)
    early = model.objects.create(batch=batch, on=date(2026, 6, 7), **birds)
    with pytest.raises(InsideWithdrawalError):
        model.objects.filter(pk=early.pk).update(on=TODAY)
    early.refresh_from_db()
    assert early.on == date(2026, 6, 7)
    early.on = TODAY
    with pytest.raises(InsideWithdrawalError):
        model.objects.bulk_update([early], ["on"])
    assert model.objects.filter(on=TODAY).count() == 0


def test_a_row_read_back_raw_is_refused_unless_an_archive_is(batch, medicine):
    text = serializers.serialize(
        "json", [Processing(pk=77, batch=batch, on=TODAY, count=1, logged_at=now())]
    )
    [back] = serializers.deserialize("json", text)
    with pytest.raises(InsideWithdrawalError):
        back.save()
    with as_archived():
        back.save()
    assert [row.pk for row in processed_inside(batch)] == [77]


def test_undoing_cannot_bring_a_processing_back_into_the_wait(helper, batch):
    row = ProcessingFactory(batch=batch, on=TODAY)
    remove = reverse("processing_remove", args=[batch.garden_id, batch.pk, row.pk])
    assert helper.post(remove).status_code == 302
    TreatmentFactory(batch=batch, on=TODAY, last_on=TODAY, withdrawal_days=5)
    with pytest.raises(CannotUndoError, match="withdrawal time of Coccidiostat"):
        undo_newest()
    assert not Processing.objects.exists()


def test_undoing_cannot_bring_a_planned_day_back_into_the_wait(helper, batch):
    edit = reverse("batch_edit", args=[batch.garden_id, batch.pk])
    helper.post(edit, batch_form(batch, processing_on="2026-07-10"))
    step = UndoStep.objects.latest("pk")
    TreatmentFactory(batch=batch, on=TODAY, last_on=TODAY, withdrawal_days=20)
    with pytest.raises(CannotUndoError, match="withdrawal time"):
        undo_step_take_back(step=step)
    batch.refresh_from_db()
    assert batch.processing_on == date(2026, 7, 10)


def test_undoing_what_was_set_aside_takes_the_birds_with_it(helper, batch, medicine):
    helper.post(record_url(batch), processing(withdrawal_why=WHY))
    undo_newest()
    assert not Processing.objects.exists()
    assert not WithdrawalOverride.objects.exists()
    assert holding(batch.pk, TODAY) == [medicine]


# -- the medicine itself


def test_a_reason_covers_the_medicine_as_it_was_and_no_other(helper, batch, medicine):
    helper.post(record_url(batch), processing(withdrawal_why=WHY))
    assert helper.post(record_url(batch), processing(count=3)).status_code == 302
    medicine.withdrawal_days = 30
    medicine.save()
    assert helper.post(record_url(batch), processing(count=1)).status_code == 422


def test_logging_a_medicine_warns_of_days_planned_and_past(helper, batch):
    ProcessingFactory(batch=batch, on=TODAY - timedelta(days=1))
    new = reverse("treatment_new", args=[batch.garden_id])
    fields = {"batch": batch.pk, "kind": "medicine", "name": "Tylan", "on": "2026-06-08"}
    fields |= {"last_on": "2026-06-10", "withdrawal_days": "20"}
    answer = helper.post(new, fields)
    [said] = [str(one) for one in get_messages(answer.wsgi_request)]
    assert "planned for processing on Sun 28 June, inside this withdrawal time" in said
    assert "Choose Wed 1 July or later" in said
    assert "Do not eat, give or sell that meat" in said
    page = helper.get(reverse("batch", args=[batch.garden_id, batch.pk])).content.decode()
    assert page.count("<strong>Medicine:</strong>") == 3


def test_meat_that_lay_inside_a_wait_is_told_at_the_freezer(viewer, batch):
    ProcessingFactory(batch=batch, on=TODAY)
    PackFactory(batch=batch, on=TODAY, use_by=TODAY + timedelta(days=300))
    stock = reverse("stock", args=[batch.garden_id])
    assert "Do not eat" not in viewer.get(stock).content.decode()
    TreatmentFactory(batch=batch, on=TODAY, last_on=TODAY, withdrawal_days=5)
    assert "Do not eat, give or sell that meat" in viewer.get(stock).content.decode()


def test_a_past_batch_read_in_from_a_table_is_asked_as_soon_as_its_medicine_is_known(helper, batch):
    table = "name,hatched,chicks,processed\nOld,2026-03-01,10,2026-04-20\n"
    url = reverse("past_batches_import", args=[batch.garden_id])
    answer = helper.post(url, {"text": table, "confirm": "1"})
    old = Batch.objects.get(name="Old")
    assert answer.status_code == 302
    TreatmentFactory(batch=old, on=date(2026, 4, 15), last_on=date(2026, 4, 18), withdrawal_days=9)
    assert [row.on for row in processed_inside(old)] == [date(2026, 4, 20)]
    page = helper.get(reverse("batch", args=[old.garden_id, old.pk])).content.decode()
    assert "Do not eat, give or sell that meat" in " ".join(page.split())


def test_the_form_of_a_medicine_says_what_is_wrong(helper, batch):
    new = reverse("treatment_new", args=[batch.garden_id])
    fields = {"batch": batch.pk, "kind": "medicine", "name": "", "on": "2026-06-08"}
    fields |= {"last_on": "2026-06-01", "withdrawal_days": "400", "birds": "11"}
    errors = helper.post(new, fields).context["form"].errors
    assert set(errors) == {"name", "last_on", "withdrawal_days", "birds"}
    assert errors["last_on"] == ["The last day must not come before the first."]
    assert errors["birds"] == ["The batch began with 10."]
    before = fields | {"name": "x", "on": "2026-05-01", "last_on": "", "birds": ""}
    assert "These birds had not hatched yet." in str(
        helper.post(new, before).context["form"].errors
    )


def test_the_wait_is_counted_in_whole_days(batch):
    # Finnish Medicines Agency, "What is a withdrawal period?": 6 days, so on the 7th day at the earliest.
    given = TreatmentFactory(
        batch=batch, on=date(2026, 6, 1), last_on=date(2026, 6, 3), withdrawal_days=6
    )
    assert given.course.free_on == date(2026, 6, 10)
    assert holding(batch.pk, date(2026, 6, 9)) == [given]
    assert holding(batch.pk, date(2026, 6, 10)) == []
    given.withdrawal_days = 0
    given.save()
    assert holding(batch.pk, date(2026, 6, 3)) == []
