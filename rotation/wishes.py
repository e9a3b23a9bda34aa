"""Writing down what the grower decides for the planner; each step can be taken back."""

from collections.abc import Sequence
from dataclasses import replace

from django.contrib.auth.models import AbstractBaseUser
from django.db import IntegrityError

from garden.models import Garden
from garden.undo import Recorder, undoable
from garden.words import gettext as _
from rotation.edits import Wanted
from rotation.facts import GardenFacts
from rotation.judging import Verdict, facts_without, solved_by_hand
from rotation.models import Closure, PinnedStay, Plan
from rotation.models.plans import BY_HAND
from rotation.plan_saving import is_newest, plan_save
from rotation.told import ground_fingerprint

LONGEST_REASON = Plan._meta.get_field("because").max_length


class PlanMovedError(Exception):
    """Another plan has been made since the one that was to be changed was read."""


def stays_fix(
    *,
    garden: Garden,
    user: AbstractBaseUser,
    facts: GardenFacts,
    told: Plan,
    wanted: Sequence[Wanted],
    verdict: Verdict,
    said: str,
) -> Plan:
    """Save a plan changed by hand, and fix the stays that were wanted so.

    Parameters
    ----------
    told : Plan
        The plan that was changed.
    verdict : Verdict
        Of `wanted` on that plan; it must hold.
    said : str
        What the undo bar says.

    Raises
    ------
    PlanMovedError
        Where another plan has been made meanwhile.
    """
    with undoable(garden, user, said) as step:
        if not is_newest(told, garden):
            raise PlanMovedError
        after = _pinned(step, facts, wanted, user)
        plan = plan_save(
            facts=after,
            told=told,
            because=f"{BY_HAND}, {said[:1].lower()}{said[1:]}"[:LONGEST_REASON],
            answer=solved_by_hand(after, verdict.stays),
        )
        step.made(plan)
    return plan


def stays_ask(
    *,
    garden: Garden,
    user: AbstractBaseUser,
    facts: GardenFacts,
    told: Plan,
    wanted: Sequence[Wanted],
    said: str,
) -> None:
    """Fix stays that the plan as told leaves no room for; whoever calls this has the rest planned anew.

    Raises
    ------
    PlanMovedError
        Where another plan has been made, or the same pen been fixed for that day, meanwhile.
    """
    try:
        with undoable(garden, user, said) as step:
            if not is_newest(told, garden):
                raise PlanMovedError
            _pinned(step, facts, wanted, user)
    except IntegrityError:
        raise PlanMovedError from None


def _pinned(
    step: Recorder, facts: GardenFacts, wanted: Sequence[Wanted], user: AbstractBaseUser
) -> GardenFacts:
    """Save what is wanted in place of what was fixed before, and clear away what is spent."""
    gone = [*facts.spent_pins, *(wish.pin for wish in wanted if wish.pin)]
    step.removing(*gone)
    PinnedStay.objects.filter(pk__in=[pin.pk for pin in gone]).delete()
    pins = [wish.as_pin() for wish in wanted]
    for pin in pins:
        pin.set_by = user
        pin.save()
    step.made(*pins)
    kept = facts_without(facts, gone)
    return replace(kept, pins=(*kept.pins, *pins), spent_pins=())


def pin_release(
    *,
    garden: Garden,
    user: AbstractBaseUser,
    facts: GardenFacts,
    told: Plan | None,
    pin: PinnedStay,
) -> None:
    """Let the planner choose again; what was told stays as it is until something else changes it."""
    with undoable(garden, user, _("{pen} unlocked").format(pen=pin.pen)) as step:
        step.removing(pin)
        PinnedStay.objects.filter(pk=pin.pk).delete()
        if told is not None and told.ground == ground_fingerprint(facts):
            step.changing(told)
            told.ground = ground_fingerprint(_released(facts, pin))
            told.save(update_fields=["ground"])


def _released(facts: GardenFacts, pin: PinnedStay) -> GardenFacts:
    spent = tuple(other for other in facts.spent_pins if other.pk != pin.pk)
    return replace(facts_without(facts, [pin]), spent_pins=spent)


def closure_save(*, garden: Garden, user: AbstractBaseUser, closure: Closure) -> None:
    """Take a bed out of use for some days, or change for which."""
    is_new = closure.pk is None
    said = (
        _("{bed} not to be had").format(bed=closure.bed)
        if is_new
        else _("Days of {bed} changed").format(bed=closure.bed)
    )
    with undoable(garden, user, said) as step:
        if is_new:
            closure.set_by = user
            closure.save()
            step.made(closure)
        else:
            step.changing(closure)
            closure.save()


def closure_remove(*, garden: Garden, user: AbstractBaseUser, closure: Closure) -> None:
    """Give a bed back before its days are over."""
    with undoable(garden, user, _("{bed} to be had again").format(bed=closure.bed)) as step:
        step.removing(closure)
        closure.delete()
