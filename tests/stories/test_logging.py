"""Logging what happened to a batch, changing it, removing it, and taking it back."""

from datetime import date, timedelta

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from flocks.models import Batch, BatchPen, FeedRecord, Loss, Note, Processing, Weighing
from flocks.record_kinds import KINDS
from garden.models import Garden, UndoStep
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    FeedProductFactory,
    LossFactory,
    PenFactory,
    WeighingFactory,
)


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old, in Pen A."""
    share = BatchPenFactory(batch__garden=garden, batch__name="Spring batch", pen__name="Pen A")
    return share.batch


def log(client: Client, kind: str, batch: Batch, **data: object) -> HttpResponse:
    """Post a record of a kind; the day is today unless given."""
    address = reverse(f"{kind}_new", args=[batch.garden_id, batch.pk])
    return client.post(address, {"on": TODAY.isoformat()} | data)


def today(client: Client, batch: Batch) -> str:
    """Return the page Today."""
    return client.get(reverse("today", args=[batch.garden_id])).content.decode()


def undo_newest(client: Client, garden: Garden) -> None:
    """Press Undo on the last step."""
    client.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))


def test_single_weights_are_kept_with_their_mean(helper, batch):
    response = log(helper, "weighing", batch, weights="1740 1690 1805")
    assert response.status_code == 302
    assert response.url == reverse("batch", args=[batch.garden_id, batch.pk])
    weighing = Weighing.objects.get()
    assert (weighing.count, weighing.mean_g) == (3, 1745)
    assert weighing.weights_g == [1740, 1690, 1805]
    assert (weighing.on, weighing.logged_by) == (TODAY, helper.user)
    said = UndoStep.objects.get().said
    assert said == "Logged: 3 birds, 1.75 kg, Spring batch"


def test_today_asks_for_single_birds_or_a_crate_in_the_form_itself(helper, batch):
    text = today(helper, batch)
    for field in ("weights", "count", "together_g", "crate_g"):
        assert f'name="{field}"' in text
    # What the form sends where only its first field was filled.
    log(helper, "weighing", batch, weights="1340 1290", count="", together_g="", crate_g="")
    assert Weighing.objects.get().weights_g == [1340, 1290]


def test_today_asks_which_feed_was_given_where_there_are_feeds(helper, batch, garden):
    assert 'name="product"' not in today(helper, batch)
    FeedProductFactory(garden=garden, name="Old crumbs", retired_on=TODAY)
    FeedProductFactory(name="Somebody else’s")
    grower = FeedProductFactory(garden=garden, name="Grower pellets")
    text = today(helper, batch)
    offered = text.split('name="product">')[1].split("</select>")[0]
    assert offered.count("<option") == 2
    assert f'<option value="{grower.pk}">Grower pellets</option>' in offered
    log(helper, "feed", batch, mass_kg="2.5", product=grower.pk)
    assert FeedRecord.objects.get().product == grower


def test_a_crate_of_birds_gives_count_and_mean(helper, batch):
    log(helper, "weighing", batch, count="5", mean_g="1.7 kg")
    weighing = Weighing.objects.get()
    assert (weighing.count, weighing.mean_g, weighing.weights_g) == (5, 1700, [])


def test_us_gardens_type_pounds(helper, batch):
    Garden.objects.update(unit_system="us")
    log(helper, "weighing", batch, weights="3 lb 12 oz, 4 lb")
    assert Weighing.objects.get().mean_g == pytest.approx(3.875 * 453.59237)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ({"weights": "0"}, "0 g is too light: a chick that hatches weighs about 40 g."),
        ({"weights": "1700 50 kg"}, "Give a weight"),
        ({"weights": "1700, 50 kg"}, "50.00 kg is too heavy: no meat chicken passes 12.00 kg."),
        ({"count": "4", "mean_g": "50 kg"}, "50.00 kg is too heavy"),
        ({"count": "4"}, "Give both: how many birds, and their mean weight."),
        ({"mean_g": "1700"}, "Give both: how many birds, and their mean weight."),
        ({"count": "0", "mean_g": "1700"}, "greater than or equal to 1"),
        ({}, "Give the weight of at least one bird."),
        ({"weights": "1700", "count": "4", "mean_g": "1600"}, "not both."),
        ({"weights": "1700", "on": "2026-06-13"}, "This day has not come yet."),
        ({"weights": "1700", "on": "2026-05-09"}, "These birds hatch on Sun 10 May."),
        ({"weights": "1700", "on": "soon"}, "Enter a valid date."),
    ],
)
def test_a_weighing_that_cannot_be_is_refused_with_its_reason(helper, batch, data, reason):
    response = log(helper, "weighing", batch, **data)
    assert response.status_code == 422
    text = response.content.decode()
    assert reason in text
    assert all(f'value="{typed}"' in text for typed in data.values() if typed != "0")
    assert not Weighing.objects.exists()


def test_a_strange_weighing_is_kept_and_told(helper, batch):
    response = helper.post(
        reverse("weighing_new", args=[batch.garden_id, batch.pk]),
        {"on": TODAY.isoformat(), "count": "6", "mean_g": "700"},
        follow=True,
    )
    assert Weighing.objects.count() == 1
    assert "% below what was expected" in response.content.decode()
    assert "Change it if it was mistyped." in response.content.decode()


def test_an_ordinary_weighing_draws_no_remark(helper, batch):
    address = reverse("weighing_new", args=[batch.garden_id, batch.pk])
    data = {"on": TODAY.isoformat(), "weights": "1740 1690 1805"}
    assert "what was expected" not in helper.post(address, data, follow=True).content.decode()


def test_feed_goes_to_the_pen_that_was_tapped(helper, garden, batch):
    two = BatchPenFactory(batch=batch, pen__name="Pen B")
    address = reverse("feed_new", args=[garden.pk, batch.pk])
    page = helper.get(address, {"pen": two.pen_id, "next": f"/g/{garden.pk}/"}).content.decode()
    assert f'<option value="{two.pen_id}" selected>Pen B</option>' in page
    assert f'name="next" value="/g/{garden.pk}/"' in page
    response = log(helper, "feed", batch, mass_kg="1.5 kg", pen=two.pen_id, next=f"/g/{garden.pk}/")
    assert response.url == f"/g/{garden.pk}/"
    assert FeedRecord.objects.get().pen == two.pen
    assert UndoStep.objects.get().said == "Logged: 1.5 kg of feed, Spring batch, Pen B"


def test_next_never_leads_to_another_site(helper, batch):
    response = log(helper, "feed", batch, mass_kg="1", next="https://example.org/")
    assert response.url == reverse("batch", args=[batch.garden_id, batch.pk])


def test_a_pen_of_another_batch_is_no_choice(helper, garden, batch):
    BatchPenFactory(batch=batch)
    other = PenFactory(garden=garden)
    assert log(helper, "feed", batch, mass_kg="1", pen=other.pk).status_code == 422


@pytest.mark.parametrize("typed", ["0", "-1", "6000 kg", "a bag"])
def test_feed_that_cannot_be_is_refused(helper, batch, typed):
    response = log(helper, "feed", batch, mass_kg=typed)
    assert response.status_code == 422
    assert f'value="{typed}"' in response.content.decode()


def test_no_more_birds_can_die_than_live(helper, batch):
    LossFactory(batch=batch, count=8)
    response = log(helper, "loss", batch, count="3", cause="predator")
    assert response.status_code == 422
    assert "Only 2 birds are left." in response.content.decode()
    assert log(helper, "loss", batch, count="2", cause="predator").status_code == 302


def test_a_changed_loss_counts_against_the_others_only(helper, batch):
    loss = LossFactory(batch=batch, count=8)
    LossFactory(batch=batch, count=1)
    address = reverse("loss_edit", args=[batch.garden_id, batch.pk, loss.pk])
    data = {"on": "2026-05-15", "cause": "unknown"}
    assert helper.post(address, data | {"count": "10"}).status_code == 422
    assert helper.post(address, data | {"count": "9"}).status_code == 302
    loss.refresh_from_db()
    assert loss.count == 9


def test_processing_the_last_bird_finishes_the_batch_and_undo_opens_it_again(helper, garden, batch):
    log(helper, "processing", batch, count="4", live_mean_g="2.5 kg", dressed_kg="7.2")
    batch.refresh_from_db()
    assert batch.finished_on is None
    log(helper, "processing", batch, count="6")
    batch.refresh_from_db()
    assert batch.finished_on == TODAY
    undo_newest(helper, garden)
    batch.refresh_from_db()
    assert batch.finished_on is None
    assert Processing.objects.get().count == 4


def test_a_batch_is_finished_on_the_day_its_last_bird_left(helper, batch):
    log(helper, "processing", batch, count="9", on="2026-06-10")
    log(helper, "loss", batch, count="1", cause="unknown", on="2026-06-08")
    batch.refresh_from_db()
    assert batch.finished_on == date(2026, 6, 10)
    row = Processing.objects.get()
    helper.post(reverse("processing_remove", args=[batch.garden_id, batch.pk, row.pk]))
    batch.refresh_from_db()
    assert batch.finished_on is None


def test_processing_starts_from_the_birds_that_are_left(helper, garden, batch):
    two = BatchPenFactory(batch=batch, pen__name="Pen B", birds=0)
    BatchPen.objects.filter(pen__name="Pen A").update(birds=6)
    BatchPen.objects.filter(pk=two.pk).update(birds=4)
    LossFactory(batch=batch, pen=two.pen)
    address = reverse("processing_new", args=[garden.pk, batch.pk])
    for pen, left in (("", 9), (two.pen_id, 3), ("nonsense", 9)):
        assert f'name="count" value="{left}"' in helper.get(address, {"pen": pen}).content.decode()


def test_there_is_no_more_meat_than_bird(helper, batch):
    response = log(helper, "processing", batch, count="2", live_mean_g="2500", dressed_kg="5.1")
    assert "more than the birds weighed alive" in response.content.decode()


def test_a_note_may_come_before_the_chicks(helper, garden):
    later = BatchFactory(garden=garden, hatch_on=TODAY + timedelta(days=9))
    assert log(helper, "note", later, text="Ordered from the hatchery.").status_code == 302
    note = Note.objects.get()
    assert (note.garden, note.batch, note.text) == (garden, later, "Ordered from the hatchery.")
    assert log(helper, "note", later, text="").status_code == 422
    assert log(helper, "feed", later, mass_kg="1").status_code == 422


def test_a_weighing_is_changed_with_its_single_weights_in_sight(helper, batch):
    row = WeighingFactory(batch=batch, on=TODAY, count=2, mean_g=1725, weights_g=[1700, 1750])
    address = reverse("weighing_edit", args=[batch.garden_id, batch.pk, row.pk])
    page = helper.get(address).content.decode()
    assert 'value="1.70 kg, 1.75 kg"' in page
    assert f'name="on" value="{TODAY.isoformat()}"' in page
    data = {"on": "2026-06-11", "weights": "", "count": "2", "mean_g": "1700"}
    assert helper.post(address, data).status_code == 302
    row.refresh_from_db()
    assert (row.on, row.mean_g, row.weights_g) == (date(2026, 6, 11), 1700, [])


def test_a_removed_record_comes_back_as_it_was(helper, garden, batch):
    row = LossFactory(batch=batch, count=2, cause="illness", pen=batch.pens.get())
    helper.post(reverse("loss_remove", args=[garden.pk, batch.pk, row.pk]))
    assert not Loss.objects.exists()
    undo_newest(helper, garden)
    restored = Loss.objects.get()
    assert (restored.pk, restored.count, restored.cause, restored.pen) == (
        row.pk, 2, "illness", batch.pens.get()
    )  # fmt: skip


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_a_viewer_may_not_log_and_a_stranger_finds_no_form(viewer, stranger, batch, kind):
    address = reverse(f"{kind.key}_new", args=[batch.garden_id, batch.pk])
    assert viewer.get(address).status_code == viewer.post(address).status_code == 403
    assert stranger.get(address).status_code == stranger.post(address).status_code == 404
    assert not kind.model.objects.exists()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_form_opens_with_today_and_names_batch_and_pen(helper, batch, kind):
    page = helper.get(reverse(f"{kind.key}_new", args=[batch.garden_id, batch.pk]))
    text = page.content.decode()
    assert f'value="{TODAY.isoformat()}"' in text
    assert "Spring batch</a> · Pen A" in text
    assert kind.ask in text


def test_a_record_of_another_batch_is_not_found_under_this_one(helper, garden, batch):
    other = LossFactory(batch=BatchFactory(garden=garden))
    for name in ("loss_edit", "loss_remove"):
        answer = helper.post(reverse(name, args=[garden.pk, batch.pk, other.pk]))
        assert answer.status_code == 404
    assert Loss.objects.filter(pk=other.pk).exists()


def test_removing_takes_a_post(helper, garden, batch):
    row = LossFactory(batch=batch)
    address = reverse("loss_remove", args=[garden.pk, batch.pk, row.pk])
    assert helper.get(address).status_code == 405
