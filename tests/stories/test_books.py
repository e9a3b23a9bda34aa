"""The register, the freezer, money, the rota and the processing day: what is logged, and what is told."""

import csv
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from flocks.batch_money import purse_of
from flocks.models import (
    Arrival,
    Batch,
    Cost,
    HandOver,
    HouseRules,
    Pack,
    PackOut,
    Processing,
    ProcessingDay,
    Turn,
    Visitor,
)  # fmt: skip
from flocks.stock import freezer_of
from garden.models import Garden, UndoStep
from tests.conftest import TODAY
from tests.factories import (
    ArrivalFactory,
    BatchPenFactory,
    CostFactory,
    FeedProductFactory,
    FeedPurchaseFactory,
    FeedRecordFactory,
    HoursFactory,
    LossFactory,
    PackFactory,
    PackOutFactory,
    ProcessingDayFactory,
    ProcessingFactory,
    TreatmentFactory,
    VisitorFactory,
)


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds in a pen, 33 days old."""
    return BatchPenFactory(batch__garden=garden, batch__name="Spring batch").batch


def text_of(client: Client, name: str, *ids: int, query: str = "") -> str:
    """Return a page with its white space evened out."""
    answer = client.get(reverse(name, args=ids) + query)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


# -- the register


def test_what_is_logged_stands_in_the_register(helper, viewer, garden, batch):
    posted = {
        "arrival": {"batch": batch.pk, "on": "2026-05-11", "count": 10, "dead_on_arrival": 0,
                    "source": "The hatchery", "price": "21,50"},
        "feed_lot": {"on": "2026-06-01", "number": "L-77"},
        "cleaning": {"on": "2026-05-09", "what": "brooder", "how": "Hot water"},
        "visitor": {"on": "2026-06-02", "name": "The vet", "met_birds": "on"},
    }  # fmt: skip
    for key, fields in posted.items():
        assert helper.post(reverse(f"{key}_new", args=[garden.pk]), fields).status_code == 302, key
    assert Arrival.objects.get().price == Decimal("21.50")
    LossFactory(batch=batch, count=2, cause="predator")
    page = text_of(viewer, "register", garden.pk)
    for told in ("10 chicks from The hatchery", "lot L-77", "Brooder cleaned: Hot water",
                 "The vet, has met other birds", "predator 2"):  # fmt: skip
        assert told in page
    assert "Log a medicine" not in page
    assert UndoStep.objects.count() == 4
    changes = text_of(viewer, "changes", garden.pk)
    assert "Logged: lot L-77" in changes
    assert helper.user.username in changes


def test_lines_are_changed_removed_and_brought_back(helper, garden):
    row = VisitorFactory(garden=garden)
    edit = reverse("visitor_edit", args=[garden.pk, row.pk])
    helper.post(edit, {"on": row.on.isoformat(), "name": "The aunt"})
    assert Visitor.objects.get().name == "The aunt"
    helper.post(reverse("visitor_remove", args=[garden.pk, row.pk]))
    assert not Visitor.objects.exists()
    helper.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))
    assert Visitor.objects.get().name == "The aunt"


def test_the_register_keeps_to_its_days_and_goes_out_as_a_table(helper, garden, batch):
    VisitorFactory(garden=garden, on=date(2026, 5, 13), name="=HYPERLINK()")
    VisitorFactory(garden=garden, on=date(2026, 6, 10), name="Later")
    TreatmentFactory(batch=batch)
    days = "?since=2026-05-01&until=2026-06-08"
    assert "Later" not in text_of(helper, "register", garden.pk, query=days)
    answer = helper.get(reverse("register_csv", args=[garden.pk]) + days)
    rows = list(csv.DictReader(answer.content.decode().splitlines()))
    assert [row["kind"] for row in rows] == ["visitor", "medicine"]
    assert rows[0]["what"] == "'=HYPERLINK()"
    assert rows[1]["free_on"] == "2026-06-10"
    helper.post(reverse("visitor_new", args=[garden.pk]), {"on": "2026-06-08", "name": "The vet"})
    UndoStep.objects.update(made_at=datetime(2026, 6, 7, 23, 30, tzinfo=UTC))
    answer = helper.get(reverse("register_csv", args=[garden.pk]) + days)
    change = list(csv.DictReader(answer.content.decode().splitlines()))[-2]
    # Half past eleven by the world's clock is the next day in Dublin's summer.
    assert (change["day"], change["kind"]) == ("2026-06-08", "change")
    assert change["what"] == "Logged: The vet"
    assert change["logged_by"] == helper.user.username
    page = text_of(helper, "register", garden.pk, query="?since=2026-06-08&until=2026-05-01")
    assert "It ends before it begins." in page


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("until=2024-02-29", "Wed 1 March 2023 to Thu 29 February 2024"),
        ("since=2025-12-25&until=2026-01-05", "Thu 25 December 2025 to Mon 5 January 2026"),
        ("since=2027-01-01", "Fri 1 January 2027 to Fri 1 January 2027"),
        ("until=0001-01-01", "Give a day of this century."),
        ("since=9999-12-31", "Give a day of this century."),
    ],
)
def test_the_register_of_odd_days(viewer, garden, asked, told):
    for name in ("register", "changes"):
        assert told in text_of(viewer, name, garden.pk, query=f"?{asked}")
    assert viewer.get(f"{reverse('register_csv', args=[garden.pk])}?{asked}").status_code == 200


def test_the_register_costs_the_same_for_many_lines(
    helper, garden, batch, django_assert_max_num_queries
):
    for _ in range(5):
        VisitorFactory(garden=garden)
        ArrivalFactory(batch=batch)
    with django_assert_max_num_queries(20):
        helper.get(reverse("register", args=[garden.pk]))


def test_days_to_come_are_refused_except_on_the_rota(helper, garden):
    later = (TODAY + timedelta(days=2)).isoformat()
    answer = helper.post(reverse("visitor_new", args=[garden.pk]), {"on": later, "name": "x"})
    assert answer.context["form"].errors["on"] == ["This day has not come yet."]
    turn = {"on": later, "part": "morning", "person": helper.user.pk}
    assert helper.post(reverse("turn_new", args=[garden.pk]), turn).status_code == 302
    answer = helper.post(reverse("turn_new", args=[garden.pk]), turn)
    assert answer.context["form"].errors["person"] == ["That turn is on the rota already."]
    note = {"on": later, "text": "The hose drips."}
    assert helper.post(reverse("hand_over_new", args=[garden.pk]), note).status_code == 302
    page = text_of(helper, "rota", garden.pk)
    assert "The hose drips." in page
    assert f"{helper.user.username}, morning" in page
    assert (Turn.objects.count(), HandOver.objects.count()) == (1, 1)


def test_a_viewer_and_a_stranger_are_not_put_on_the_rota(helper, viewer, stranger, garden):
    for client in (viewer, stranger):
        turn = {"on": TODAY.isoformat(), "part": "day", "person": client.user.pk}
        assert helper.post(reverse("turn_new", args=[garden.pk]), turn).status_code == 422


# -- the freezer


def test_packs_go_in_after_processing_and_come_out(helper, garden, batch):
    new = reverse("pack_new", args=[garden.pk])
    packs = {"batch": batch.pk, "on": "2026-06-11", "cut": "breast", "count": 4, "mass_kg": "3 kg"}
    answer = helper.post(new, packs)
    assert "Nothing of this batch is logged as processed" in answer.context["form"].errors["on"][0]
    ProcessingFactory(batch=batch, on=date(2026, 6, 10), count=3)
    assert helper.post(new, packs).status_code == 302
    pack = Pack.objects.get()
    assert pack.use_by == date(2027, 3, 11)  # nine months
    out = reverse("pack_out", args=[garden.pk, pack.pk])
    taken = {"on": TODAY.isoformat(), "why": "given", "count": 1, "mass_kg": "", "to_whom": "Ann"}
    assert helper.post(out, taken).status_code == 302
    assert PackOut.objects.get().mass_kg == pytest.approx(0.75)
    assert helper.post(out, taken | {"count": 4}).context["form"].errors["count"] == [
        "Only 3 left."
    ]
    errors = helper.post(out, taken | {"price": "5"}).context["form"].errors
    assert errors["price"] == ["Choose “Sold” where money was paid."]
    page = text_of(helper, "stock", garden.pk)
    assert "<b>3 × breasts</b>, 2.3 kg" in page
    assert "given away to Ann" in page
    assert text_of(helper, "pack_labels", garden.pk).count("<article") == 3


def test_what_is_left_is_shared_and_lasts_to_the_next_meat(garden, batch):
    HouseRules.objects.create(garden=garden, households=2, eaters=5)
    pack = PackFactory(batch=batch, count=8, mass_kg=16.0, on=TODAY - timedelta(days=5))
    PackOutFactory(pack=pack, count=1, mass_kg=2.0, on=TODAY)
    freezer = freezer_of(garden, TODAY)
    assert (freezer.left_kg, freezer.packs) == (14.0, 7)
    assert freezer.household_kg == 7.0
    # The batch is processed on 28 June, 16 days on.
    assert freezer.week_kg == pytest.approx(14.0 * 7 / 16)
    assert freezer.out_kg == {"eaten": 2.0}


def test_old_packs_are_told_first(helper, garden, batch):
    PackFactory(batch=batch, on=date(2025, 5, 1), use_by=date(2026, 5, 1), cut="legs")
    PackFactory(batch=batch, on=date(2026, 6, 1), use_by=date(2027, 6, 1))
    page = text_of(helper, "stock", garden.pk)
    assert page.index("legs") < page.index("whole birds")
    assert "Past its day" in page


# -- money


def test_costs_feed_and_hours_come_to_an_account(helper, garden, batch):
    other = BatchPenFactory(batch__garden=garden, batch__name="Other", batch__chicks=20).batch
    ArrivalFactory(batch=batch, price=Decimal("21.50"))
    CostFactory(garden=garden, amount=Decimal("100.00"), seasons=3, kind="building")
    CostFactory(garden=garden, batch=batch, amount=Decimal("4.75"))
    feed = FeedProductFactory(garden=garden, bag_kg=25)
    FeedPurchaseFactory(product=feed, bags=2, price=Decimal("15.00"))
    FeedRecordFactory(batch=batch, mass_kg=10.0)
    HoursFactory(batch=batch, hours=Decimal("2.50"))
    HouseRules.objects.create(garden=garden, currency="EUR", hour_rate=Decimal("8.00"))
    ProcessingFactory(batch=batch, on=TODAY, count=5, condemned=1, dressed_kg=8.0)
    batches = list(garden.batches.with_counts())
    purse = purse_of(garden, batches, TODAY)
    lines = {line.what: line.amount for line in purse.accounts[batch.pk].lines}
    # 33.34 is this season's part of 100; ten of thirty chicks carry 11.11 of it.
    assert lines == {
        "Chicks": Decimal("21.50"),
        "Wood, wire and cover": Decimal("11.11"),
        "Bedding": Decimal("4.75"),
        "Feed": Decimal("6.00"),
        "Work": Decimal("20.00"),
    }
    account = purse.accounts[batch.pk]
    assert account.total == Decimal("63.36")
    assert account.per_bird == Decimal("15.84")  # four birds were fit to eat
    assert account.per_kg == Decimal("7.92")
    assert purse.accounts[other.pk].total == Decimal("22.23")
    page = text_of(helper, "money", garden.pk)
    assert "<b>63.36 EUR</b>" in page
    assert "15.84 a bird, 7.92 a kilogram dressed" in page


def test_a_cost_of_a_year_without_birds_is_not_lost(helper, garden):
    CostFactory(garden=garden, amount=Decimal("10.00"), on=date(2025, 3, 1))
    purse = purse_of(garden, [], TODAY)
    assert [line.amount for line in purse.not_carried] == [Decimal("10.00")]
    assert "Not carried by a batch" in text_of(helper, "money", garden.pk)


def test_what_lasts_belongs_to_no_one_batch(helper, garden, batch):
    fields = {"on": "2026-06-01", "kind": "building", "amount": "50", "seasons": 5}
    new = reverse("cost_new", args=[garden.pk])
    errors = helper.post(new, fields | {"batch": batch.pk}).context["form"].errors
    assert "no one batch" in errors["seasons"][0]
    assert "amount" in helper.post(new, fields | {"amount": "0"}).context["form"].errors
    assert helper.post(new, fields).status_code == 302
    assert Cost.objects.get().seasons == 5


def test_the_currency_is_read_in_any_case(helper, garden):
    rules = reverse("house_rules", args=[garden.pk])
    fields = {"hour_rate": "0", "households": 1, "eaters": 3, "freezer_l": 300}
    assert helper.post(rules, fields | {"currency": "eu"}).status_code == 422
    assert helper.post(rules, fields | {"currency": "eur"}).status_code == 302
    assert HouseRules.objects.get().currency == "EUR"


# -- the processing day


def day_fields(**more: object) -> dict[str, object]:
    """Return what the form of a processing day is sent."""
    fields = {"on": "2026-06-28", "birds": 10, "starts_at": "08:00", "people": 2, "pace": "novice"}
    return fields | {"water_c": "15", "water_l_per_kg": "2", "crate_m2": "0.5"} | more


def test_a_day_is_planned_from_birds_and_hands(helper, viewer, garden, batch):
    new = reverse("processing_day", args=[garden.pk, batch.pk])
    first = " ".join(viewer.get(new).content.decode().split())
    assert "A first plan from what is usual." in first
    assert "Save the plan" not in first
    answer = helper.post(new, day_fields())
    day = ProcessingDay.objects.get()
    assert answer.url == reverse("processing_day_edit", args=[garden.pk, batch.pk, day.pk])
    page = " ".join(helper.get(answer.url).content.decode().split())
    for told in ("feed off; water stays", "Have ready", "kg of ice", "Cold by", "8 times in 10",
                 "11 bags and labels", "ask your authority"):  # fmt: skip
        assert told in page
    errors = helper.post(new, day_fields(birds=3)).context["form"].errors
    assert "That day is planned already for this batch." in errors["on"]
    assert errors["birds"] == ["10 are left, 10 of them planned for another day."]


def test_a_long_day_is_split_over_two_dates(helper, garden):
    batch = BatchPenFactory(batch__garden=garden, batch__chicks=60).batch
    day = ProcessingDayFactory(batch=batch, birds=60, people=2)
    address = [garden.pk, batch.pk, day.pk]
    assert "A long day:" in text_of(helper, "processing_day_edit", *address)
    helper.post(reverse("processing_day_split", args=address))
    days = [(row.on, row.birds) for row in ProcessingDay.objects.order_by("on")]
    assert days == [(date(2026, 6, 28), 20), (date(2026, 7, 5), 40)]
    helper.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))
    assert ProcessingDay.objects.get().birds == 60


def test_what_was_found_on_the_day_is_kept(helper, garden, batch):
    new = reverse("processing_new", args=[garden.pk, batch.pk])
    fields = {"on": TODAY.isoformat(), "count": 5, "live_mean_g": "1900", "dressed_kg": "5.4"}
    fields |= {"condemned": 1, "began_at": "08:10", "ended_at": "10:05", "chilled_at": "13:00"}
    fields |= {"scald_c": "64", "core_c": "3.5", "giblets_kg": "0.6"}
    errors = helper.post(new, fields | {"condemned": 6, "ended_at": "07:00"}).context["form"].errors
    assert errors["condemned"] == ["That is more than were processed."]
    assert errors["ended_at"] == ["The last bird comes after the first."]
    assert helper.post(new, fields).status_code == 302
    row = Processing.objects.get()
    assert (row.condemned, row.core_c, f"{row.began_at:%H:%M}") == (1, 3.5, "08:10")


def test_a_finished_batch_has_no_day_to_plan(helper, garden, batch):
    ProcessingFactory(batch=batch, on=TODAY, count=10)
    batch.finished_on = TODAY
    batch.save()
    assert "This batch is finished" in text_of(helper, "processing_day", garden.pk, batch.pk)
