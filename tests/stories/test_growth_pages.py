"""The pages round a batch's growth: when ready, feed by the day, batch against batch, losses, what to weigh."""

import json
import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from flocks.batch_charts import feed_chart, weight_chart
from flocks.comparing import compared, comparison_charts
from flocks.feed_charts import (
    FlockFeed,
    conversion_chart,
    cumulative_chart,
    daily_chart,
    store_chart,
)
from flocks.feed_shopping import shopping_of
from flocks.flock_alarms import flock_alarms, survivors_of
from flocks.forecasting import forecast_of, paths_of
from flocks.models import Batch, Loss, Weighing
from flocks.readiness import Readiness, prices_per_kg
from flocks.ready import Target
from flocks.ready_charts import day_cost_chart
from garden.chart_drawing import BOTTOM, LEFT, RIGHT, TOP, draw
from garden.charts import Band, Bars, Chart, Line, Points, figure
from garden.models import Garden
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    FeedProductFactory,
    FeedRecordFactory,
    LossFactory,
    ProcessingFactory,
    WeighingFactory,
)


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old, weighed twice and fed every fourth day."""
    batch = BatchPenFactory(batch__garden=garden, batch__name="Spring batch").batch
    WeighingFactory(batch=batch)
    WeighingFactory(batch=batch, on=batch.hatch_on + timedelta(days=28), mean_g=1300)
    for age in range(0, 33, 4):
        FeedRecordFactory(batch=batch, on=batch.hatch_on + timedelta(days=age), mass_kg=1 + age / 6)
    return batch


def text_of(client: Client, name: str, batch: Batch, **query: object) -> str:
    """Return a page of a batch with its white space evened out."""
    response = client.get(reverse(name, args=[batch.garden_id, batch.pk]), query)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def charts_of(batch: Batch) -> list[Chart]:
    """Return every chart that the pages draw of a batch."""
    forecast = forecast_of(batch, TODAY)
    flock = FlockFeed(batch, paths_of(batch, TODAY), TODAY, batch.processing_on)
    shopping = shopping_of(batch.garden, TODAY, [batch], [FeedProductFactory(garden=batch.garden)])
    asked = Readiness(batch, TODAY, Target(2400), prices_per_kg(batch, {}))
    return [
        weight_chart(batch, forecast, TODAY, "It grows."),
        feed_chart(batch, forecast, TODAY),
        daily_chart(flock),
        cumulative_chart(flock),
        conversion_chart(flock),
        store_chart(batch.garden, shopping),
        day_cost_chart(asked),
        *comparison_charts(compared([batch], TODAY), "metric"),
    ]


def places(path: str) -> list[tuple[float, float]]:
    """Return the places an SVG path goes through."""
    numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", path)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_drawing_table_and_figure_of_every_chart_agree(batch):
    for chart in charts_of(batch):
        drawing, traces = draw(chart), figure(chart)["data"]
        step = (drawing.y_ticks[0].at - drawing.y_ticks[-1].at) / float(drawing.y_ticks[-1].text)
        strokes = iter([stroke for stroke in drawing.strokes if stroke.style != "whisker"])
        spots = iter(drawing.spots)
        for series in chart.series:
            named = [trace for trace in traces if trace.get("name") == series.name]
            assert len(named) == 1, chart.key
            values = series.low if isinstance(series, Band) else series.y
            told = [value / chart.y_axis.size for value in values]
            assert named[0]["y"] == pytest.approx(told, abs=1e-4)
            if isinstance(series, Points):
                drawn = [next(spots).y for _ in series.x]
            elif isinstance(series, Bars):
                drawn = [bar.y for bar in drawing.bars if bar.style == series.style]
            else:
                line = places(next(strokes).path)
                drawn = [y for _, y in line]
                if isinstance(series, Band):
                    drawn = drawn[: len(values) - 1 : -1]
            assert [(BOTTOM - y) / step for y in drawn] == pytest.approx(told, abs=0.6 / step), (
                chart.key
            )
            column = chart.table()[0].index(series.name)
            cells = {row[0]: row[column] for row in chart.table()[1:]}
            for x, value in zip(series.x, values, strict=True):
                if chart.write_x(x) in cells:
                    assert chart.write_y(value) in cells[chart.write_x(x)]


def test_every_chart_stays_within_its_frame(batch):
    for chart in charts_of(batch):
        drawing = draw(chart)
        for stroke in drawing.strokes:
            if isinstance(stroke.style, str) and stroke.style != "whisker":
                assert all(
                    LEFT <= x <= RIGHT and TOP <= y <= BOTTOM for x, y in places(stroke.path)
                )


def test_the_page_of_readiness_opens_with_the_batchs_own_target(viewer, batch):
    text = text_of(viewer, "batch_ready", batch)
    assert "An average of 2.40 kg" in text
    assert re.search(r"First on \w{3} \d+ June; 8 times in 10 between", text)
    assert re.search(r"A week more from \w{3} \d+ June: a bird gains \d+ g", text)
    assert "Give both prices below" in text
    assert "instead" not in text  # a viewer cannot move the day


def test_eight_birds_in_ten_take_longer_than_the_average(owner, batch):
    paths = Readiness(batch, TODAY, Target(2400), prices_per_kg(batch, {}))
    most = Readiness(batch, TODAY, Target(2400, share_of_birds=0.8), prices_per_kg(batch, {}))
    assert most.ready_on > paths.ready_on
    text = text_of(owner, "batch_ready", batch, wanted="share", mass_g="2.4 kg", share="80")
    assert "80 birds in 100 over 2.40 kg" in text
    assert f"First on {most.ready_on:%a} {most.ready_on.day}" in text


def test_a_carcass_is_asked_for_by_its_own_weight(owner, batch):
    text = text_of(owner, "batch_ready", batch, wanted="carcass", mass_g="1.7 kg")
    assert "A carcass of 1.70 kg on average" in text
    # 1.7 kg at about 72 % of 2.36 kg.
    assert re.search(r"That makes 2\.3\d kg alive", text)


def test_prices_say_when_a_day_no_longer_pays(owner, batch):
    prices = {"feed_price": "0.90", "meat_price": "3,20"}
    text = text_of(owner, "batch_ready", batch, wanted="mean", mass_g="2400", **prices)
    assert "The last day whose gain is worth its feed is" in text
    assert "Gain is worth" in text
    dear = {"feed_price": "9", "meat_price": "3.20"}
    text = text_of(owner, "batch_ready", batch, wanted="mean", mass_g="2400", **dear)
    assert "is worth its feed." in text
    assert "No day from" in text


def test_the_heaviest_are_taken_and_the_rest_wait(owner, batch):
    query = {"take": "4", "take_on": "2026-06-15"}
    text = text_of(owner, "batch_ready", batch, wanted="mean", mass_g="2400", **query)
    assert "The 4 heaviest on Mon 15 June" in text
    assert re.search(r"The other 6 average 1\.\d\d kg that day", text)
    whole = Readiness(batch, TODAY, Target(2400), prices_per_kg(batch, {}))
    part = whole.part(4, TODAY)
    assert part.taken_g.median > part.left_g.median
    assert part.rest_on > whole.ready_on
    share = (4 * part.taken_g.median + 6 * part.left_g.median) / 10
    assert share == pytest.approx(forecast_of(batch, TODAY).weight_g(TODAY).median, rel=0.01)


@pytest.mark.parametrize(
    ("query", "reason"),
    [
        ({"mass_g": "50 kg"}, "Give a weight of at most 8.00 kg."),
        ({"mass_g": "0"}, "Give a weight of at least 200 g."),
        ({"mass_g": ""}, "This field is required."),
        ({"wanted": "feathers"}, "Select a valid choice"),
        ({"share": "100"}, "less than or equal to 99"),
        ({"take": "11"}, "There are 10 birds."),
        ({"take": "2", "take_on": "2026-06-01"}, "Give a day from today on"),
        ({"feed_price": "dear"}, "Enter a number."),
    ],
)
def test_what_cannot_be_asked_is_told_beside_its_field(owner, batch, query, reason):
    usual = {"wanted": "mean", "mass_g": "2400"}
    address = reverse("batch_ready", args=[batch.garden_id, batch.pk])
    response = owner.get(address, usual | query)
    assert response.status_code == 422
    assert reason in response.content.decode()


def test_the_day_they_are_ready_is_one_tap_from_the_plan(helper, batch):
    text = text_of(helper, "batch_ready", batch)
    address = re.search(r'href="([^"]*processing_on=[\d-]+)"', text)[1]
    page = helper.get(address).content.decode()
    day = address.rpartition("=")[2]
    assert f'name="processing_on" value="{day}"' in page


def test_a_finished_batch_is_no_longer_asked_when_it_is_ready(owner, batch):
    Batch.objects.update(finished_on=TODAY)
    for name in ("batch_ready", "weighing_advice"):
        assert owner.get(reverse(name, args=[batch.garden_id, batch.pk])).status_code == 302


def test_the_feed_page_tells_phases_water_and_three_charts(viewer, batch):
    text = text_of(viewer, "batch_feeding", batch)
    assert re.search(r"Finisher</th><td>Sun 21 June</td><td class=\"n\">18 %", text)
    assert "Mix finisher into the feed before it from Sun 21 June" in text
    assert "Water today for 10 birds" in text
    assert text.count('data-chart="') == 3
    source = re.search(r'<script id="feed-total" type="application/json">(.*?)</script>', text)
    given = next(t for t in json.loads(source[1])["data"] if t.get("name") == "Given by then")
    assert (given["x"][0], given["y"][0]) == (4.0, 1.0)


def test_batches_stand_on_one_age_axis(owner, garden, batch):
    other = BatchFactory(garden=garden, name="Later", hatch_on=TODAY - timedelta(days=12))
    text = " ".join(owner.get(reverse("batch_compare", args=[garden.pk])).content.decode().split())
    assert text.count('data-chart="') == 4
    assert text.index("<bdi>Later</bdi></a>") < text.index("<bdi>Spring batch</bdi></a>")
    alone = owner.get(reverse("batch_compare", args=[garden.pk]), {"batch": other.pk})
    assert "<bdi>Spring batch</bdi></a>" not in alone.content.decode()
    lines = comparison_charts(compared([batch, other], TODAY), "metric")[0].series
    assert [(line.name, line.x[-1]) for line in lines] == [("Spring batch", 33), ("Later", 12)]
    assert all(isinstance(line, Line) for line in lines)


def test_nothing_to_compare_says_so(owner, garden):
    text = owner.get(reverse("batch_compare", args=[garden.pk])).content.decode()
    assert "No batch has hatched yet." in text


@pytest.mark.parametrize(
    "name", ["batch_ready", "batch_feeding", "weighing_advice", "weighing_list"]
)
def test_pages_stay_within_their_queries(owner, batch, name, django_assert_max_num_queries):
    with django_assert_max_num_queries(10 if name == "batch_ready" else 12):
        text_of(owner, name, batch)


def test_sudden_deaths_point_to_a_vet_and_name_no_illness(owner, batch):
    assert flock_alarms(batch, TODAY) == []
    LossFactory(batch=batch, on=TODAY, count=3)
    text = text_of(owner, "batch", batch)
    assert "3 of 10 birds died on Fri 12 June, more than chance explains." in text
    assert "call a vet or your extension service today" in text
    for illness in ("disease", "coccid", "influenza", "virus"):
        assert illness not in text


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"count": 1}, False),
        ({"count": 3, "cause": Loss.Cause.PREDATOR}, False),
        ({"count": 3, "on": TODAY - timedelta(days=9)}, False),
        ({"count": 3, "on": TODAY - timedelta(days=2)}, True),
    ],
)
def test_only_fresh_and_unexplained_deaths_raise_it(batch, changes, told):
    LossFactory(batch=batch, **({"on": TODAY} | changes))
    assert bool(flock_alarms(batch, TODAY)) == told


def test_birds_below_the_band_raise_a_plain_warning(owner, batch):
    Weighing.objects.create(batch=batch, on=TODAY, count=8, mean_g=1100)
    [alarm] = flock_alarms(Batch.objects.get(pk=batch.pk), TODAY)
    assert alarm.startswith("The birds weighed on Fri 12 June average 1.10 kg; at least 1.")
    assert "ask a vet or your extension service" in alarm
    # Told for a week, and not of one bird, which may be a small one.
    assert flock_alarms(batch, TODAY + timedelta(days=8)) == []
    Weighing.objects.filter(on=TODAY).update(mean_g=1500)
    assert len(flock_alarms(Batch.objects.get(pk=batch.pk), TODAY)) == 1
    Weighing.objects.filter(on=TODAY).update(count=1)
    assert flock_alarms(Batch.objects.get(pk=batch.pk), TODAY) == []


def test_survivors_are_told_with_their_interval(owner, batch):
    LossFactory(batch=batch, on=TODAY - timedelta(days=3), count=2)
    left = survivors_of(batch, TODAY)
    assert left.low <= left.median <= left.high == 8
    assert re.search(
        r"\d( to \d)? of 8 birds should be left on Sun 28 June", text_of(owner, "batch", batch)
    )


def test_birds_processed_are_not_lost(batch):
    ProcessingFactory(batch=batch, on=TODAY - timedelta(days=1), count=4)
    assert survivors_of(batch, TODAY).high == 6
    assert flock_alarms(batch, TODAY) == []


def test_a_batch_that_has_not_hatched_has_every_page(owner, garden):
    later = BatchFactory(garden=garden, hatch_on=TODAY + timedelta(days=20))
    for name in ("batch", "batch_ready", "batch_feeding", "weighing_advice", "weighing_list"):
        assert text_of(owner, name, later)


@pytest.mark.parametrize("birds", [1, 10_000])
def test_one_bird_and_ten_thousand_have_every_page(owner, garden, birds):
    flock = BatchFactory(garden=garden, chicks=birds)
    WeighingFactory(batch=flock, count=1, mean_g=790)
    for name in ("batch", "batch_ready", "batch_feeding", "weighing_advice", "weighing_list"):
        assert text_of(owner, name, flock)
    LossFactory(batch=flock, count=birds)
    assert "No bird is left." in text_of(owner, "weighing_advice", flock)
    assert text_of(owner, "batch_ready", flock)


def test_a_stranger_finds_none_of_it(stranger, batch):
    for name in ("batch_ready", "batch_feeding", "weighing_advice", "weighing_list"):
        assert stranger.get(reverse(name, args=[batch.garden_id, batch.pk])).status_code == 404
    assert stranger.get(reverse("batch_compare", args=[batch.garden_id])).status_code == 404
