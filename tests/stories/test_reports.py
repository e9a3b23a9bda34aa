"""Looking back: a batch's report, what to change next time, the year."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from flocks.models import Batch, HouseRules
from rotation.batch_report import figures_of, stays_by_batch
from rotation.next_time import remarks
from tests.factories import (
    BatchPenFactory,
    CostFactory,
    FeedRecordFactory,
    LossFactory,
    NoteFactory,
    ProcessingFactory,
    StayFactory,
)

HATCHED = date(2026, 3, 1)
DONE = date(2026, 4, 19)


def finished(
    garden, name: str, *, lost: int = 0, live_g: float = 2700.0, feed_kg: float = 48.0
) -> Batch:
    """Return ten birds finished at 49 days."""
    share = BatchPenFactory(batch__garden=garden, batch__name=name, batch__hatch_on=HATCHED)
    batch, left = share.batch, 10 - lost
    if lost:
        LossFactory(batch=batch, on=HATCHED + timedelta(days=3), count=lost)
    FeedRecordFactory(batch=batch, on=HATCHED + timedelta(days=40), mass_kg=feed_kg)
    kg = left * live_g * 0.74 / 1000
    ProcessingFactory(batch=batch, on=DONE, count=left, live_mean_g=live_g, dressed_kg=kg)
    stay = {"pen": share.pen, "batch": batch, "bed__garden": garden}
    StayFactory(**stay, first_day=DONE - timedelta(days=6), end_day=DONE - timedelta(days=2))
    batch.finished_on = DONE
    batch.save()
    return batch


def figures(garden, batch: Batch) -> object:
    """Return a batch's figures as its page has them."""
    loaded = garden.batches.with_records().get(pk=batch.pk)
    return figures_of(loaded, stays_by_batch(garden).get(batch.pk, []), date(2026, 6, 12))


@pytest.mark.django_db
def test_the_figures_of_a_batch_by_hand(garden):
    one = figures(garden, finished(garden, "First", lost=1))
    assert (one.age_days, one.live_g, one.totals.lost_percent) == (49, 2700.0, 10.0)
    assert one.yield_percent == pytest.approx(74.0)
    gained_kg = 9 * (2.7 - 0.042)
    # 2.7 kg x 90 % / (49 d x feed per gain) x 100.
    expected = 2.7 * 90 / (49 * one.totals.feed_per_gain) * 100
    assert one.totals.feed_per_gain == pytest.approx(48 / gained_kg, rel=0.005)
    assert one.index == pytest.approx(expected)
    assert [week.lost for week in one.weeks][:2] == [1, 0]
    assert one.weeks[0].alive == 10
    [ground] = one.ground
    assert ground.pen_days == 4
    assert 50 < ground.nitrogen_g < 200
    assert ground.low_g < ground.nitrogen_g < ground.high_g


@pytest.mark.django_db
def test_days_off_the_beds_are_counted_apart(garden):
    batch = finished(garden, "First")
    StayFactory(pen=batch.shares.get().pen, batch=batch, bed=None,
                first_day=DONE - timedelta(days=2), end_day=DONE)  # fmt: skip
    one = figures(garden, batch)
    assert one.off_bed_days == 2
    assert one.ground[-1].name.startswith("Off the beds")
    assert one.nitrogen_g == one.ground[0].nitrogen_g
    assert "stood off the beds for 2 days" in " ".join(each.differs for each in remarks(one, []))


@pytest.mark.django_db
def test_next_time_tells_what_differed_and_claims_no_cause(garden):
    usual = [figures(garden, finished(garden, f"Usual {n}")) for n in (1, 2)]
    worse = figures(garden, finished(garden, "Worse", lost=4, live_g=2200.0, feed_kg=40.0))
    told = " ".join(f"{each.differs} {each.attempt}" for each in remarks(worse, usual))
    assert "40 % of the chicks were lost, 0 % in your other batches" in told
    assert "in week 1, 4 of 10" in told
    assert "% lighter at 49 days than your other batches" in told
    assert "kg of feed for each kilogram gained" in told
    assert "because" not in told
    calm = [each.differs for each in remarks(usual[0], usual[1:])]
    assert calm == ["These birds were weighed not at all."]


