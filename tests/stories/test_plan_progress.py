"""What people see of planning that goes on behind the pages, and what they can do about it."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from flocks.models import Weighing
from garden.clock import now
from garden.models import Garden
from rotation.context import COOKIE
from rotation.models import Plan, PlanRun, PlanWorker
from rotation.plan_runs import GAVE_UP, plan_run_claim, worker_alive
from rotation.plan_work import plan_run_work
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
)
from tests.stories.morning import HTMX

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def background(settings) -> None:
    """Plan behind the pages, by a worker that lives."""
    settings.PLANNER = "background"
    settings.PLAN_SECONDS = settings.PLAN_SECONDS_BACKGROUND = 0.1
    worker_alive(name="w")


@pytest.fixture
def batch(garden: Garden):
    """Return birds in a pen that fits each of two beds."""
    for number in range(2):
        BedFactory(garden=garden, name=f"Bed {number + 1}", x_m=2.0 * number)
    batch = BatchFactory(garden=garden, chicks=4, processing_on=TODAY + timedelta(days=8))
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden, name="Pen A"), birds=4)
    return batch


def place(garden: Garden, name: str) -> str:
    return reverse(name, args=[garden.pk])


def weigh(client: Client, batch, **more: object):
    """Log a weighing."""
    address = reverse("weighing_new", args=[batch.garden_id, batch.pk])
    return client.post(address, {"on": TODAY.isoformat(), "weights": "1740 1690"}, **more)


def text(client: Client, garden: Garden, name: str, query: str = "", **more: object) -> str:
    answer = client.get(place(garden, name) + query, **more)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def work(garden: Garden) -> PlanRun:
    """Let a worker work off what the garden asks for."""
    run = plan_run_claim(worker="w", garden=garden)
    plan_run_work(run, worker="w", first_seconds=0.1)
    return PlanRun.objects.get(pk=run.pk)


def test_a_weighing_is_saved_without_a_search_and_the_next_pages_tell_of_it(
    helper, garden, batch, monkeypatch
):
    def search(*_: object, **__: object) -> None:
        raise AssertionError("a page must not search")

    monkeypatch.setattr("rotation.planning.solve_going_on", search)
    answer = weigh(helper, batch)
    assert answer.status_code == 302
    assert Weighing.objects.count() == 1
    run = PlanRun.objects.get()
    assert (run.because, run.asked_by, run.anew) == ("a weighing was added", helper.user, False)
    assert not Plan.objects.exists()
    for name in ("today", "batches", "beds"):
        told = text(helper, garden, name)
        assert "A weighing was added, so a new plan is being worked out" in told
        assert "every 1s" in told


def test_a_reader_who_set_nothing_off_is_told_on_today_and_plan_only(helper, viewer, garden, batch):
    weigh(helper, batch)
    assert "is being worked out" in text(viewer, garden, "today")
    assert "Working out the plan" in text(viewer, garden, "plan")
    assert "being worked out" not in text(viewer, garden, "beds")


def test_the_planning_cookie_of_one_garden_is_nothing_to_another(helper, garden, batch):
    weigh(helper, batch)
    assert helper.cookies[COOKIE].value == str(garden.pk)
    helper.cookies[COOKIE] = str(garden.pk + 1)
    assert "being worked out" not in text(helper, garden, "beds")


def test_a_change_that_leaves_the_plan_sound_sets_nothing_off(helper, garden, batch):
    weigh(helper, batch)
    work(garden)
    helper.cookies.clear()
    address = reverse("note_new", args=[garden.pk, batch.pk])
    helper.force_login(helper.user)
    assert helper.post(address, {"on": TODAY.isoformat(), "text": "x"}).status_code == 302
    assert PlanRun.objects.unfinished().count() == 0
    assert COOKIE not in helper.cookies


def test_a_change_during_a_search_makes_it_look_again_even_where_the_plan_holds(
    helper, owner, garden, batch
):
    weigh(helper, batch)
    work(garden)
    owner.post(place(garden, "plan_again"))
    assert plan_run_claim(worker="w", garden=garden) is not None
    assert not PlanRun.objects.unfinished().get().asked_again
    weigh(helper, batch)
    assert PlanRun.objects.unfinished().get().asked_again


def test_htmx_is_told_that_planning_began(helper, garden, batch):
    answer = weigh(helper, batch, headers=HTMX)
    assert '"planning"' in answer.headers["HX-Trigger-After-Settle"]


def test_planning_again_shows_how_it_goes_and_then_the_plan(helper, garden, batch):
    answer = helper.post(place(garden, "plan_again"), follow=True)
    told = " ".join(answer.content.decode().split())
    assert "Working out the plan" in told
    assert "The first plan takes a second or two" in told
    assert "Good enough" not in told
    assert "Work out the plan</button>" not in told
    run = PlanRun.objects.get()
    assert run.anew
    work(garden)
    told = text(helper, garden, "plan")
    assert "Pen A" in told
    assert "Working out" not in told
    assert "Plan again</button>" in told


def test_a_first_plan_can_be_called_good_enough(helper, viewer, garden, batch):
    weigh(helper, batch)
    first = work(garden).plan
    first.stays.all().delete()
    PlannedStayFactory(
        plan=first, bed=None, first_day=TODAY - timedelta(days=3), end_day=TODAY + timedelta(days=2)
    )
    Plan.objects.update(cost=100, lower_bound=50)
    PlanRun.objects.update(finished_at=None, alive_at=now(), cost=90, lower_bound=81)
    told = text(helper, garden, "plan")
    assert "off the beds for <strong>2 days</strong>" in told
    assert "<strong>10 % better</strong>" in told
    assert "No plan can be more than 10 % better than the best found." in told
    assert "Good enough" in told
    assert "Good enough" not in text(viewer, garden, "plan")
    assert viewer.post(place(garden, "plan_enough")).status_code == 403
    answer = helper.post(place(garden, "plan_enough"), follow=True)
    assert answer.redirect_chain == [(place(garden, "plan"), 302)]
    assert "Coming to an end." in answer.content.decode()
    assert PlanRun.objects.get().stop_asked
    assert not PlanRun.objects.get().asked_again


def test_enough_without_a_search_is_answered(helper, garden):
    answer = helper.post(place(garden, "plan_enough"), follow=True)
    assert "Planning had ended already." in answer.content.decode()


def test_the_line_follows_the_search_to_its_end(helper, garden, batch):
    weigh(helper, batch)
    page = text(helper, garden, "today")
    run = PlanRun.objects.get()
    seen = f"?place=today&seen={run.pk}-0-0"
    assert seen.replace("&", "&amp;") in page
    line = text(helper, garden, "plan_progress", seen, headers=HTMX)
    assert line.startswith('<div id="planning"')
    assert "every 1s" in line
    PlanFactory(garden=garden, ground="another")
    work(garden)
    Plan.objects.filter(pk=PlanRun.objects.get().plan_id).update(
        changes=["Pen A, Sun 14 June: Bed 2 instead of Bed 1", "more"]
    )
    line = text(helper, garden, "plan_progress", seen, headers=HTMX)
    assert "Planned. Pen A, Sun 14 June: Bed 2 instead of Bed 1. And 1 more." in line
    assert f'href="{place(garden, "today")}">Show it' in line
    assert "every 1s" not in line
    # Drawn without a search that the page has seen, the line has no news to tell.
    assert "Planned." not in text(helper, garden, "plan_progress", headers=HTMX)


def test_the_line_says_when_all_stays_as_it_was(helper, garden, batch):
    weigh(helper, batch)
    work(garden)
    address = "?place=today&seen=0-0-0"
    assert "nothing that you were told was changed" in text(
        helper, garden, "plan_progress", address, headers=HTMX
    )
    PlanRun.objects.update(plan=None)
    assert "What you were told still holds." in text(
        helper, garden, "plan_progress", address, headers=HTMX
    )


def test_the_plan_page_is_loaded_again_when_there_is_a_newer_plan(helper, garden, batch):
    weigh(helper, batch)
    run = PlanRun.objects.get()
    address = place(garden, "plan_progress") + f"?place=plan&seen={run.pk}-0-0"
    assert "HX-Refresh" not in helper.get(address, headers=HTMX).headers
    work(garden)
    assert helper.get(address, headers=HTMX).headers["HX-Refresh"] == "true"


def test_without_script_the_line_is_the_plan_page(helper, viewer, stranger, garden):
    address = place(garden, "plan_progress")
    assert helper.get(address).url == place(garden, "plan")
    assert viewer.get(address, headers=HTMX).status_code == 200
    assert stranger.get(address, headers=HTMX).status_code == 404
    assert stranger.post(place(garden, "plan_enough")).status_code == 404


def test_where_no_worker_lives_the_request_plans_itself(helper, garden, batch):
    PlanWorker.objects.all().delete()
    weigh(helper, batch)
    run = PlanRun.objects.get()
    assert run.finished_at is not None
    assert run.plan.stays.exists()
    answer = helper.post(place(garden, "plan_again"), follow=True)
    assert "Planned again. Nothing has changed." in answer.content.decode()


def test_a_run_that_its_worker_left_says_so_and_can_be_worked_out_by_hand(
    helper, viewer, garden, batch
):
    weigh(helper, batch)
    PlanWorker.objects.update(alive_at=now() - timedelta(minutes=1))
    for name in ("today", "plan"):
        told = text(helper, garden, name)
        assert "the planner beside this server is not running" in told
        assert "Work it out now" in told
        assert "every 1s" not in told
    assert "Work it out now" not in text(viewer, garden, "today")
    helper.post(place(garden, "plan_again"))
    assert PlanRun.objects.get().finished_at is not None
    assert Plan.objects.get().stays.exists()


def test_a_search_that_gave_up_is_told_until_another_ends_well(helper, garden, batch):
    PlanRun.objects.create(
        garden=garden, because="x", seconds_allowed=1, finished_at=now(), fault=GAVE_UP
    )
    for name in ("today", "plan"):
        assert GAVE_UP in text(helper, garden, name)
    weigh(helper, batch)
    work(garden)
    assert GAVE_UP not in text(helper, garden, "today")


def test_planning_that_cannot_even_be_asked_for_loses_nothing(helper, garden, batch, monkeypatch):
    def broken(**_: object) -> None:
        raise RuntimeError

    monkeypatch.setattr("rotation.plan_keeping.plan_is_due", broken)
    assert weigh(helper, batch).status_code == 302
    assert Weighing.objects.count() == 1


def test_a_change_of_beds_by_one_is_planned_for_all(owner, helper, garden, batch):
    weigh(helper, batch)
    work(garden)
    bed = Plan.objects.get().stays.exclude(bed=None).first().bed
    crop = CropFactory(garden=garden)
    owner.post(
        reverse("planting_new", args=[garden.pk, bed.pk]),
        {
            "crop": crop.pk,
            "starts_on": TODAY.isoformat(),
            "first_harvest_on": (TODAY + timedelta(days=60)).isoformat(),
            "ends_on": (TODAY + timedelta(days=80)).isoformat(),
        },
    )
    assert "a planting was added" in text(helper, garden, "plan").lower()
    run = work(garden)
    assert not run.plan.stays.filter(bed=bed).exists()


def test_the_line_that_is_asked_for_every_second_costs_little(
    helper, garden, batch, django_assert_max_num_queries
) -> None:
    weigh(helper, batch)
    # Session, user, membership with garden, run with plan, worker.
    with django_assert_max_num_queries(5):
        helper.get(place(garden, "plan_progress") + "?place=today&seen=1-0-0", headers=HTMX)
