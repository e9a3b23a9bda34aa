"""The queue: tried again after a pause, given to another when a worker dies, fair between gardens."""

from datetime import timedelta

import pytest
from django_tasks import TaskResultStatus, task
from django_tasks_db.models import DBTaskResult

from garden.clock import now
from garden.models import Garden
from rotation import plan_work, queued, rhythms
from rotation.enqueuing import (
    AT_NIGHT,
    GOES_ON_LEAST,
    NIGHT_BELOW,
    PLAN,
    PRIORITIES,
    SIZING,
    place_of_search,
)
from rotation.models import Plan, PlanRun, PlanWorker, Rhythm
from rotation.plan_runs import plan_run_ask, plan_run_claim, worker_alive
from rotation.rhythms import Regular, rhythms_keep
from rotation.task_rescue import tasks_rescue, tasks_sweep
from rotation.task_tries import MOST_TRIES, pause
from rotation.task_worker import TaskWorker
from rotation.working import HandedBack, Later, here
from tests.conftest import TODAY
from tests.factories import BatchFactory, BatchPenFactory, BedFactory, GardenFactory, PenFactory

pytestmark = pytest.mark.django_db

DONE: list[str] = []
"""What the tasks of these stories have done, in turn."""


@task
def note(what: str, ending: str = "") -> str:
    """Write something down and end as told."""
    DONE.append(what)
    if ending == "fail":
        raise ZeroDivisionError("a fault of ours")
    if ending == "back":
        raise HandedBack
    if ending == "later":
        raise Later(seconds=60, priority=-5)
    if ending == "between":
        here().between()
        DONE.append(f"{what}, the rest")
    return what


@pytest.fixture(autouse=True)
def nothing_done() -> None:
    """Begin each story with nothing done."""
    DONE.clear()


def work_off() -> None:
    """Let a worker work off what is ready."""
    TaskWorker(until_idle=True).work()


def only() -> DBTaskResult:
    """Return the only task."""
    return DBTaskResult.objects.get()


def rested() -> None:
    """Let every pause be over."""
    DBTaskResult.objects.filter(run_after__year__lt=9999).update(run_after=now())


def test_a_task_that_fails_is_tried_three_times_with_longer_and_longer_pauses(caplog):
    note.enqueue("x", "fail")
    pauses = []
    for _ in range(MOST_TRIES - 1):
        work_off()
        pauses.append((only().run_after - now()).total_seconds())
        work_off()  # it rests
        rested()
    work_off()
    assert DONE == ["x"] * MOST_TRIES
    assert only().status == TaskResultStatus.FAILED
    assert pauses == pytest.approx([2.0, 4.0], abs=0.9)
    assert pause(3) == 2 * pause(2)
    assert "a fault of ours" in caplog.text
    assert only().traceback == ""


def test_a_task_that_is_handed_back_or_put_off_has_not_been_tried():
    note.enqueue("put off", "later")
    work_off()
    put_off = only()
    assert (put_off.status, put_off.worker_ids, put_off.priority) == (
        TaskResultStatus.READY,
        [],
        -5,
    )
    assert put_off.run_after > now() + timedelta(seconds=50)
    DBTaskResult.objects.all().delete()
    note.enqueue("back", "back")
    worker = TaskWorker(until_idle=True)
    row = DBTaskResult.objects.get_locked()
    row.claim(worker.worker_id)
    worker.run_task(row)
    assert (only().status, only().worker_ids) == (TaskResultStatus.READY, [])


def test_what_comes_first_is_worked_off_in_the_middle_of_a_long_task():
    note.using(priority=1).enqueue("long", "between")
    note.using(priority=1).enqueue("its equal")
    work_off()
    note.using(priority=1).enqueue("long again", "between")

    def first(process: TaskWorker) -> bool:
        note.using(priority=2).enqueue("first")
        return TaskWorker.between(process)

    worker = TaskWorker(until_idle=True)
    worker.between = lambda: first(worker)
    worker.work()
    assert DONE == [
        "long",
        "long, the rest",
        "its equal",
        "long again",
        "first",
        "long again, the rest",
    ]


def test_a_task_that_this_version_does_not_know_waits_for_one_that_does():
    note.enqueue("x")
    DBTaskResult.objects.update(task_path="rotation.queued.of_tomorrow")
    work_off()
    assert (only().status, only().worker_ids) == (TaskResultStatus.READY, [])


def claimed_by_a_dead_worker() -> DBTaskResult:
    """Return a task whose worker was killed."""
    row = DBTaskResult.objects.get_locked()
    row.claim("dead")
    return row


def test_a_dead_workers_task_is_done_by_another_and_a_living_ones_is_left():
    note.enqueue("x")
    claimed_by_a_dead_worker()
    worker_alive(name="dead")
    assert tasks_rescue() == 0
    PlanWorker.objects.update(alive_at=now() - timedelta(seconds=11))
    assert tasks_rescue() == 1
    rested()
    work_off()
    assert DONE == ["x"]
    assert (only().status, len(only().worker_ids)) == (TaskResultStatus.SUCCESSFUL, 2)


def test_a_worker_taken_for_dead_ends_nothing_that_another_has():
    note.enqueue("x", "later")
    slow = TaskWorker(until_idle=True)
    row = DBTaskResult.objects.get_locked()
    row.claim(slow.worker_id)
    DBTaskResult.objects.update(status=TaskResultStatus.SUCCESSFUL, finished_at=now())
    slow.run_task(row)
    assert only().status == TaskResultStatus.SUCCESSFUL


