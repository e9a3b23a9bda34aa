"""Sunrise and sunset, checked against what everybody knows of the sun; and places as people write them."""

from datetime import date, timedelta
from math import acos, cos, degrees, radians, sin

import pytest

from garden.coordinates import NOT_A_PLACE, NOT_ON_THE_GLOBE, place_words, read_place
from garden.sun import sun_day

CAMBRIDGE = (52.21, 0.12, "Europe/London")
TROMSO = (69.65, 18.96, "Europe/Oslo")


def test_a_midsummer_day_is_told_by_the_garden_s_clock() -> None:
    latitude, longitude, zone = CAMBRIDGE
    told = sun_day(latitude, longitude, date(2026, 6, 21), zone)
    assert told.words == "Sunrise 04:38, sunset 21:24"
    assert told.dusk_at == told.sets_at


def test_the_clock_change_moves_sunrise_by_an_hour() -> None:
    latitude, longitude, zone = CAMBRIDGE
    before, after = (sun_day(latitude, longitude, date(2026, 3, d), zone) for d in (28, 29))
    earlier = after.rises_at.replace(tzinfo=None) - before.rises_at.replace(tzinfo=None)
    assert timedelta(days=1, minutes=50) < earlier < timedelta(days=1, minutes=60)


@pytest.mark.parametrize("latitude", [-50, -35, 0, 20, 40, 55])
@pytest.mark.parametrize("day", [40, 120, 200, 300])
def test_the_day_is_as_long_as_the_sunrise_equation_says(latitude: int, day: int) -> None:
    # cos H = (sin h0 - sin φ sin δ) / (cos φ cos δ), δ by Cooper's formula, from memory: good to some minutes.
    on = date(2026, 1, 1) + timedelta(days=day - 1)
    declination = radians(23.45 * sin(radians(360 / 365 * (284 + day))))
    north = radians(latitude)
    top = sin(radians(-0.833)) - sin(north) * sin(declination)
    hours = 2 * degrees(acos(top / (cos(north) * cos(declination)))) / 15
    told = sun_day(latitude, 0, on, "UTC")
    lasted = (told.sets_at - told.rises_at).total_seconds() / 3600
    assert lasted == pytest.approx(hours, abs=0.2)


def test_the_poles_have_a_sun_that_does_not_set_and_one_that_does_not_rise() -> None:
    latitude, longitude, zone = TROMSO
    # From memory: Tromsø has midnight sun from late May to late July, polar night over New Year.
    summer, winter = (
        sun_day(latitude, longitude, on, zone) for on in (date(2026, 6, 21), date(2026, 12, 21))
    )
    assert summer.words == "The sun does not set today"
    assert winter.words == "The sun does not rise today"
    assert (summer.dusk_at, winter.dusk_at) == (None, None)


def test_a_sun_that_sets_after_midnight_ends_no_evening() -> None:
    told = sun_day(65.5, 20.0, date(2026, 6, 21), "Europe/Stockholm")
    assert told.words == "Sunset 00:05, sunrise 01:18"
    assert told.dusk_at is None


@pytest.mark.parametrize("day", range(0, 366, 6))
@pytest.mark.parametrize("latitude", [66.0, 68.0, 71.0, -67.5])
def test_every_polar_day_has_words(latitude: float, day: int) -> None:
    on = date(2026, 1, 1) + timedelta(days=day)
    told = sun_day(latitude, 25.0, on, "Europe/Helsinki")
    for at in (told.rises_at, told.sets_at):
        assert at is None or at.date() == on
    assert "sun" in told.words.lower()


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("52.2053, 0.1218", (52.21, 0.12)),
        ("52.2053,-0.1218", (52.21, -0.12)),
        ("52,21, 0,12", (52.21, 0.12)),
        ("52,21; -0,12", (52.21, -0.12)),
        ("52°12′N 0°7′W", (52.2, -0.12)),
        ("52°12'30\"N, 0°7'W", (52.21, -0.12)),
        ("N 52.2 E 0.12", (52.2, 0.12)),
        ("0.12 W, 52.2 N", (52.2, -0.12)),
        ("-33.9 151.2", (-33.9, 151.2)),
    ],
)
def test_a_place_is_read_as_maps_and_people_write_it(text: str, place: tuple) -> None:
    assert read_place(text) == place
    assert read_place(place_words(*place)) == place


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("", NOT_A_PLACE), ("52", NOT_A_PLACE), ("at home", NOT_A_PLACE), ("N 52", NOT_A_PLACE),
        ("52.2 N, 3 N", NOT_A_PLACE), ("-52 N, 3 E", NOT_A_PLACE), ("1,2,3,4,5", NOT_A_PLACE),
        ("52°75′N 0°7′W", NOT_A_PLACE), ("91, 0", NOT_ON_THE_GLOBE), ("0, 181", NOT_ON_THE_GLOBE),
    ],
)  # fmt: skip
def test_what_is_no_place_is_answered(text: str, answer: str) -> None:
    with pytest.raises(ValueError, match=answer[:20]):
        read_place(text)
