"""The tasks that the queue knows. Each takes a row's id, and what people see of it is on that row.

A task that comes twice, because a worker was taken for dead, finds the row ended or another's and does nothing.
"""

from django_tasks import task

from garden.languages import speaking_to
from garden.models import Garden
from garden.words import mark
from rotation.digest import digest_send
from rotation.enqueuing import place_of_search
from rotation.exports import export_claim, export_make
from rotation.models import Export, PlanRun, Reminder, Sizing
from rotation.plan_runs import SILENT_SECONDS, plan_run_ask, plan_run_claim
from rotation.plan_work import plan_run_work
from rotation.planning import plan_is_due
from rotation.sizing_runs import sizing_claim
from rotation.sizing_work import sizing_work
from rotation.task_tries import pause
from rotation.working import Ended, HandedBack, Later, here

NEW_DAY = mark("a new day")


@task
def plan_run(run_id: int, at_night: bool = False) -> None:
    """Work out a garden's plan; after the first plan it makes room for others, slice by slice."""
    process = here()
    run = plan_run_claim(worker=process.name, pk=run_id)
    if run is None:
        return _unless_unfinished(PlanRun, run_id)
    place = place_of_search(run.seconds_spent, at_night=at_night)
    with speaking_to(_reader(run)):
        ended = plan_run_work(
            run,
            worker=process.name,
            beat=process.beat,
            others_wait=lambda: process.others_wait(above=place),
        )
    if ended is Ended.MADE_ROOM:
        spent = PlanRun.objects.values_list("seconds_spent", flat=True).get(pk=run_id)
        raise Later(priority=place_of_search(spent, at_night=at_night))
    return _end(ended, run.tries)


@task
def sizing(sizing_id: int) -> None:
    """Size a garden's season; plans that are asked for meanwhile are worked out in between."""
    process = here()
    claimed = sizing_claim(worker=process.name, pk=sizing_id)
    if claimed is None:
        return _unless_unfinished(Sizing, sizing_id)
    with speaking_to(_reader(claimed)):
        ended = sizing_work(claimed, worker=process.name, beat=process.between)
    return _end(ended, claimed.tries)


def _reader(row: PlanRun | Sizing | Export) -> object:
    """Return who reads what a task finds: whoever asked for it, or else the garden's first owner."""
    if row.asked_by is not None:
        return row.asked_by
    owner = row.garden.memberships.owners().order_by("pk").select_related("user").first()
    return owner and owner.user


def _unless_unfinished(model: type[PlanRun | Sizing], row_id: int) -> None:
    """Come again where a page, or a worker that may be dead, has the row."""
    if model.objects.unfinished().filter(pk=row_id).exists():
        raise Later(seconds=SILENT_SECONDS)


def _end(ended: Ended, tries: int) -> None:
    """Tell the queue how work on a row ended, whose own count of tries decides when it is given up."""
    if ended is Ended.HANDED_BACK:
        raise HandedBack
    if ended is Ended.FAILED:
        raise Later(seconds=pause(tries).total_seconds())


@task
def export(export_id: int) -> None:
    """Make a garden's tables or its archive."""
    process = here()
    claimed = export_claim(export_id, worker=process.name)
    if claimed is None:
        return
    with speaking_to(_reader(claimed)):
        is_made = export_make(claimed, worker=process.name, beat=process.beat)
    if not is_made:
        raise HandedBack


@task
def letter(reminder_id: int) -> None:
    """Send one member's letter about tomorrow; a mail server that refuses it is asked again later."""
    reminder = Reminder.objects.select_related("garden", "user").filter(pk=reminder_id).first()
    if reminder is not None:
        digest_send(reminder=reminder)


@task
def morning(garden_id: int) -> None:
    """Look whether a garden's plan still holds on its new day: a move not made yesterday breaks it."""
    garden = Garden.objects.filter(pk=garden_id).first()
    if garden is not None and plan_is_due(garden=garden, on=garden.today()):
        plan_run_ask(garden=garden, because=NEW_DAY, at_night=True)
