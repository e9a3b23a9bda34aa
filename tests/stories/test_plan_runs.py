"""Planning behind the pages: asked for once, claimed by one, saved only by who has it, and never lost."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.db import IntegrityError
from django.db.models import F

from flocks.models import Batch
from garden.clock import now
from garden.models import Garden
from rotation import plan_runs, plan_work
from rotation.models import Plan, PlanRun, PlanWorker
from rotation.plan_runs import (
    GAVE_UP,
    MOST_TRIES,
    RUNS_KEPT,
    SEVERAL,
    ClaimLostError,
    plan_run_alive,
    plan_run_ask,
    plan_run_claim,
    plan_run_finish,
    plan_run_stop,
    worker_alive,
    worker_end,
    worker_lives,
)
from rotation.plan_work import plan_run_work
from rotation.planning import Solved, plan_faults
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    GardenFactory,
    LossFactory,
    PenFactory,
    PlanFactory,
    PlantingFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def quick(settings, monkeypatch) -> None:
    """Give the searches little time: these stories are about who searches when."""
    settings.PLAN_SECONDS_BACKGROUND = 0.3
    monkeypatch.setattr(plan_work, "FIRST_SECONDS", 0.1)
    monkeypatch.setattr(plan_work, "BEAT_SECONDS", 0.0)


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return birds in a pen that fits each of three beds."""
    for number in range(3):
        BedFactory(garden=garden, name=f"Bed {number + 1}", x_m=2.0 * number)
    batch = BatchFactory(garden=garden, chicks=4, processing_on=TODAY + timedelta(days=12))
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden), birds=4)
    return batch


def asked(garden: Garden, because: str = "a weighing was added", **more: bool) -> PlanRun:
    return plan_run_ask(garden=garden, because=because, **more)


def work(garden: Garden, worker: str = "w", **more: object) -> PlanRun:
    """Claim the garden's run and work it off; return how it stands."""
    run = plan_run_claim(worker=worker, garden=garden)
    plan_run_work(run, worker=worker, first_seconds=0.1, **more)
    return PlanRun.objects.get(pk=run.pk)


def grow_old(run: PlanRun, seconds: float = 11) -> None:
    """Let the worker of a run have been silent for some seconds."""
    PlanRun.objects.filter(pk=run.pk).update(alive_at=now() - timedelta(seconds=seconds))


def when_solved(monkeypatch, act: Callable[[int], None]) -> list[Solved]:
    """Do something while each search, counted from 1, goes on; return the answers."""
    answers, solve = [], plan_work.solved

    def solved(*args: object, **kwargs: object) -> Solved:
        answers.append(solve(*args, **kwargs))
        act(len(answers))
        return answers[-1]

    monkeypatch.setattr(plan_work, "solved", solved)
    return answers


def test_what_is_asked_is_planned_once_and_says_why(garden, batch):
    asked(garden)
    run = work(garden)
    assert run.finished_at is not None
    assert run.plan == Plan.objects.get()
    assert run.plan.because == "a weighing was added"
    assert plan_faults(garden, TODAY) == []
    assert plan_run_claim(worker="w") is None


def test_two_who_ask_at_once_get_one_search(garden, batch):
    first, second = asked(garden), asked(garden, "a loss was added")
    assert first.pk == second.pk
    run = PlanRun.objects.get()
    assert (run.asked_again, run.because) == (True, SEVERAL)


def test_of_two_who_ask_in_one_moment_the_database_lets_in_one(garden, batch, monkeypatch):
    """The second finds no run, then the first's row comes, then the second's saving."""
    ask_again, others = plan_runs.plan_run_ask_again, []

    def ask_late(**kwargs: object) -> bool:
        found = ask_again(**kwargs)
        if not others:
            others.append(PlanRun.objects.create(garden=garden, because="x", seconds_allowed=1))
        return found

    monkeypatch.setattr(plan_runs, "plan_run_ask_again", ask_late)
    assert asked(garden) == others[0]
    assert PlanRun.objects.get().asked_again
    with pytest.raises(IntegrityError, match=r"unfinished_once|garden_id"):
        PlanRun.objects.create(garden=garden, because="x", seconds_allowed=1)


def test_a_run_has_one_worker(garden, batch):
    asked(garden)
    assert plan_run_claim(worker="one") is not None
    assert plan_run_claim(worker="two") is None


def test_gardens_take_turns(garden):
    other = GardenFactory()
    asked(garden)
    asked(other)
    assert plan_run_claim(worker="w").garden == garden
    assert plan_run_claim(worker="w").garden == other


