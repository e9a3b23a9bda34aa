"""Where pens stood and will stand, what the grower has fixed, which chores of the day are done, and photos."""

from rotation.models.brought_in import BroughtIn
from rotation.models.chores import ChoreMark
from rotation.models.exports import Export
from rotation.models.messages import CalendarFeed, Reminder
from rotation.models.photos import Photo
from rotation.models.plan_runs import PlanRun, PlanWorker
from rotation.models.plans import Plan, PlannedStay
from rotation.models.queue import GardenMorning, Rhythm
from rotation.models.sizings import Sizing
from rotation.models.stays import Ground, Stay
from rotation.models.what_if import WhatIf
from rotation.models.wishes import Closure, PinnedStay

__all__ = [
    "BroughtIn",
    "CalendarFeed",
    "ChoreMark",
    "Closure",
    "Export",
    "GardenMorning",
    "Ground",
    "Photo",
    "PinnedStay",
    "Plan",
    "PlanRun",
    "PlanWorker",
    "PlannedStay",
    "Reminder",
    "Rhythm",
    "Sizing",
    "Stay",
    "WhatIf",
]
