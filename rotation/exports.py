"""Having a garden's tables or archive made behind the pages, and fetching what was made.

A small garden's files are made while its person waits. A worker makes those of a large one, a model at a time.
"""

from collections.abc import Callable
from datetime import timedelta

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction
from django.db.models import F, QuerySet

from garden.clock import now
from garden.models import Garden
from garden.words import mark
from rotation.archive import archive_text, garden_archive
from rotation.csv_export import garden_zip
from rotation.enqueuing import EXPORT, enqueue
from rotation.models import Export
from rotation.task_tries import MOST_TRIES

KEPT = timedelta(days=2)
"""How long a file that was made lies ready. Our choice."""
GAVE_UP = mark(
    "The file could not be made. Nothing in the garden has changed. Ask for it once more."
)


class _StoppedError(Exception):
    """Somebody has taken the wish back, another worker has it, or the process ends."""


def export_ask(*, garden: Garden, kind: str, asked_by: AbstractBaseUser) -> Export:
    """Ask for a file; one that is being made for somebody else is not begun a second time."""
    with transaction.atomic():
        Garden.objects.select_for_update().get(pk=garden.pk)
        waiting = Export.objects.unfinished().filter(garden=garden, kind=kind).first()
        if waiting is not None:
            return waiting
        Export.objects.filter(garden=garden, kind=kind).delete()
        made = Export.objects.create(garden=garden, kind=kind, asked_by=asked_by)
        export_enqueue(made)
    return made


def export_enqueue(export: Export) -> None:
    """Let the queue carry a file that is asked for."""
    export.task_id = enqueue(EXPORT, export.pk)
    export.save(update_fields=["task_id"])


def export_stop(*, garden: Garden, export_id: int) -> bool:
    """Take a wish back; False where the file is made already."""
    count, _ = Export.objects.unfinished().filter(garden=garden, pk=export_id).delete()
    return bool(count)


def export_claim(export_id: int, *, worker: str) -> Export | None:
    """Take a file to be made; None where it is made, taken back, or was begun too often."""
    mine = Export.objects.unfinished().filter(pk=export_id)
    mine.filter(tries__gte=MOST_TRIES).update(finished_at=now(), fault=GAVE_UP)
    if not mine.update(claimed_by=worker, tries=F("tries") + 1):
        return None
    return Export.objects.select_related("garden").get(pk=export_id)


def export_make(export: Export, *, worker: str, beat: Callable[[], bool]) -> bool:
    """Make a claimed file; False where the process ends first and it goes back."""
    mine, ends = _claimed(export, worker), []

    def tell(share_done: float) -> None:
        ends.append(beat())
        if ends[-1] or not mine.update(share_done=share_done):
            raise _StoppedError

    try:
        content = export_content(export.garden, export.kind, tell)
    except _StoppedError:
        if ends[-1]:
            mine.update(claimed_by="", tries=F("tries") - 1)
        return not ends[-1]
    mine.update(content=content, size=len(content), finished_at=now(), share_done=1.0)
    return True


def export_content(
    garden: Garden, kind: str, tell: Callable[[float], None] = lambda _: None
) -> bytes:
    """Return the file itself."""
    if kind == Export.Kind.TABLES:
        return garden_zip(garden, tell)
    return archive_text(garden_archive(garden, tell))


def _claimed(export: Export, worker: str) -> QuerySet[Export]:
    return Export.objects.unfinished().filter(pk=export.pk, claimed_by=worker)


def exports_sweep() -> int:
    """Forget files that have lain ready for long; return how many."""
    count, _ = Export.objects.filter(finished_at__lt=now() - KEPT).delete()
    return count
