"""What has been done on a day: moves, what was logged of the birds, chores that were ticked."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from zoneinfo import ZoneInfo

from garden.models import Garden
from garden.units import BIRD_MASS, FEED_MASS
from garden.volumes import VOLUME
from garden.words import gettext as _
from garden.words import ngettext
from rotation.batch_log import Line
from rotation.chores import Chore
from rotation.day_notes import Mark
from rotation.day_rows import DayRows
from rotation.models import Stay
from rotation.tasks import DoneThing


def done_things(
    garden: Garden,
    rows: DayRows,
    chores: Iterable[Chore],
    ticked: Mapping[str, Mark],
    on: date,
) -> list[DoneThing]:
    """Return what was done on the day, in the order of the garden's clock.

    `ticked` are the marks of chores that are done, by their key.
    """
    zone = ZoneInfo(garden.time_zone)

    def done(words: str, by: object, at: datetime, chore: str = "") -> DoneThing:
        return DoneThing(words=words, by=str(by or ""), at=at.astimezone(zone), chore=chore)

    titles = {chore.key: chore.title for chore in chores}
    names = {share.pen_id: share.pen.name for batch in rows.batches for share in batch.shares.all()}
    names_of_batches = {batch.pk: batch.name for batch in rows.batches}
    things = [
        done(_moved(stay), stay.logged_by, stay.logged_at)
        for stay in rows.stays
        if stay.first_day == on
    ]
    things += [
        done(
            f"{names.get(line.pen_id) or names_of_batches[line.batch_id]}: {_logged(line, garden)}",
            line.by,
            line.logged_at,
        )
        for line in rows.log
        if line.on == on
    ]
    things += [
        done(titles[key], mark.marked_by, mark.marked_at, key)
        for key, mark in ticked.items()
        if key in titles
    ]
    return sorted(things, key=lambda thing: thing.at)


def _moved(stay: Stay) -> str:
    said = _("{pen} to {bed}") if stay.bed else _("{pen} off the beds")
    return said.format(pen=stay.pen.name, bed=stay.bed)


def _logged(line: Line, garden: Garden) -> str:
    if line.kind == "feedrecord":
        return _("{mass} of feed").format(mass=FEED_MASS.show(line.amount, garden.unit_system))
    if line.kind == "waterrecord":
        return _("{volume} of water").format(volume=VOLUME.show(line.amount, garden.unit_system))
    if line.kind == "weighing":
        mean = BIRD_MASS.show(line.amount, garden.unit_system)
        return ngettext(
            "{n} bird weighed, {mean} on average",
            "{n} birds weighed, {mean} on average",
            line.count,
        ).format(n=line.count, mean=mean)
    if line.kind == "loss":
        return ngettext("{n} bird lost", "{n} birds lost", line.count).format(n=line.count)
    return ngettext("{n} bird processed", "{n} birds processed", line.count).format(n=line.count)