@pytest.mark.parametrize("seconds", [11, -11], ids=["silent", "clock put back"])
def test_a_run_whose_worker_died_is_taken_over_and_the_dead_save_nothing(garden, batch, seconds):
    asked(garden)
    run = plan_run_claim(worker="dead")
    grow_old(run, seconds)
    assert work(garden, "alive").finished_at is not None
    made = Plan.objects.get()
    with pytest.raises(ClaimLostError):
        plan_run_alive(run, "dead")
    with pytest.raises(ClaimLostError):
        plan_run_finish(run, "dead")
    plan_run_work(run, worker="dead", first_seconds=0.1)
    assert Plan.objects.get() == made


def test_a_worker_that_lost_its_run_in_the_middle_stops_there(garden, batch, monkeypatch):
    asked(garden)

    def taken(_: int) -> None:
        PlanRun.objects.update(claimed_by="another")

    when_solved(monkeypatch, taken)
    run = work(garden)
    assert (run.claimed_by, run.finished_at, run.plan) == ("another", None, None)
    assert not Plan.objects.exists()


def test_what_changes_during_the_search_is_looked_at_before_anything_is_saved(
    garden, batch, monkeypatch
):
    asked(garden)

    def lose_birds(search: int) -> None:
        if search == 1:
            LossFactory(batch=batch, on=TODAY, count=3)
            asked(garden, "a loss was added")

    answers = when_solved(monkeypatch, lose_birds)
    run = work(garden)
    assert len(answers) >= 2
    dropped = [sum(stay.nitrogen_g for stay in answer.stays) for answer in answers[:2]]
    assert dropped[1] < 0.5 * dropped[0]
    told = sum(stay.nitrogen_g for stay in run.plan.stays.all())
    assert told == pytest.approx(dropped[1])
    assert Plan.objects.count() == 1
    assert not run.asked_again


def test_asking_at_the_very_end_is_not_lost(garden, batch):
    """Between the last save and the end of the run."""
    asked(garden)
    run = plan_run_claim(worker="w")
    asked(garden, "a loss was added")
    assert plan_run_finish(run, "w") is False
    assert PlanRun.objects.unfinished().get() == run


def test_a_plan_that_holds_is_kept_unless_somebody_wants_another(garden, batch):
    asked(garden)
    first = work(garden).plan
    asked(garden)
    assert work(garden).plan is None
    assert Plan.objects.get() == first
    asked(garden, "planned again", anew=True)
    again = work(garden).plan
    assert again.pk > first.pk
    assert again.changes == []


def test_a_better_plan_found_later_stands_in_the_place_of_the_first(garden, batch, monkeypatch):
    """And says what it changes against what was told before both."""
    told = PlanFactory(garden=garden, ground="another")
    asked(garden)
    solve, costs = plan_work.solved, iter([50.0, 40.0])
    firsts = []

    def solved(*args: object, **kwargs: object) -> Solved:
        answer = solve(*args, **kwargs)
        firsts.extend(Plan.objects.exclude(pk=told.pk))
        return Solved(answer.stays, next(costs), 10.0, answer.items, answer.seconds)

    monkeypatch.setattr(plan_work, "solved", solved)
    run = work(garden)
    assert [plan.cost for plan in firsts] == [50.0]
    assert [plan.cost for plan in Plan.objects.all()] == [40.0, told.cost]
    assert run.plan.cost == 40.0


def test_a_second_search_that_finds_nothing_better_still_proves_more(garden, batch, monkeypatch):
    asked(garden)
    solve, found = plan_work.solved, iter([(50.0, 10.0), (60.0, 45.0)])

    def solved(*args: object, **kwargs: object) -> Solved:
        answer = solve(*args, **kwargs)
        return Solved(answer.stays, *next(found), answer.items, answer.seconds)

    monkeypatch.setattr(plan_work, "solved", solved)
    work(garden)
    made = Plan.objects.get()
    assert (made.cost, made.lower_bound) == (50.0, 45.0)


def test_good_enough_ends_the_search_after_its_first_plan(garden, batch, monkeypatch):
    """Even where it was said before anybody had begun."""
    asked(garden)
    assert plan_run_stop(garden=garden)
    answers = when_solved(monkeypatch, lambda _: None)
    monkeypatch.setattr(plan_work, "OPTIMAL_GAP", -1.0)
    run = work(garden)
    assert run.finished_at is not None
    assert len(answers) == 1
    assert not plan_run_stop(garden=garden)


def test_a_worker_that_is_told_to_end_gives_the_run_back(garden, batch):
    asked(garden)
    run = work(garden, beat=lambda: True)
    assert (run.claimed_by, run.tries, run.finished_at) == ("", 0, None)
    assert work(garden).finished_at is not None


