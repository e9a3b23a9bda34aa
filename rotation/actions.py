"""Logging the day's work: a pen moved, feed given, a chore ticked. Each is safe to send twice."""

from datetime import date, timedelta

from django.contrib.auth.models import AbstractBaseUser
from django.db import IntegrityError, transaction
from django.db.models import Q

from flocks.actions import record_log
from flocks.models import Batch, FeedRecord
from garden.day_words import day_words
from garden.models import Garden
from garden.undo import Recorder, undoable
from garden.units import FEED_MASS
from garden.words import gettext as _
from pens.models import Pen
from rotation.models import ChoreMark, Stay
from rotation.stretches import Stretch


class MoveError(Exception):
    """The move cannot be logged; the text says why, for the reader."""


class AlreadyThereError(MoveError):
    """Somebody has logged this very move."""


def stay_move(
    *,
    garden: Garden,
    user: AbstractBaseUser,
    pen: Pen,
    batch: Batch,
    to: Stretch | None,
    on: date,
    seen: int | None = None,
) -> Stay:
    """Log that a pen was moved: its stay ends and a new one begins, in one transaction.

    Parameters
    ----------
    batch : Batch
        Whose birds are in the pen.
    to : Stretch, optional
        Where it stands now; None is the standing ground, off the beds.
    on : date
        The day of the move, today or before.
    seen : int, optional
        The stay that the mover's page showed as the one to end. Where another has begun since, nothing is
        logged, so that two people with the same page make one move.

    Returns
    -------
    Stay
        The stay that lasts now.

    Raises
    ------
    AlreadyThereError
        When the pen already stands there.
    MoveError
        When it was moved elsewhere meanwhile, another pen stands there, or it was moved after `on`.
    """
    bed = garden.beds.get(pk=to.bed_id) if to else None
    new = Stay(pen=pen, batch=batch, bed=bed, first_day=on, logged_by=user)
    new.offset_mm, new.stretch_mm = (to.offset_mm, to.length_mm) if to else (0.0, 0.0)
    try:
        with transaction.atomic():
            _one_at_a_time(garden)
            return _carried_back(new) or _move_undoably(garden, user, new, seen)
    except IntegrityError:
        # Both were told that the pen may move; the database let only one of them.
        raise MoveError(_moved_meanwhile(_lasting(pen))) from None


def _one_at_a_time(garden: Garden) -> None:
    """Make whoever logs in the same garden at the same moment wait for this transaction to end.

    SQLite has one writer as it is; elsewhere the garden's row is held.
    """
    Garden.objects.select_for_update().get(pk=garden.pk)


def _lasting(pen: Pen) -> Stay | None:
    return pen.stays.standing().select_related("bed", "logged_by", "batch").first()


def _carried_back(new: Stay) -> Stay | None:
    """Take back today's move of a pen that is put where it stood before; None for any other move.

    Two stays without a day between would count as a visit to ground that had no rest.
    """
    before = new.pen.stays.filter(end_day=new.first_day, batch=new.batch_id).first()
    if before is None or before.place != new.place:
        return None
    _refuse_taken(new)
    # The later stay goes first: a pen has only one stay that lasts.
    if not new.pen.stays.standing().filter(first_day=new.first_day).delete()[0]:
        return None
    before.end_day = None
    before.save(update_fields=["end_day"])
    return before


def _move_undoably(garden: Garden, user: AbstractBaseUser, new: Stay, seen: int | None) -> Stay:
    with undoable(garden, user, _move_words(new, garden.today())) as step:
        return _move(new, seen, step)


def _move_words(new: Stay, today: date) -> str:
    if new.first_day == today:
        said = _("{pen} moved to {bed}") if new.bed else _("{pen} off the beds")
    else:
        said = _("{pen} moved to {bed} on {day}") if new.bed else _("{pen} off the beds on {day}")
    return said.format(pen=new.pen.name, bed=new.bed, day=day_words(new.first_day))


def _move(new: Stay, seen: int | None, step: Recorder) -> Stay:
    now = _lasting(new.pen)
    if now and now.batch_id == new.batch_id:
        _refuse_repeated(now, new, seen)
    _refuse_taken(new)
    if now is None or now.first_day < new.first_day:
        _refuse_backdated(new)
        if now:
            step.changing(now)
            _end(now, new.first_day)
        new.save()
        step.made(new)
        return new
    if now.first_day > new.first_day:
        raise MoveError(
            _("{pen} was moved again on {first_day}.").format(
                pen=new.pen.name, first_day=day_words(now.first_day)
            )
        )
    return _replace(now, new, step)


def _refuse_repeated(now: Stay, new: Stay, seen: int | None) -> None:
    if now.place == new.place:
        raise AlreadyThereError(_there_already(now, new.pen))
    if seen is not None and seen != now.pk:
        raise MoveError(_moved_meanwhile(now))


