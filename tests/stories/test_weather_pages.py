"""Weather entered by hand or by month, what Today says of it, and what could not be done."""

import pytest
from django.urls import reverse

from garden.models import DayWeather, MonthWeather, UndoStep
from rotation.models import ChoreMark
from tests.conftest import TODAY
from tests.factories import BedFactory, DesignFactory
from tests.stories.morning import day, page

pytestmark = pytest.mark.django_db


def place(name: str, garden, **ids: object) -> str:
    return reverse(name, kwargs={"garden_id": garden.pk, **ids})


def enter(client, garden, **fields: object):
    return client.post(place("weather", garden), {"on": TODAY.isoformat(), **fields})


def test_a_hot_day_is_entered_and_becomes_a_danger(helper, garden, morning) -> None:
    assert enter(helper, garden, high_c="34", humidity_percent="60").status_code == 302
    text = page(helper, garden)
    assert "Danger of heat." in text
    assert "for 34 °C" in text
    assert "Tao and Xin 2003" in text


def test_a_day_entered_twice_is_one_day_and_can_be_taken_back(helper, garden, morning) -> None:
    enter(helper, garden, high_c="30")
    enter(helper, garden, high_c="20", low_c="9")
    [row] = DayWeather.objects.all()
    assert (row.high_c, row.low_c, row.logged_by) == (20, 9, helper.user)
    helper.post(place("undo", garden, step_id=UndoStep.objects.latest("pk").pk))
    assert DayWeather.objects.get().high_c == 30


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "Give at least one figure"),
        ({"high_c": "warm"}, "Give a temperature"),
        ({"high_c": "5", "low_c": "9"}, "cannot be colder"),
        ({"high_c": "99"}, "at most 60 °C"),
        ({"humidity_percent": "120"}, "100"),
        ({"gust_m_s": "-3"}, "not below zero"),
        ({"on": day(11).isoformat(), "high_c": "20"}, "up to 10 days ahead"),
        ({"on": "soon", "high_c": "20"}, "valid date"),
    ],
)
def test_bad_weather_is_answered_beside_the_field(helper, garden, fields, said) -> None:
    answer = enter(helper, garden, **fields)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not DayWeather.objects.exists()


def months(**changed: str) -> dict[str, str]:
    blank = {f"{side}_{n}": "" for n in range(1, 13) for side in ("low_c", "high_c")}
    return blank | changed


def test_an_owner_fills_in_the_months_and_today_reckons_with_them(owner, garden, morning) -> None:
    there = place("weather_months", garden)
    assert owner.post(there, months(low_c_6="12", high_c_6="30")).status_code == 302
    assert MonthWeather.objects.get().month == 6
    assert "30 °C is usual this month" in page(owner, garden)
    owner.post(there, months(low_c_7="12", high_c_7="21"))
    assert [row.month for row in MonthWeather.objects.all()] == [7]


def test_half_a_month_and_a_month_upside_down_are_answered(owner, garden) -> None:
    answer = owner.post(
        place("weather_months", garden), months(low_c_1="3", low_c_2="9", high_c_2="2")
    )
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Give both figures of a month" in text
    assert "cannot be colder than the average night" in text
    assert not MonthWeather.objects.exists()


def test_a_pen_with_a_design_is_held_against_its_own_gust(helper, garden, morning) -> None:
    morning.plans(morning.bed_1, -2, 2)
    enter(helper, garden, gust_m_s="12")
    assert "it has no design here" in page(helper, garden)
    morning.pen.design = DesignFactory(garden=garden)
    morning.pen.save()
    assert "it has no design here" not in page(helper, garden)


def test_the_garden_s_place_brings_the_sun(owner, garden, morning) -> None:
    assert "Sunrise" not in page(owner, garden)
    garden.place = (53.35, -6.26)
    garden.save()
    text = page(owner, garden)
    assert "Sunrise 04:57, sunset 21:52" in text
    assert "The sun sets at 21:52" in text


def test_what_is_not_possible_leaves_the_list_with_its_reason(
    helper, viewer, garden, morning
) -> None:
    there = place("chore_cannot", garden, chore="water")
    assert "Not possible" in helper.get(there).content.decode()
    assert helper.post(there, {"reason": "Not enough hands"}).status_code == 302
    mark = ChoreMark.objects.get()
    assert (mark.mark, mark.reason) == ("cannot", "Not enough hands")
    text = page(viewer, garden)
    assert "Not enough hands, hal" in text
    helper.post(place("chore_mark", garden), {"chore": "water", "mark": "open"})
    assert "Not enough hands" not in page(viewer, garden)


@pytest.mark.parametrize("fields", [{}, {"reason": "other"}, {"reason": "because"}])
def test_a_reason_is_asked_for(helper, garden, morning, fields) -> None:
    assert helper.post(place("chore_cannot", garden, chore="water"), fields).status_code == 422
    assert not ChoreMark.objects.exists()


def test_a_move_that_is_not_possible_leaves_the_card(helper, garden, morning) -> None:
    morning.plans(morning.bed_2)
    assert "Move Pen A to Bed 2</h2>" in page(helper, garden)
    there = place("chore_cannot", garden, chore=f"move:{morning.pen.pk}")
    helper.post(there, {"reason": "other", "words": "The wheel came off"})
    text = page(helper, garden)
    assert "Move Pen A to Bed 2</h2>" not in text
    assert "The wheel came off" in text


def test_beds_are_placed_and_turned_by_typing_and_that_is_undone(owner, garden) -> None:
    bed, other = BedFactory(garden=garden, x_m=1, y_m=1), BedFactory(garden=garden, x_m=4, y_m=1)
    fields = {
        f"x_m_{bed.pk}": "2.5 m", f"y_m_{bed.pk}": "3", f"turned_deg_{bed.pk}": "-15",
        f"x_m_{other.pk}": "4 m", f"y_m_{other.pk}": "1 m", f"turned_deg_{other.pk}": "0",
    }  # fmt: skip
    assert owner.post(place("bed_map", garden), fields).status_code == 302
    bed.refresh_from_db()
    assert (bed.x_m, bed.y_m, bed.turned_deg) == (2.5, 3, -15)
    assert "rotate(-15" in owner.get(place("beds", garden)).content.decode()
    owner.post(place("undo", garden, step_id=UndoStep.objects.latest("pk").pk))
    bed.refresh_from_db()
    assert (bed.x_m, bed.turned_deg) == (1, 0)
    answer = owner.post(place("bed_map", garden), fields | {f"turned_deg_{bed.pk}": "60"})
    assert answer.status_code == 422


@pytest.mark.parametrize(("asked", "first"), [("harvest", "food"), ("FROST", "weather")])
def test_the_guide_is_searched(viewer, garden, asked, first) -> None:
    text = viewer.get(place("guide", garden), {"q": asked}).content.decode()
    found = text.partition('id="all"')[0]
    assert place("guide_page", garden, page=first) in found


def test_the_guide_answers_what_it_does_not_know(viewer, garden) -> None:
    text = viewer.get(place("guide", garden), {"q": "<b>zebra"}).content.decode()
    assert "Nothing about" in text
    assert "<b>zebra" not in text
    assert viewer.get(place("guide_page", garden, page="zebra")).status_code == 404
