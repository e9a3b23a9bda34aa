"""A season through the pages: from “we want 60 kg” to the year's summary, one batch followed all the way."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from flocks.models import Batch, Pack, ProcessingDay
from rotation.models import Sizing
from rotation.sizing_rows import sized_of
from tests.factories import BedFactory, PenFactory

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


@pytest.fixture
def pens(garden, monkeypatch) -> list[str]:
    """Return two long pens of a garden with grass enough, searched quickly."""
    monkeypatch.setattr("rotation.sizing_runs.LEAST_SECONDS", 1.5)
    monkeypatch.setattr("rotation.sizing_runs.SECONDS_A_BED", 0.0)
    monkeypatch.setattr("rotation.season_sizing.JUDGE_ROUNDS", 1)
    garden.annual_limit_kg_ha = 400.0
    garden.save()
    for number in range(8):
        BedFactory(
            garden=garden, name=f"Strip {number}", kind="turf", length_mm=12_000, width_mm=1250,
            height_mm=0, x_m=2.0 * number,
        )  # fmt: skip
    size = {"length_mm": 3500, "width_mm": 1170, "floor_m2": 3.9}
    return [str(PenFactory(garden=garden, name=f"Pen {name}", **size).pk) for name in "AB"]


def test_from_sixty_kilograms_to_the_years_summary(helper, garden, pens, settings):
    def page(name: str, *ids: int, query: str = "") -> str:
        answer = helper.get(reverse(name, args=[garden.pk, *ids]) + query)
        assert answer.status_code == 200
        return " ".join(answer.content.decode().split())

    def post(name: str, *ids: int, **fields: object) -> None:
        answer = helper.post(reverse(name, args=[garden.pk, *ids]), fields)
        assert answer.status_code == 302, answer.context["form"].errors

    def at(day: date) -> None:
        settings.PRETEND_TODAY = day

    # We want 60 kg.
    post(
        "sizing", wanted_kg="60 kg", strain="fast", target_g="2.3 kg", pens=pens,
        brooder_days="24", off_days="0", freezer="200", chick_price="2.10", feed_price="0.70",
    )  # fmt: skip
    answer, sizing = page("sizing"), Sizing.objects.get()
    assert "It fits." in answer
    assert "Order the chicks by" in answer
    found = sized_of(sizing.result)
    assert found.best.meat_kg >= 60
    assert found.frontier
    post("sizing_make", sizing.pk, offer=f"o{found.others.index(found.best)}")
    batch = Batch.objects.order_by("hatch_on").first()
    assert sum(each.chicks for each in Batch.objects.all()) == found.best.chicks

    # The chicks come and are brooded.
    at(batch.hatch_on + 8 * DAY)
    post("arrival_new", batch=batch.pk, on=batch.hatch_on + DAY, count=batch.chicks,
         source="The hatchery", price="40.00")  # fmt: skip
    brooder = page("batch_brooder", batch.pk)
    assert "The chicks know better than the thermometer" in brooder
    assert page("today").count("Feed the chicks") or "brooder" in page("today")

    # They grow, and the day is planned.
    at(batch.processing_on - DAY)
    post("feed_new", batch.pk, on=batch.processing_on - 10 * DAY, mass_kg=f"{4 * batch.chicks} kg")
    post("weighing_new", batch.pk, on=batch.processing_on - 7 * DAY, count=10, mean_g="1.9 kg")
    post("processing_day", batch.pk, on=batch.processing_on, birds=batch.chicks, starts_at="08:30",
         people=3, pace="practised", water_c="15", water_l_per_kg="2", crate_m2="0.5")  # fmt: skip
    day = ProcessingDay.objects.get()
    told = page("processing_day_edit", batch.pk, day.pk)
    assert "kg of ice" in told
    assert "8 times in 10" in told
    today = page("today")
    assert f"{batch.name}: processing day, the first at 08:30" in today
    assert "Between 20:30 and 00:30" in today

    # The day itself, and the freezer.
    at(batch.processing_on)
    assert "the first at 08:30" in page("today")
    dressed_kg = Decimal("1.6") * batch.chicks
    post("processing_new", batch.pk, on=batch.processing_on, count=batch.chicks, condemned=0,
         live_mean_g="2.3 kg", dressed_kg=f"{dressed_kg} kg", core_c="3.5")  # fmt: skip
    assert Batch.objects.get(pk=batch.pk).finished_on == batch.processing_on
    assert "Process " + batch.name not in page("today")
    at(batch.processing_on + DAY)
    post("pack_new", batch=batch.pk, on=batch.processing_on + DAY, cut="whole", count=batch.chicks,
         mass_kg=f"{dressed_kg} kg", use_by="")  # fmt: skip
    post("pack_out", Pack.objects.get().pk, on=batch.processing_on + DAY, why="eaten", count=2,
         mass_kg="3.2 kg", price="")  # fmt: skip
    left_kg = f"{dressed_kg - Decimal('3.2'):.1f} kg"
    assert left_kg in page("stock")
    assert batch.name in page("pack_labels", query=f"?batch={batch.pk}")

    # Was it worth it?
    post("cost_new", batch=batch.pk, on=batch.processing_on, kind="processing", amount="25.00",
         seasons=1, what="Ice and bags")  # fmt: skip
    report = page("batch_report", batch.pk)
    assert "What to change next time" in report
    assert "65.00" in report
    year = page("year_summary", batch.hatch_on.year)
    assert f"{dressed_kg:.1f} kg" in year
    assert left_kg in year
