"""The plan: clashes first, the board, the moves, the cost, and planning again."""

from datetime import timedelta

import pytest
from django.urls import reverse

from garden.models import Garden
from rotation.models import Plan, PlannedStay
from rotation.views.plan import what_changed
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    StayFactory,
)

pytestmark = pytest.mark.django_db


def days(number: int) -> timedelta:
    return timedelta(days=number)


@pytest.fixture(autouse=True)
def quick(settings) -> None:
    """Give the planner little time: these stories are about the page."""
    settings.PLAN_SECONDS = 0.2


@pytest.fixture
def flock(garden: Garden):
    """Return three beds of two places and a pen of eight small birds, three weeks in the garden."""
    beds = [BedFactory(garden=garden, name=f"Bed {n}", x_m=2.0 * n, y_m=0) for n in range(1, 4)]
    pen = PenFactory(garden=garden, name="Pen A")
    batch = BatchFactory(garden=garden, chicks=4, processing_on=TODAY + days(12))
    BatchPenFactory(batch=batch, pen=pen, birds=4)
    return batch, pen, beds


def planned(flock, bed, first: int, end: int, plan: Plan, **changes) -> PlannedStay:
    batch, pen, _ = flock
    return PlannedStayFactory(
        plan=plan,
        pen=pen,
        batch=batch,
        bed=bed,
        offset_mm=20,
        stretch_mm=1170,
        first_day=TODAY + days(first),
        end_day=TODAY + days(end),
        **changes,
    )


def page(client, garden: Garden, query: str = "") -> str:
    answer = client.get(reverse("plan", args=[garden.pk]) + query)
    assert answer.status_code == 200
    return answer.content.decode()


def test_without_a_plan_the_page_says_what_it_takes(owner, viewer, garden) -> None:
    assert "Work out the plan" in page(owner, garden)
    assert "Work out the plan" not in page(viewer, garden)


def test_a_grower_plans_and_reads_where_the_pen_goes(helper, garden, flock) -> None:
    answer = helper.post(reverse("plan_again", args=[garden.pk]), follow=True)
    assert answer.redirect_chain == [(reverse("plan", args=[garden.pk]), 302)]
    told = answer.content.decode()
    assert "Planned again." in told
    assert "Fri 12 June to Thu 9 July 2026" in told
    assert "Pen A planned" in told
    assert "Proven:" in told
    assert "clash" not in told


def test_planning_again_with_nothing_new_changes_nothing(owner, garden, flock) -> None:
    owner.post(reverse("plan_again", args=[garden.pk]))
    told = owner.post(reverse("plan_again", args=[garden.pk]), follow=True).content.decode()
    assert "Nothing has changed" in told


def test_moves_are_told_by_date_with_place_and_distance(owner, garden, flock) -> None:
    _, _, beds = flock
    plan = PlanFactory(garden=garden)
    planned(flock, beds[0], 0, 2, plan)
    planned(flock, beds[2], 2, 5, plan)
    told = page(owner, garden)
    assert "Fri 12 June, today" in told
    assert "Sun 14 June" in told
    assert "place 1 of 2 from the north end, 4 m" in told
    assert "3 days, until Tue 16 June" in told
    assert "<strong>2 moves</strong>" in told


def test_a_pen_that_stays_is_no_move(owner, garden, flock) -> None:
    batch, pen, beds = flock
    StayFactory(
        pen=pen,
        batch=batch,
        bed=beds[0],
        offset_mm=20,
        stretch_mm=1170,
        first_day=TODAY - days(2),
    )
    plan = PlanFactory(garden=garden)
    planned(flock, beds[0], 0, 2, plan)
    told = page(owner, garden)
    assert "<strong>0 moves</strong>" in told
    assert "No pen moves in these four weeks" in told


def test_a_move_not_logged_is_late_and_one_made_is_gone(owner, garden, flock) -> None:
    batch, pen, beds = flock
    plan = PlanFactory(garden=garden, from_day=TODAY - days(3))
    planned(flock, beds[0], -3, -1, plan)
    planned(flock, beds[1], -1, 3, plan)
    stood = StayFactory(
        pen=pen, batch=batch, bed=beds[0], offset_mm=20, stretch_mm=1170, first_day=TODAY - days(3)
    )
    told = page(owner, garden)
    assert "Thu 11 June" in told
    assert "not logged yet" in told
    assert "<h3>Tue 9 June" not in told
    stood.bed = beds[1]
    stood.save()
    assert "not logged yet" not in page(owner, garden)


