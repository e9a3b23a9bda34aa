"""Making a what-if, dropping it, and making it so."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction

from flocks.actions import batch_write
from flocks.models import Batch
from flocks.withdrawal_guard import InsideWithdrawalError
from garden.models import Garden, Planting
from garden.undo import Recorder, undoable
from garden.words import gettext as _
from garden.words import mark
from pens.models import Pen
from rotation.change_kinds import (
    Birds,
    Change,
    Cleared,
    MoreBed,
    Pens,
    Processed,
    Rule,
    Shift,
    as_json,
)
from rotation.change_words import by_hand_words, changes_words
from rotation.changes_tried import apply
from rotation.facts import GardenFacts, facts_of
from rotation.models import Plan, WhatIf
from rotation.plan_saving import is_newest, plan_save, stays_of
from rotation.planning import Effort, current_plan, solved
from rotation.what_if import changes_of, planned_stays

ACCEPT_EFFORT = Effort(seconds=0.5, rounds=20)
"""For saving the plan that was shown, or a better one; somebody waits for it. Our choice."""
LONGEST_NAME = 80
NOT_WRITTEN = mark(
    "None of these changes can be written down ahead. Do them, log them, and the plan follows."
)
SETTLED = mark("It was accepted or dropped already.")


class CannotAcceptError(Exception):
    """Nothing of a what-if can be written into the rows, or it is gone."""


def what_if_make(
    *,
    facts: GardenFacts,
    user: AbstractBaseUser,
    changes: Sequence[Change],
    name: str = "",
) -> WhatIf:
    """Keep some changes that can be; dropping it takes it back.

    Raises
    ------
    ChangeError
        When a change cannot be.
    """
    apply(facts, changes)
    name = name or "; ".join(changes_words(changes, facts))
    if len(name) > LONGEST_NAME:
        name = f"{name[: LONGEST_NAME - 2]} …"
    return WhatIf.objects.create(
        garden=facts.garden, name=name, changes=as_json(changes), made_by=user
    )


def what_if_drop(*, what_if: WhatIf, user: AbstractBaseUser) -> None:
    """Forget a what-if."""
    said = _("{what_if} dropped").format(what_if=what_if)
    with undoable(what_if.garden, user, said) as step:
        step.removing(what_if)
        what_if.delete()


def takes_owner(changes: Iterable[Change]) -> bool:
    """Whether accepting changes what only an owner may change: rules and beds."""
    return any(isinstance(change, Rule | MoreBed) for change in changes)


def by_hand(changes: Iterable[Change], facts: GardenFacts) -> list[str]:
    """Return what is left for the grower to do and log when some changes are accepted."""
    return [said for change in changes if (said := by_hand_words(change, facts))]


def what_if_accept(*, what_if: WhatIf, user: AbstractBaseUser, on: date) -> Plan | None:
    """Write the changes into the rows as one step, and save the plan that was shown, or a better one.

    What the grower has to do by hand is left out, see `by_hand`.

    Returns
    -------
    Plan or None
        None where somebody else has planned in the same moment; that plan is then held against the rows.

    Raises
    ------
    ChangeError
        When a change can no longer be.
    CannotAcceptError
        When all of it is to be done by hand, or somebody was quicker.
    """
    garden = what_if.garden
    facts, changes = facts_of(garden, on), changes_of(what_if)
    changed = apply(facts, changes)
    written = [change for change in changes if by_hand_words(change, facts) is None]
    if not written:
        raise CannotAcceptError(_(NOT_WRITTEN))
    with undoable(garden, user, _("{what_if} accepted").format(what_if=what_if)) as step:
        # Two taps arrive within the same moment, so the second waits here for the first.
        Garden.objects.select_for_update().get(pk=garden.pk)
        if not WhatIf.objects.filter(pk=what_if.pk).exists():
            raise CannotAcceptError(_(SETTLED))
        step.removing(what_if)
        what_if.delete()
        new_beds = _write(written, facts, changed, step)
    # Searching takes a moment, so nobody's writing may wait for it.
    told, after = current_plan(garden), facts_of(Garden.objects.get(pk=garden.pk), on)
    wanted = stays_of(told)
    if len(written) == len(changes):
        wanted = planned_stays(what_if, after, new_beds) or wanted
    answer = solved(after, ACCEPT_EFFORT, announced=wanted)
    with transaction.atomic():
        if not is_newest(told, garden):
            return None
        because = _("“{what_if}” was accepted").format(what_if=what_if)
        return plan_save(facts=after, told=told, because=because, answer=answer)


def _write(
    changes: Sequence[Change], facts: GardenFacts, changed: GardenFacts, step: Recorder
) -> dict[int, int]:
    """Write changes into the rows; return the ids of new beds by those they had while thought of."""
    _write_rules([change for change in changes if isinstance(change, Rule)], changed, step)
    for change in changes:
        if isinstance(change, Cleared):
            _write_cleared(change, changed, step)
    for batch_id in dict.fromkeys(getattr(change, "batch", None) for change in changes):
        if batch_id is not None:
            own = [change for change in changes if getattr(change, "batch", None) == batch_id]
            _write_batch(batch_id, own, facts, step)
    return _write_beds(facts, changed, step)


def _write_rules(changes: Sequence[Rule], changed: GardenFacts, step: Recorder) -> None:
    if not changes:
        return
    names = [change.name for change in changes]
    garden = Garden.objects.get(pk=changed.garden.pk)
    step.changing(garden)
    for name in names:
        setattr(garden, name, getattr(changed.garden, name))
    garden.save(update_fields=names)


def _write_beds(facts: GardenFacts, changed: GardenFacts, step: Recorder) -> dict[int, int]:
    new_beds = {}
    for pk in sorted(changed.beds.keys() - facts.beds.keys(), reverse=True):
        bed = changed.beds[pk].bed
        bed.pk, bed.garden = None, facts.garden
        bed.save()
        step.made(bed)
        new_beds[pk] = bed.pk
    return new_beds


def _write_cleared(change: Cleared, changed: GardenFacts, step: Recorder) -> None:
    planting = Planting.objects.of(changed.garden).get(pk=change.planting)
    step.changing(planting)
    planting.ends_on = change.on
    planting.first_harvest_on = min(planting.first_harvest_on, change.on - timedelta(days=1))
    planting.save()


def _write_batch(
    batch_id: int, changes: Sequence[Change], facts: GardenFacts, step: Recorder
) -> None:
    batch = Batch.objects.prefetch_related("shares__pen").get(pk=batch_id, garden=facts.garden)
    fields: dict[str, Any] = {}
    pens: list[Pen] = [share.pen for share in batch.shares.all()]
    for change in changes:
        if isinstance(change, Birds):
            fields["chicks"] = change.birds
        elif isinstance(change, Pens):
            pens = list(facts.garden.pens.filter(pk__in=change.pens))
        elif isinstance(change, Shift):
            fields |= _shifted(batch, change.days)
    # Last, as in trying it: a processing day that is told goes before one that is shifted.
    for change in changes:
        if isinstance(change, Processed):
            fields["processing_on"] = change.on
    try:
        batch_write(batch=batch, pens=pens, step=step, **fields)
    except InsideWithdrawalError as refusal:
        raise CannotAcceptError(" ".join(refusal.messages)) from None


def _shifted(batch: Batch, days: int) -> dict[str, date]:
    names = ("hatch_on", "leaves_brooder_on", "processing_on")
    return {name: getattr(batch, name) + timedelta(days=days) for name in names}
