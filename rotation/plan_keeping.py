"""Having a plan worked out: behind the pages where a worker lives, else by the request that needs it."""

import secrets

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser

from garden.models import Garden
from rotation.models import Plan, PlanRun
from rotation.plan_runs import plan_run_ask, plan_run_ask_again, plan_run_claim, worker_lives
from rotation.plan_work import plan_run_work
from rotation.planning import PLANNED_AGAIN, plan_again, plan_is_due, plan_mend


def plan_keep(
    *, garden: Garden, because: str, asked_by: AbstractBaseUser | None = None
) -> PlanRun | None:
    """Keep the plan where it still holds, otherwise have a new one worked out.

    Returns
    -------
    PlanRun or None
        What goes on behind the pages; None where nothing does.
    """
    if settings.PLANNER == "inline":
        plan_mend(garden=garden, on=garden.today(), because=because)
        return None
    # A search that goes on has perhaps read the rows before they were changed, and its plan would be of then.
    if not plan_run_ask_again(garden=garden, because=because):
        if not plan_is_due(garden=garden, on=garden.today()):
            return None
        plan_run_ask(garden=garden, because=because, asked_by=asked_by)
    return _worked(garden)


def plan_renew(
    *, garden: Garden, because: str = PLANNED_AGAIN, asked_by: AbstractBaseUser | None = None
) -> Plan | None:
    """Have a plan worked out even where what was told still holds; None where that goes on."""
    if settings.PLANNER == "inline":
        return plan_again(garden=garden, on=garden.today(), because=because)
    plan_run_ask(garden=garden, because=because, asked_by=asked_by, anew=True)
    run = _worked(garden)
    return run.plan if run and run.finished_at else None


def _worked(garden: Garden) -> PlanRun | None:
    """Return the garden's newest run, worked off here and now where no worker lives."""
    if not worker_lives():
        page = f"page:{secrets.token_hex(4)}"
        run = plan_run_claim(worker=page, garden=garden)
        if run:
            plan_run_work(run, worker=page, first_seconds=settings.PLAN_SECONDS, quick=True)
    return PlanRun.objects.select_related("plan").filter(garden=garden).first()
