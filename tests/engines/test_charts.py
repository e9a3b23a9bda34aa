"""Charts: the drawing, the table and the figure to explore carry the same numbers."""

import re

import pytest

from garden.chart_drawing import BOTTOM, LEFT, RIGHT, TOP, draw, nice_step
from garden.charts import Axis, Band, Bars, Chart, Line, Points, figure

AGES = [0, 7, 14, 21]
MEDIANS = [40.0, 170.0, 430.0, 820.0]
LOW, HIGH = [40.0, 150.0, 380.0, 700.0], [40.0, 190.0, 480.0, 940.0]


@pytest.fixture
def weights() -> Chart:
    """Return a flock's weight with one weighing between two steps of the axis."""
    return Chart(
        key="weight",
        title="Weight",
        says="It grows.",
        x_axis=Axis("day"),
        y_axis=Axis("kg", 1000.0),
        x_end=21,
        x_step=7,
        series=(
            Band("Flock", "band-1", AGES, LOW, HIGH),
            Line("Likeliest", "line-1", AGES, MEDIANS),
            Points("Weighed", [10], [300.0], [250.0], [350.0]),
        ),
        write_x=lambda day: f"{day:g}",
        write_y=lambda grams: f"{grams:.0f} g",
        level=("wanted", 800.0),
        today=14,
    )


@pytest.fixture
def feed() -> Chart:
    """Return feed by week: three weeks expected, two of them given."""
    return Chart(
        key="feed",
        title="Feed",
        says="It is eaten.",
        x_axis=Axis("week"),
        y_axis=Axis("kg"),
        x_end=3,
        x_step=1,
        series=(
            Bars("Expected", "bar-open", [1, 2, 3], [1.5, 4.0, 7.0]),
            Bars("Given", "bar", [1, 2], [1.6, 3.0]),
        ),
        write_x=lambda week: f"{week:g}",
        write_y=lambda mass_kg: f"{mass_kg:.1f} kg",
    )


def figures_of(path: str) -> list[float]:
    """Return the numbers of an SVG path in their order."""
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", path)]


def grams_at(y: float, top_g: float) -> float:
    """Return the weight that a place on the drawing stands for."""
    return (BOTTOM - y) / (BOTTOM - TOP) * top_g


def test_the_line_is_drawn_where_its_numbers_are(weights: Chart):
    line = next(stroke for stroke in draw(weights).strokes if stroke.style == "line-1")
    places = figures_of(line.path)
    assert places[0] == LEFT
    assert places[-2] == RIGHT
    # The highest figure is 940 g; six steps at most of 200 g end the axis at 1 kg.
    assert [grams_at(y, 1000.0) for y in places[1::2]] == pytest.approx(MEDIANS, abs=1.0)


def test_a_band_goes_there_along_its_upper_edge_and_back_along_its_lower(weights: Chart):
    band = next(stroke for stroke in draw(weights).strokes if stroke.style == "band-1")
    heights = [grams_at(y, 1000.0) for y in figures_of(band.path)[1::2]]
    assert heights == pytest.approx([*HIGH, *reversed(LOW)], abs=1.0)


def test_figure_and_table_say_what_the_drawing_says(weights: Chart):
    traces = figure(weights)["data"]
    assert [trace["y"] for trace in traces[:2]] == [
        [g / 1000 for g in HIGH],
        [g / 1000 for g in LOW],
    ]
    assert traces[2]["y"] == [g / 1000 for g in MEDIANS]
    assert traces[3]["y"] == [0.3]
    assert traces[3]["error_y"]["array"] == traces[3]["error_y"]["arrayminus"] == [0.05]
    assert weights.table() == [
        ["Day", "Weighed", "Likeliest", "Flock"],
        ["0", "–", "40 g", "40 g to 40 g"],
        ["7", "–", "170 g", "150 g to 190 g"],
        ["10", "300 g", "–", "–"],
        ["14", "–", "430 g", "380 g to 480 g"],
        ["21", "–", "820 g", "700 g to 940 g"],
    ]