def _there_already(now: Stay, pen: Pen) -> str:
    if now.logged_by:
        on_bed = _("{pen} already stands on {bed}: {by} logged it.")
        off_beds = _("{pen} already stands off the beds: {by} logged it.")
    else:
        on_bed = _("{pen} already stands on {bed}.")
        off_beds = _("{pen} already stands off the beds.")
    said = on_bed if now.bed else off_beds
    return said.format(pen=pen.name, bed=now.bed, by=now.logged_by)


def _moved_meanwhile(now: Stay | None) -> str:
    if now is None:
        return _("The pen was moved by somebody else meanwhile. Look again.")
    said = (
        _("{by} has moved {pen} to {bed} meanwhile.")
        if now.bed
        else _("{by} has moved {pen} off the beds meanwhile.")
    )
    return said.format(by=now.logged_by or _("Somebody"), pen=now.pen.name, bed=now.bed)


def _refuse_taken(new: Stay) -> None:
    """Refuse ground on which another pen with birds stands."""
    if new.bed_id is None:
        return
    wanted = Stretch(new.bed_id, new.offset_mm, new.stretch_mm)
    others = new.bed.stays.standing().exclude(pen=new.pen).select_related("pen")
    for other in others.filter(batch__finished_on=None):
        if wanted.overlaps(Stretch(other.bed_id, other.offset_mm, other.stretch_mm)):
            raise MoveError(
                _("{pen} still stands there. Log where that pen went first.").format(
                    pen=other.pen.name
                )
            )


def _refuse_backdated(new: Stay) -> None:
    later = new.pen.stays.filter(end_day__gt=new.first_day).order_by("-end_day").first()
    if later:
        raise MoveError(
            _("{pen} stood elsewhere until {end_day}.").format(
                pen=new.pen.name, end_day=day_words(later.end_day)
            )
        )


def _end(stay: Stay, end_day: date) -> None:
    """End a stay that lasts; one of finished birds ended with them."""
    finished_on = stay.batch.finished_on
    if finished_on:
        end_day = min(end_day, max(finished_on, stay.first_day + timedelta(days=1)))
    if Stay.objects.filter(pk=stay.pk, end_day=None).update(end_day=end_day) != 1:
        raise MoveError(_moved_meanwhile(_lasting(stay.pen)))


def _replace(now: Stay, new: Stay, step: Recorder) -> Stay:
    """Put the pen elsewhere on the day it was moved already: no stay lasts no day."""
    step.changing(now)
    for name in ("batch", "bed", "offset_mm", "stretch_mm", "logged_by"):
        setattr(now, name, getattr(new, name))
    now.save()
    return now


def feed_give(
    *,
    garden: Garden,
    user: AbstractBaseUser,
    batch: Batch,
    pen: Pen | None,
    mass_kg: float,
    on: date,
) -> FeedRecord | None:
    """Log a day's feed for a pen, or for the chicks in the brooder, unless it has been logged.

    Returns
    -------
    FeedRecord or None
        None where feed of that day is there already: two ticks are one feeding.
    """
    with transaction.atomic():
        _one_at_a_time(garden)
        for_birds = Q(pen=pen) | Q(pen=None) if pen else Q()
        if batch.feedrecord_set.filter(for_birds, on=on).exists():
            return None
        record = FeedRecord(batch=batch, pen=pen, on=on, mass_kg=mass_kg)
        amount = FEED_MASS.show(mass_kg, garden.unit_system)
        who = pen.name if pen else _("chicks of {batch}").format(batch=batch.name)
        said = _("Feed logged, {amount}, {who}").format(amount=amount, who=who)
        return record_log(record=record, user=user, said=said)


@transaction.atomic
def chore_mark(
    *,
    garden: Garden,
    user: AbstractBaseUser,
    chore: str,
    mark: str,
    said: str,
    on: date,
    reason: str = "",
) -> bool:
    """Tick a chore of a day, put it off or give it up; False where that is so already, or it was ticked.

    Parameters
    ----------
    chore : str
        The key of the chore or of the move.
    mark : {"done", "later", "cannot"}
        What becomes of it.
    said : str
        What the undo bar says.
    reason : str, optional
        Why it was not possible.
    """
    row, fresh = ChoreMark.objects.get_or_create(
        garden=garden,
        on=on,
        chore=chore,
        defaults={"mark": mark, "marked_by": user, "reason": reason},
    )
    same = row.mark == mark and row.reason == reason
    if not fresh and (same or row.mark == ChoreMark.Mark.DONE):
        return False
    with undoable(garden, user, said) as step:
        if fresh:
            step.made(row)
        else:
            step.changing(row)
            row.mark, row.marked_by, row.reason = mark, user, reason
            row.save()
    return True


def chore_reopen(
    *, garden: Garden, user: AbstractBaseUser, chore: str, said: str, on: date
) -> None:
    """Take a tick, or the reason why not, back; nothing happens where there is none."""
    row = ChoreMark.objects.filter(garden=garden, on=on, chore=chore).first()
    if row is None:
        return
    with undoable(garden, user, said) as step:
        step.removing(row)
        row.delete()