@pytest.mark.django_db
def test_report_and_year_through_the_pages(owner, viewer, garden, django_assert_max_num_queries):
    batch = finished(garden, "First")
    other = finished(garden, "Second", lost=4)
    NoteFactory(garden=garden, batch=batch, text="Calm all spring.")
    CostFactory(garden=garden, amount=Decimal("60.00"), on=HATCHED)
    with django_assert_max_num_queries(32):
        page = viewer.get(reverse("batch_report", args=[garden.pk, batch.pk]))
    text = " ".join(page.content.decode().split())
    for told in ("What to change next time", "Production index", "Calm all spring.",
                 "Nitrogen to each bed", "30.00", "not why"):  # fmt: skip
        assert told in text
    year = " ".join(
        owner.get(reverse("year_summary", args=[garden.pk, 2026])).content.decode().split()
    )
    assert "First" in year
    assert "Second" in year
    assert "<dd>60.00" in year
    assert f"{other.chicks + batch.chicks}" in year
    assert owner.get(reverse("year_summary", args=[garden.pk, 1890])).status_code == 404
    empty = owner.get(reverse("year_summary", args=[garden.pk, 2024])).content.decode()
    assert "No batch hatched in 2024." in empty


@pytest.mark.django_db
def test_a_running_batch_has_a_report_so_far(owner, garden):
    batch = BatchPenFactory(batch__garden=garden).batch
    text = owner.get(reverse("batch_report", args=[garden.pk, batch.pk])).content.decode()
    assert "so far, day 33" in text
    assert "What to change next time" not in text


@pytest.mark.django_db
def test_a_batch_costs_the_same_on_every_page_while_another_is_only_planned(owner, garden):
    batch = finished(garden, "First")
    BatchPenFactory(batch__garden=garden, batch__name="Next", batch__hatch_on=date(2026, 8, 1))
    CostFactory(garden=garden, amount=Decimal("60.00"), on=HATCHED)
    HouseRules.objects.create(garden=garden, currency="EUR")
    for name, *ids in (("money",), ("batch_report", batch.pk), ("batch_compare",)):
        page = owner.get(reverse(name, args=[garden.pk, *ids])).content.decode()
        assert "60.00" in page
        assert "EUR" in page
    assert (
        "<dd>60.00" in owner.get(reverse("year_summary", args=[garden.pk, 2026])).content.decode()
    )


@pytest.mark.django_db
def test_the_comparison_tells_what_was_logged_and_marks_what_the_forecast_tells(viewer, garden):
    done = finished(garden, "Done", lost=1)
    BatchPenFactory(batch__garden=garden, batch__name="Running")
    page = viewer.get(reverse("batch_compare", args=[garden.pk]))
    running, logged = page.context["held"]
    one = figures(garden, done)
    assert (logged.live_g, logged.index) == (one.live_g, one.index)
    assert logged.feed_per_gain == one.totals.feed_per_gain
    assert running.live_g == running.growth.weight_g
    text = " ".join(page.content.decode().split())
    assert '<td class="n">2.70 kg</td>' in text
    assert '<td class="n">≈ ' in text
    assert f'<td class="n">{one.totals.feed_per_gain:.2f}</td>' in text
    assert f'<td class="n">{one.nitrogen_g:.0f} g</td>' in text
    assert logged.growth.lost_so_far()[[2, 3, 49]].tolist() == [0.0, 10.0, 10.0]


@pytest.mark.django_db
def test_a_garden_in_pounds_reads_its_costs_by_the_pound(owner, garden):
    garden.unit_system = "us"
    garden.save()
    usual, batch = finished(garden, "Usual"), finished(garden, "First", live_g=2000.0)
    for cheap, amount in ((usual, "20.00"), (batch, "60.00")):
        CostFactory(garden=garden, batch=cheap, amount=Decimal(amount), on=HATCHED)
    text = owner.get(reverse("batch_report", args=[garden.pk, batch.pk])).content.decode()
    # 60 for 10 x 2 kg x 0.74, 14.8 kg or 32.63 lb: 1.84.
    assert "1.84 a pound dressed" in text
    assert "A pound dressed cost 1.84" in text