def test_a_garden_on_which_planning_fails_is_given_up_with_a_sentence(garden, monkeypatch, caplog):
    other = GardenFactory()
    asked(garden)
    asked(other)

    def fail(*_: object) -> None:
        raise ZeroDivisionError("a fault of ours")

    monkeypatch.setattr(plan_work, "facts_of", fail)
    for tried in range(1, MOST_TRIES + 1):
        assert work(garden).tries == tried
    run = plan_run_claim(worker="w")
    assert run.garden == other
    failed = PlanRun.objects.get(garden=garden)
    assert (failed.fault, failed.finished_at is None) == (GAVE_UP, False)
    assert "a fault of ours" in caplog.text


def test_a_garden_that_kills_its_workers_is_given_up(garden, batch):
    run = asked(garden)
    for _ in range(MOST_TRIES):
        assert plan_run_claim(worker="dead") is not None
        grow_old(run)
    assert plan_run_claim(worker="dead") is None
    assert PlanRun.objects.get().fault == GAVE_UP


def test_a_garden_deleted_while_it_is_planned_leaves_nothing(garden, batch, monkeypatch):
    asked(garden)
    run = plan_run_claim(worker="w")

    def delete(_: int) -> None:
        Plan.objects.all().delete()
        Batch.objects.all().delete()
        garden.pens.all().delete()
        Garden.objects.filter(pk=garden.pk).delete()

    when_solved(monkeypatch, delete)
    plan_run_work(run, worker="w", first_seconds=0.1)
    assert not PlanRun.objects.exists()
    assert not Plan.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_a_batch_deleted_while_it_is_planned_is_planned_without(garden, batch, monkeypatch):
    """The rows refuse a stay of a batch that is gone; the next try knows nothing of it."""
    asked(garden)
    when_solved(monkeypatch, lambda _: Batch.objects.filter(pk=batch.pk).delete())
    assert work(garden).tries == 1
    assert not Plan.objects.exists()
    assert work(garden).finished_at is not None
    assert not Plan.objects.exists()


def test_a_batch_finished_while_it_is_planned_ends_the_plan(garden, batch, monkeypatch):
    asked(garden)

    def finish(search: int) -> None:
        if search == 1:
            Batch.objects.update(finished_on=TODAY)
            asked(garden, "a processing was added")

    when_solved(monkeypatch, finish)
    assert work(garden).finished_at is not None
    assert not Plan.objects.exists()


def test_a_plan_that_a_page_made_meanwhile_is_not_overwritten(garden, batch, monkeypatch):
    asked(garden)
    pages = []

    def plan_elsewhere(search: int) -> None:
        if search == 1:
            pages.append(PlanFactory(garden=garden, ground="another"))

    when_solved(monkeypatch, plan_elsewhere)
    work(garden)
    assert Plan.objects.earliest("pk") == pages[0]
    assert plan_faults(garden, TODAY) == []


def test_a_change_between_the_stages_is_planned_against_what_was_told_before(
    garden, batch, monkeypatch
):
    """The first plan of a run was never a promise: the next one takes its place."""
    asked(garden)
    monkeypatch.setattr(plan_work, "OPTIMAL_GAP", -1.0)

    def plant(search: int) -> None:
        if search == 2:
            for bed in garden.beds.all()[:2]:
                PlantingFactory(bed=bed, starts_on=TODAY)
            asked(garden, "a planting was added")

    when_solved(monkeypatch, plant)
    run = work(garden)
    assert Plan.objects.get() == run.plan
    assert run.plan.changes == []
    assert plan_faults(garden, TODAY) == []
    assert run.plan.because == SEVERAL


def test_a_run_tells_how_far_it_has_come(garden, batch):
    asked(garden)
    seen: list[tuple[float, float]] = []

    def look() -> bool:
        seen.extend(PlanRun.objects.exclude(cost=None).values_list("cost", "lower_bound"))
        return False

    work(garden, beat=look)
    assert seen
    assert all(bound <= cost for cost, bound in seen)


def test_finished_runs_do_not_pile_up(garden):
    for _ in range(RUNS_KEPT + 3):
        asked(garden)
        work(garden)
    assert PlanRun.objects.count() == RUNS_KEPT


def test_a_worker_lives_for_as_long_as_it_says_so():
    assert not worker_lives()
    worker_alive(name="w")
    assert worker_lives()
    PlanWorker.objects.update(alive_at=F("alive_at") - timedelta(seconds=11))
    assert not worker_lives()
    worker_alive(name="w")
    worker_alive(name="other")
    worker_end(name="w")
    assert list(PlanWorker.objects.values_list("name", flat=True)) == ["other"]