def test_a_task_on_which_workers_die_is_given_up():
    note.enqueue("x")
    for _ in range(MOST_TRIES):
        claimed_by_a_dead_worker()
        assert tasks_rescue() == 1
        rested()
    assert only().status == TaskResultStatus.FAILED
    DBTaskResult.objects.update(finished_at=now() - timedelta(days=2))
    assert tasks_sweep() == 1


def test_a_run_that_the_queue_has_lost_is_put_into_it_again(garden):
    plan_run_ask(garden=garden, because="x")
    DBTaskResult.objects.all().delete()
    assert tasks_rescue() == 1
    assert tasks_rescue() == 0
    work_off()
    assert PlanRun.objects.get().finished_at


def test_a_regular_thing_is_done_by_one_of_all_workers_and_a_fault_stops_none(monkeypatch, caplog):
    done = []

    def fail() -> int:
        raise ZeroDivisionError

    regular = (Regular("broken", 60, fail), Regular("good", 60, lambda: done.append(1) or 1))
    monkeypatch.setattr(rhythms, "REGULAR", regular)
    for _ in range(3):
        rhythms_keep()
    assert len(done) == 1
    assert "broken failed" in caplog.text
    for away in (-61, 3600):
        Rhythm.objects.update(due_at=now() + timedelta(seconds=away))
        rhythms_keep()
    assert len(done) == 3


def small_garden() -> Garden:
    """Return a garden with one pen and two beds."""
    garden = GardenFactory()
    for number in range(2):
        BedFactory(garden=garden, name=f"Bed {number}", x_m=2.0 * number)
    batch = BatchFactory(garden=garden, chicks=4, processing_on=TODAY + timedelta(days=12))
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden), birds=4)
    return garden


@pytest.fixture
def turns(monkeypatch, settings) -> list[tuple[int, str]]:
    """Return who was planned in turn and how that ended; every search goes on until it must make room."""
    settings.PLAN_SECONDS_BACKGROUND = 0.6
    for name, value in (
        ("FIRST_SECONDS", 0.05),
        ("BEAT_SECONDS", 0.0),
        ("SLICE_SECONDS", 0.0),
        ("OPTIMAL_GAP", -1.0),
    ):
        monkeypatch.setattr(plan_work, name, value)
    seen, work = [], queued.plan_run_work

    def told(run: PlanRun, **more: object) -> object:
        ended = work(run, first_seconds=0.05, **more)
        seen.append((run.garden_id, ended.name))
        return ended

    monkeypatch.setattr(queued, "plan_run_work", told)
    return seen


def test_every_garden_has_a_plan_before_any_search_goes_on(turns):
    gardens = [small_garden() for _ in range(4)]
    for garden in gardens:
        plan_run_ask(garden=garden, because="x")
    work_off()
    first = turns[: len(gardens)]
    assert [garden_id for garden_id, _ in first] == [garden.pk for garden in gardens]
    assert {ended for _, ended in first[:-1]} == {"MADE_ROOM"}
    assert Plan.objects.count() == len(gardens)
    assert not PlanRun.objects.unfinished().exists()


def test_a_search_breaks_off_for_who_comes_later_and_keeps_what_it_found(turns, monkeypatch):
    """The large garden's search has begun when the small one asks."""
    large, small = small_garden(), small_garden()
    plan_run_ask(garden=large, because="x")
    solve, searches = plan_work.solved, []

    def solved(*args: object, **more: object) -> object:
        searches.append(1)
        if len(searches) == 2:
            plan_run_ask(garden=small, because="x")
        return solve(*args, **more)

    monkeypatch.setattr(plan_work, "solved", solved)
    work_off()
    assert turns == [(large.pk, "MADE_ROOM"), (small.pk, "DONE"), (large.pk, "DONE")]
    runs = PlanRun.objects.filter(garden=large)
    assert 0 < runs.get().seconds_spent <= 0.6
    assert runs.get().tries == 1
    assert Plan.objects.filter(garden=large).count() == 1


def test_the_night_waits_for_people_and_a_hurried_plan_leaves_it(garden):
    plan_run_ask(garden=garden, because="a new day", at_night=True)
    assert only().priority == AT_NIGHT
    plan_run_ask(garden=garden, because="a weighing was added")
    assert only().priority == PRIORITIES[PLAN]


@pytest.mark.parametrize("at_night", [False, True])
def test_the_longer_a_search_has_had_the_farther_back_it_waits(at_night):
    places = [place_of_search(spent, at_night=at_night) for spent in (0, 2, 10, 1e6)]
    assert places == sorted(places, reverse=True)
    assert places[-1] == GOES_ON_LEAST + (NIGHT_BELOW if at_night else 0) >= -100
    assert places[0] < (AT_NIGHT if at_night else PRIORITIES[SIZING])


def test_a_plan_that_a_page_works_out_is_left_to_it(garden):
    """And looked after until it has ended, for the page may die."""
    run = plan_run_ask(garden=garden, because="x")
    assert plan_run_claim(worker="page", garden=garden)
    work_off()
    assert only().status == TaskResultStatus.READY
    PlanRun.objects.filter(pk=run.pk).update(finished_at=now())
    rested()
    work_off()
    assert only().status == TaskResultStatus.SUCCESSFUL
