"""How far planning has come, for the line on a page."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from garden.clock import now
from garden.models import Garden
from rotation.engine.problem import relative_gap
from rotation.models import Plan, PlanRun
from rotation.plan_runs import SILENT_SECONDS, worker_lives
from rotation.plan_work import FIRST_SECONDS


@dataclass(frozen=True)
class PlanState:
    """The newest search for a garden's plan, under way or ended."""

    run: PlanRun
    on: date

    @property
    def is_open(self) -> bool:
        """Whether it waits or goes on."""
        return self.run.finished_at is None

    @property
    def mark(self) -> str:
        """What tells this state's plan from another, so that a page knows that it shows an older one."""
        return f"{self.run.pk}-{self.run.plan_id or 0}-{0 if self.is_open else 1}"

    @cached_property
    def is_left_alone(self) -> bool:
        """Whether it waits and nobody is there to work it off; a query while it waits."""
        alive_at = self.run.alive_at
        is_claimed = alive_at and abs((now() - alive_at).total_seconds()) <= SILENT_SECONDS
        return self.is_open and not is_claimed and not worker_lives()

    @property
    def seconds(self) -> int:
        """Seconds since it was asked for."""
        return max(0, round(((self.run.finished_at or now()) - self.run.asked_at).total_seconds()))

    @property
    def seconds_allowed(self) -> int:
        """Seconds that the search takes at most, where nothing changes meanwhile."""
        return round(FIRST_SECONDS + self.run.seconds_allowed)

    @property
    def plan(self) -> Plan | None:
        """The plan that it has saved, first or final."""
        return self.run.plan

    @cached_property
    def off_bed_days(self) -> int:
        """Days off the beds in the plan saved so far; a query."""
        off = self.plan.stays.filter(bed=None, end_day__gt=self.on)
        return sum((stay.end_day - max(stay.first_day, self.on)).days for stay in off)

    @property
    def better_percent(self) -> float:
        """By how much the search has found something cheaper than the plan saved so far [%]."""
        if self.plan is None or self.run.cost is None:
            return 0.0
        return 100 * max(0.0, relative_gap(self.plan.cost, self.run.cost))

    @property
    def gap_percent(self) -> float | None:
        """How much cheaper than the best found any plan can still be [%]; None before anything is found."""
        costs = [cost for cost in (self.run.cost, self.plan and self.plan.cost) if cost is not None]
        bounds = [self.run.lower_bound, self.plan and self.plan.lower_bound]
        proven = [bound for bound in bounds if bound is not None]
        if not costs or not proven:
            return None
        return 100 * max(0.0, relative_gap(min(costs), max(proven)))


def plan_state(garden: Garden) -> PlanState | None:
    """Return what there is to say of planning: a search that goes on, or that gave up; one query."""
    state = newest_state(garden)
    return state if state and (state.is_open or state.run.fault) else None


def newest_state(garden: Garden) -> PlanState | None:
    """Return the newest search, ended or not; one query."""
    run = PlanRun.objects.select_related("plan").filter(garden=garden).first()
    return PlanState(run, garden.today()) if run else None
