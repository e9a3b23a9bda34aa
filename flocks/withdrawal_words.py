"""What pages say of withdrawal times: what still holds, what a plan runs into, what was processed inside
one."""

from collections.abc import Sequence
from datetime import date

from flocks.models import Batch, Treatment
from flocks.withdrawal_guard import Waits, in_words, processed_inside
from garden.day_words import day_words
from garden.words import gettext as _


def wait_warning(row: Treatment) -> str:
    """Return what a treatment just logged means for days that are planned or past, or nothing."""
    batch, wait = row.batch, row.course
    said = []
    if batch.finished_on is None and wait.holds(batch.processing_on):
        said.append(
            _(
                "{batch} is planned for processing on {day}, inside this withdrawal time. "
                "Choose {free} or later."
            ).format(batch=batch, day=day_words(batch.processing_on), free=day_words(wait.free_on))
        )
    inside = [one for one in batch.processing_set.all() if wait.holds(one.on)]
    if inside:
        days = ", ".join(dict.fromkeys(day_words(one.on) for one in inside))
        said.append(
            _(
                "Birds of {batch} processed on {days} were inside this withdrawal time. "
                "Do not eat, give or sell that meat before a vet has said what to do with it."
            ).format(batch=batch, days=days)
        )
    return " ".join(said)


def wait_cautions(batch: Batch, on: date) -> list[str]:
    """Return what a batch's page must say first; one query, and two more where a medicine was given."""
    waits = Waits.of(batch.pk)
    if not waits.treatments:
        return []
    said: list[str] = []
    if batch.finished_on is None:
        if now := waits.holding(on):
            said.append(in_words(now))
        then = waits.holding(batch.processing_on) if batch.processing_on > on else []
        if then:
            said.append(
                _("The day planned for processing, {day}, will not do. {why}").format(
                    day=day_words(batch.processing_on), why=in_words(then)
                )
            )
    if told := _meat_caution(batch, waits):
        said.append(told)
    return said


def _meat_caution(batch: Batch, waits: Waits) -> str:
    inside = processed_inside(batch, waits)
    if not inside:
        return ""
    days = ", ".join(dict.fromkeys(day_words(row.on) for row in inside))
    return _(
        "What was processed on {days} lay inside a withdrawal time that was logged afterwards. "
        "Do not eat, give or sell that meat before a vet has said what to do with it."
    ).format(days=days)


def meat_cautions(batches: Sequence[Batch]) -> list[tuple[Batch, str]]:
    """Return the batches whose meat must not be eaten yet, and why; one query where no medicine was given."""
    treated = Treatment.objects.filter(batch__in=batches, withdrawal_days__gt=0)
    ids = set(treated.values_list("batch", flat=True))
    told = (
        (batch, _meat_caution(batch, Waits.of(batch.pk))) for batch in batches if batch.pk in ids
    )
    return [(batch, words) for batch, words in told if words]