def test_many_changes_are_counted_in_the_message() -> None:
    made = Plan(changes=["one", "two", "three", "four", "five"])
    assert what_changed(made) == "Planned again. one. two. three. And 2 more, below."


def test_days_off_the_beds_say_why_once_for_days_in_a_row(owner, garden, flock) -> None:
    plan = PlanFactory(garden=garden)
    planned(flock, None, 0, 2, plan, because={"crop": 4, "nitrogen": 2})
    planned(flock, None, 2, 5, plan, because={"crop": 4})
    told = page(owner, garden)
    assert told.count("lift the droppings for compost") == 1
    assert "off the beds, 5 days" in told
    assert "2 without nitrogen room" in told
    assert "off the beds for <strong>5 days</strong>" in told


def test_a_planting_made_since_shows_as_a_clash_first(owner, garden, flock) -> None:
    owner.post(reverse("plan_again", args=[garden.pk]))
    bed = Plan.objects.first().stays.exclude(bed=None).first().bed
    PlantingFactory(
        bed=bed,
        crop=CropFactory(garden=garden),
        starts_on=TODAY - days(1),
        first_harvest_on=TODAY + days(40),
    )
    told = page(owner, garden)
    assert "to settle" in told
    assert told.index("to settle") < told.index("<table")


def test_the_board_turns_back_to_what_happened(owner, garden, flock) -> None:
    batch, pen, beds = flock
    StayFactory(
        pen=pen,
        batch=batch,
        bed=beds[1],
        first_day=TODAY - days(9),
        end_day=TODAY - days(4),
        offset_mm=20,
        stretch_mm=1170,
    )
    PlanFactory(garden=garden)
    told = page(owner, garden, "?from=2026-05-15")
    assert "Fri 15 May to Thu 11 June 2026" in told
    assert "Pen A stood here, 3 June to 7 June" in told
    assert f'{reverse("plan", args=[garden.pk])}">Today</a>' in told
    assert "?from=2026-04-17" in told
    assert "?from=2026-06-12" in told


@pytest.mark.parametrize("typed", ["", "soon", "2026-13-45", "0001-01-01", "9999-12-31"])
def test_a_day_that_cannot_be_shown_is_today(owner, garden, flock, typed) -> None:
    PlanFactory(garden=garden)
    assert "Fri 12 June to Thu 9 July 2026" in page(owner, garden, f"?from={typed}")


def testwhat_changed_and_why_is_told(owner, garden, flock) -> None:
    PlanFactory(
        garden=garden,
        because="after planting new",
        changes=["Pen A, Sun 14 June: Bed 2 instead of Bed 1"],
        cost=100.0,
        lower_bound=93.0,
    )
    told = page(owner, garden)
    assert "after planting new" in told
    assert "Pen A, Sun 14 June: Bed 2 instead of Bed 1" in told
    assert "no plan can be more than 7 % better" in told


def test_only_those_who_log_may_plan(viewer, stranger, garden, flock) -> None:
    address = reverse("plan_again", args=[garden.pk])
    assert viewer.post(address).status_code == 403
    assert stranger.post(address).status_code == 404
    assert viewer.get(address).status_code == 405
    assert not Plan.objects.exists()
    PlanFactory(garden=garden)
    assert "Plan again" not in page(viewer, garden)
    assert stranger.get(reverse("plan", args=[garden.pk])).status_code == 404


def test_the_plan_of_another_garden_is_not_shown(owner, garden, flock) -> None:
    PlannedStayFactory(plan=PlanFactory())
    assert "No plan yet" in page(owner, garden)


def test_beds_do_not_add_queries(owner, garden, flock, django_assert_max_num_queries) -> None:
    _, _, beds = flock
    plan = PlanFactory(garden=garden)
    planned(flock, beds[0], 0, 2, plan)
    for number in range(40):
        bed = BedFactory(garden=garden, name=f"More {number}")
        PlantingFactory(bed=bed, crop=CropFactory(garden=garden))
    with django_assert_max_num_queries(20):
        page(owner, garden)