def test_two_weighings_of_one_day_share_a_row(weights: Chart):
    twice = Points("Weighed", [7, 7], [160.0, 180.0], [160.0, 180.0], [160.0, 180.0])
    chart = Chart(**{**vars(weights), "series": (twice,)})
    assert chart.table()[1:] == [["7", "160 g; 180 g"]]
    assert next(stroke for stroke in draw(chart).strokes).path == ""


def test_target_and_today_stand_where_they_belong(weights: Chart):
    drawing = draw(weights)
    assert grams_at(drawing.level_y, 1000.0) == pytest.approx(800, abs=1)
    assert drawing.today_x == pytest.approx(LEFT + (RIGHT - LEFT) * 14 / 21, abs=0.1)
    assert drawing.today_anchor == "middle"


@pytest.mark.parametrize(
    ("today", "anchor"), [(0, "start"), (1, "start"), (20.5, "end"), (21, "end")]
)
def test_the_word_today_stays_on_the_drawing(weights: Chart, today: float, anchor: str):
    assert draw(Chart(**{**vars(weights), "today": today})).today_anchor == anchor


@pytest.mark.parametrize("today", [-3, 22, None])
def test_a_day_beyond_the_axis_is_not_marked(weights: Chart, today: float | None):
    assert draw(Chart(**{**vars(weights), "today": today})).today_x is None


def test_bars_stand_over_their_weeks_and_carry_one_number_each(feed: Chart):
    drawing = draw(feed)
    weeks = [tick.at for tick in drawing.x_ticks]
    assert [tick.text for tick in drawing.x_ticks] == ["1", "2", "3"]
    assert [bar.middle for bar in drawing.bars] == pytest.approx([*weeks, *weeks[:2]], abs=0.2)
    assert [bar.text for bar in drawing.bars] == ["", "", "7.0", "1.6", "3.0"]
    assert all(bar.x > LEFT and bar.x + bar.width < RIGHT for bar in drawing.bars)


def test_the_number_stands_above_the_taller_of_two_bars(feed: Chart):
    expected, given = (
        next(bar for bar in draw(feed).bars if bar.style == style and bar.height > 100)
        for style in ("bar-open", "bar")
    )
    assert given.text == "3.0"
    assert given.text_y < expected.y < given.y


def test_bars_are_the_same_in_figure_and_table(feed: Chart):
    assert [trace["y"] for trace in figure(feed)["data"]] == [[1.5, 4.0, 7.0], [1.6, 3.0]]
    assert feed.table()[1:] == [
        ["1", "1.6 kg", "1.5 kg"],
        ["2", "3.0 kg", "4.0 kg"],
        ["3", "–", "7.0 kg"],
    ]


def test_every_other_tick_can_be_left_out_on_a_phone(weights: Chart):
    assert [tick.spare for tick in draw(weights).x_ticks] == [False, True, False, True]


@pytest.mark.parametrize(
    ("reach", "step"),
    [(0.07, 0.02), (0.94, 0.2), (1.0, 0.2), (3.0, 0.5), (6.0, 1.0), (7.0, 2.0), (14.0, 2.5)],
)
def test_steps_are_round_and_few(reach: float, step: float):
    assert nice_step(reach) == pytest.approx(step)


def test_an_axis_needs_something_to_reach():
    with pytest.raises(ValueError, match="reach must be above 0"):
        nice_step(0)


def test_a_chart_without_numbers_is_still_a_chart(feed: Chart):
    empty = Chart(**{**vars(feed), "series": ()})
    assert draw(empty).bars == ()
    assert empty.table() == [["Week"]]


def test_colours_are_names_of_the_style_sheet(weights: Chart, feed: Chart):
    colour = re.compile(r"#[0-9a-f]{3,8}|rgba?\(")
    assert not colour.search(str(figure(weights)) + str(figure(feed)))
