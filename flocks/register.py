"""The register: everything that those who ask may want to see, between two days, and as a table."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib.auth import get_user_model
from django.contrib.auth.models import AbstractBaseUser
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy

from flocks.book_kinds import REGISTER_KINDS, BookKind
from flocks.models import Batch, WithdrawalOverride
from flocks.models.records import BatchRecord, Record
from flocks.record_kinds import FEED, LOSS, PROCESSING, WEIGHING, RecordKind
from garden.csv_cells import csv_cell
from garden.forms import DayField
from garden.models import Garden, UndoStep
from garden.words import gettext as _

USUAL_DAYS = 365
"""How far back the register reaches unless asked [day]. A choice: most rules ask for a year or more."""
FIRST_YEAR, LAST_YEAR = 2000, 2099
"""Years that can be asked for. A choice."""
CHANGE = "change"
HEADINGS = [
    "day",
    "kind",
    "batch",
    "pen",
    "what",
    "birds",
    "kilograms",
    "free_on",
    "logged_by",
    "logged_at",
]


class RangeForm(forms.Form):
    """From a day to a day, both of them in."""

    since = DayField(label=gettext_lazy("From"), required=False)
    until = DayField(label=gettext_lazy("To"), required=False)

    def clean(self) -> dict[str, Any]:
        """Refuse a range that ends before it begins."""
        values = super().clean()
        since, until = values.get("since"), values.get("until")
        if since and until and until < since:
            self.add_error("until", _("It ends before it begins."))
        for name, day in (("since", since), ("until", until)):
            if day and not FIRST_YEAR <= day.year <= LAST_YEAR:
                self.add_error(name, _("Give a day of this century."))
        return values


class ChangesForm(RangeForm):
    """Whose changes between two days: of members, and of whoever once changed something."""

    person = forms.ModelChoiceField(
        None,
        label=gettext_lazy("By"),
        required=False,
        empty_label=gettext_lazy("Everybody"),
        to_field_name="username",
    )

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = get_user_model().objects
        # One list of ids, for a choice of two would have every person of the installation looked at.
        theirs = garden.memberships.values("user").union(_authors(garden))
        self.fields["person"].queryset = people.filter(pk__in=theirs).order_by("username")


def _authors(garden: Garden) -> QuerySet[UndoStep]:
    return UndoStep.objects.filter(garden=garden, user__isnull=False).values("user")


@dataclass(frozen=True)
class DayRange:
    """Days from the first to the last, both of them in."""

    since: date
    until: date


def range_of(form: RangeForm, today: date) -> DayRange:
    """Return the days asked for; the last year where the form says nothing or cannot be read."""
    values = form.cleaned_data if form.is_valid() else {}
    since = values.get("since")
    until = values.get("until") or max(today, since or today)
    return DayRange(since or until - timedelta(days=USUAL_DAYS), until)


@dataclass(frozen=True)
class RegisterLine:
    """One line of the register."""

    row: Record
    kind: str
    told: str
    edit: str
    """Name of the address that changes it; empty for what cannot be changed."""


def lines_between(garden: Garden, kind: BookKind, days: DayRange) -> list[RegisterLine]:
    """Return the lines of one kind, newest first; one query."""
    rows = _between(kind.model.objects.filter(garden=garden), days)
    system = garden.unit_system
    return [
        RegisterLine(row, kind.noun, kind.said(row, system), f"{kind.key}_edit") for row in rows
    ]


def register_of(garden: Garden, days: DayRange) -> list[tuple[BookKind, list[RegisterLine]]]:
    """Return the kinds of the register, each with its lines."""
    return [(kind, lines_between(garden, kind, days)) for kind in REGISTER_KINDS]


def overrides_between(garden: Garden, days: DayRange) -> QuerySet[WithdrawalOverride]:
    """Return the withdrawal times set aside, newest first."""
    return _between(WithdrawalOverride.objects.filter(garden=garden), days)


@dataclass(frozen=True)
class FlockLine:
    """A batch as a flock register tells it."""

    batch: Batch
    came: int
    lost: int
    processed: int
    condemned: int
    by_cause: tuple[tuple[str, int], ...]

    @property
    def left(self) -> int:
        """Return the birds that are still there."""
        return max(0, self.batch.chicks - self.lost - self.processed)


def flocks_of(garden: Garden, days: DayRange) -> list[FlockLine]:
    """Return the batches that had birds between two days, newest first; six queries."""
    batches = garden.batches.filter(hatch_on__lte=days.until).exclude(finished_on__lt=days.since)
    return [_flock_line(batch) for batch in batches.with_counts().prefetch_related("arrival_set")]


def _flock_line(batch: Batch) -> FlockLine:
    losses, done = list(batch.loss_set.all()), list(batch.processing_set.all())
    causes: dict[str, int] = {}
    for row in losses:
        causes[row.get_cause_display()] = causes.get(row.get_cause_display(), 0) + row.count
    return FlockLine(
        batch=batch,
        came=sum(row.count - row.dead_on_arrival for row in batch.arrival_set.all()),
        lost=sum(causes.values()),
        processed=sum(row.count for row in done),
        condemned=sum(row.condemned for row in done),
        by_cause=tuple(sorted(causes.items(), key=lambda item: -item[1])),
    )


def changes_between(
    garden: Garden, days: DayRange, person: AbstractBaseUser | None = None
) -> QuerySet[UndoStep]:
    """Return who did what on the pages between two of the garden's days, newest first; one query.

    Up to today means up to now. `person` leaves out what others did.
    """
    zone = ZoneInfo(garden.time_zone)
    steps = UndoStep.objects.filter(
        garden=garden, made_at__gte=datetime.combine(days.since, time(), zone)
    )
    if days.until < garden.today():
        end = datetime.combine(days.until + timedelta(days=1), time(), zone)
        steps = steps.filter(made_at__lt=end)
    if person is not None:
        steps = steps.filter(user=person)
    return steps.select_related("user").order_by("-pk")


def _between(rows: QuerySet, days: DayRange) -> QuerySet:
    found = rows.filter(on__gte=days.since, on__lte=days.until)
    names = {field.name for field in rows.model._meta.get_fields()}
    joined = [name for name in ("batch", "pen", "product", "person", "logged_by") if name in names]
    return found.select_related(*joined).order_by("-on", "-pk")


def export_lines(garden: Garden, days: DayRange) -> Iterator[list[str]]:
    """Return a row for each line under `HEADINGS`, oldest first, in SI units."""
    found: list[tuple[date, str, Record, str]] = []
    for kind in REGISTER_KINDS:
        found += [
            (line.row.on, kind.noun, line.row, kind.tell(line.row, "metric"))
            for line in lines_between(garden, kind, days)
        ]
    for kind in (WEIGHING, FEED, LOSS, PROCESSING):
        found += _batch_lines(garden, kind, days)
    for row in overrides_between(garden, days):
        told = _("withdrawal time set aside: {told}; because: {why}").format(
            told=row.told, why=row.why
        )
        found.append((row.on, "withdrawal override", row, told))
    rows = [(on, noun, row.pk, _cells(on, noun, row, told)) for on, noun, row, told in found]
    rows += [(cells[0], CHANGE, step.pk, cells) for step, cells in _changes(garden, days)]
    for *_key, cells in sorted(rows, key=lambda line: line[:3]):
        yield [csv_cell(value) for value in cells]


def _changes(garden: Garden, days: DayRange) -> Iterator[tuple[UndoStep, list[Any]]]:
    """Return what was changed, on the garden's own day of it, and by whom."""
    zone = ZoneInfo(garden.time_zone)
    for step in changes_between(garden, days):
        said = step.said
        if step.undone_at:
            back = f"{step.undone_at.astimezone(zone):%Y-%m-%d %H:%M}"
            said = _("{said} (taken back {moment})").format(said=said, moment=back)
        on = step.made_at.astimezone(zone).date()
        by = step.user.username if step.user else _("somebody")
        yield step, [on, CHANGE, "", "", said, "", "", "", by, step.made_at]


def _batch_lines(
    garden: Garden, kind: RecordKind, days: DayRange
) -> Iterable[tuple[date, str, BatchRecord, str]]:
    rows = _between(kind.model.objects.filter(batch__garden=garden), days)
    return [(row.on, kind.noun, row, kind.tell(row, "metric")) for row in rows]


def _cells(on: date, noun: str, row: Record, told: str) -> list[Any]:
    kilograms = getattr(row, "mass_kg", None) or getattr(row, "dressed_kg", None)
    birds = getattr(row, "count", None) or getattr(row, "birds", None)
    free_on = row.course.free_on if hasattr(row, "course") else getattr(row, "free_on", None)
    by = row.logged_by.username if row.logged_by_id else ""
    batch, pen = (str(getattr(row, name, None) or "") for name in ("batch", "pen"))
    logged_at = row.logged_at
    return [on, noun, batch, pen, told, birds, kilograms, free_on, by, logged_at]
