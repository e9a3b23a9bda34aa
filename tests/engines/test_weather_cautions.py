"""What the weather means for birds: nothing on a mild day, the right thing on a hard one."""

from datetime import date, time

import pytest

from garden.sun import sun_day
from garden.weather_values import Weather
from garden.workings import WORKINGS, told
from rotation.chores import Chore, Part
from rotation.day_parts import part_at, rank
from rotation.weather_cautions import Caution, Flock, Kind, PenInWind, cautions_of

TODAY, TOMORROW = date(2026, 6, 12), date(2026, 6, 13)
MILD = Weather(TODAY, 12, 20, 60, 3)
OUT = Flock(name="Batch 12", age_days=45, outdoors=True)
CHICKS = Flock(name="Batch 13", age_days=8, outdoors=False)


def cautions(today=MILD, tomorrow=MILD, flocks=(OUT,), pens=(), system="metric") -> list[Caution]:
    return list(cautions_of(today, tomorrow, flocks, pens, system))


def test_a_mild_day_asks_nothing() -> None:
    assert cautions(pens=[PenInWind(name="Pen A", moves_at_m_s=14)]) == []


def test_nothing_is_said_of_weather_that_nobody_knows() -> None:
    assert cautions(Weather(TODAY), Weather(TOMORROW), (OUT, CHICKS)) == []


def test_heat_is_told_for_the_oldest_birds_outdoors_in_the_garden_s_units() -> None:
    young = Flock(name="Batch 14", age_days=25, outdoors=True)
    hot, mild_night = Weather(TODAY, 18, 33, 55), Weather(TOMORROW, 21, 25)
    [caution] = cautions(hot, mild_night, flocks=(young, OUT), system="us")
    assert (caution.kind, caution.is_danger) == (Kind.HEAT, True)
    assert "91 °F" in caution.words
    assert "Batch 12 are 45 days old" in caution.words


def test_a_warm_day_of_the_month_table_says_that_it_is_usual() -> None:
    [caution] = cautions(Weather(TODAY, 15, 27, is_usual=True))
    assert not caution.is_danger
    assert "27 °C is usual this month" in caution.words
    assert caution.working["humidity"] == "50 % (taken)"


def test_tonight_is_the_night_before_tomorrow() -> None:
    assert cautions(Weather(TODAY, 3, 20)) == []
    [caution] = cautions(tomorrow=Weather(TOMORROW, 3, 20))
    assert (caution.kind, caution.is_danger) == (Kind.NIGHT, False)
    assert caution.working["least"] == "7 °C"


def test_birds_too_young_to_be_out_are_in_danger_on_any_night() -> None:
    early = Flock(name="Early", age_days=15, outdoors=True)
    [caution] = cautions(tomorrow=Weather(TOMORROW, 18, 22), flocks=(early,))
    assert caution.is_danger
    assert "too young" in caution.working["least"]


@pytest.mark.parametrize(("low_c", "warned"), [(2.0, True), (-5.0, True), (2.5, False)])
def test_frost_is_told_while_chicks_need_the_brooder(low_c: float, warned: bool) -> None:
    found = cautions(tomorrow=Weather(TOMORROW, low_c, 9), flocks=(CHICKS,))
    assert [caution.kind for caution in found] == ([Kind.FROST] if warned else [])


@pytest.mark.parametrize(
    ("gust_m_s", "danger"), [(10, None), (11.3, False), (13.9, False), (14, True)]
)
def test_wind_is_held_against_the_pen_s_own_gust(gust_m_s: float, danger: bool | None) -> None:
    pen = PenInWind(name="Pen A", moves_at_m_s=14, mass_kg=18)
    found = cautions(Weather(TODAY, 12, 20, gust_m_s=gust_m_s), pens=[pen])
    assert [caution.is_danger for caution in found] == ([] if danger is None else [danger])


def test_a_pen_without_a_design_counts_as_a_light_one_and_says_so() -> None:
    [caution] = cautions(Weather(TODAY, gust_m_s=12), pens=[PenInWind(name="Pen A")])
    assert caution.is_danger
    assert "no design" in caution.working["moves"]


def test_dangers_come_first_and_every_caution_has_its_working() -> None:
    found = cautions(
        Weather(TODAY, 15, 27, gust_m_s=20),
        Weather(TOMORROW, 1, 9),
        (OUT, CHICKS),
        [PenInWind(name="Pen A")],
    )
    assert [caution.is_danger for caution in found] == [True, True, True, False]
    for caution in found:
        assert told(caution.why, caution.working).inputs


def test_a_working_refuses_what_it_does_not_know() -> None:
    with pytest.raises(KeyError, match="takes no colour"):
        told("feed", {"colour": "red"})
    assert all(working.source and working.mark for working in WORKINGS.values())


SUMMER = sun_day(53.35, -6.26, date(2026, 6, 21), "Europe/Dublin")
WINTER = sun_day(53.35, -6.26, date(2026, 12, 21), "Europe/Dublin")


@pytest.mark.parametrize(
    ("clock", "sun", "part"),
    [
        (time(8), None, Part.MORNING), (time(11), None, Part.MIDDAY), (time(17), None, Part.EVENING),
        (time(14, 30), WINTER, Part.EVENING), (time(14, 30), SUMMER, Part.MIDDAY),
        (time(19), SUMMER, Part.MIDDAY), (time(20), SUMMER, Part.EVENING),
    ],
)  # fmt: skip
def test_evening_comes_with_the_sun(clock, sun, part) -> None:
    assert part_at(clock, sun) is part


def test_in_the_evening_birds_needs_come_first_then_the_evening_then_what_was_left() -> None:
    chores = [
        Chore(key="weigh:1", part=Part.MORNING, title="Weigh"),
        Chore(key="dusk", part=Part.EVENING, title="Shut up"),
        Chore(key="feed:1:2", part=Part.MORNING, title="Feed"),
    ]
    ordered = sorted(chores, key=lambda chore: rank(chore, Part.EVENING))
    assert [chore.key for chore in ordered] == ["feed:1:2", "dusk", "weigh:1"]
    assert {rank(chore, Part.MORNING) for chore in chores} == {0}
