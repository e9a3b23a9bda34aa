"""Where pens stood and will stand, what the grower has fixed, and which chores of the day are done."""

from rotation.models.chores import ChoreMark
from rotation.models.plan_runs import PlanRun, PlanWorker
from rotation.models.plans import Plan, PlannedStay
from rotation.models.stays import Ground, Stay
from rotation.models.what_if import WhatIf
from rotation.models.wishes import Closure, PinnedStay

__all__ = [
    "ChoreMark",
    "Closure",
    "Ground",
    "PinnedStay",
    "Plan",
    "PlanRun",
    "PlanWorker",
    "PlannedStay",
    "Stay",
    "WhatIf",
]
