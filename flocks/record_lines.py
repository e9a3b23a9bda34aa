"""Records as lines of a list: what a batch's page and the long lists show of them."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from flocks.models import Batch
from flocks.models.records import Record
from flocks.record_kinds import KINDS, RecordKind
from pens.models import Pen

SHORT_LOG = 5
"""Lines up to which a list of records is shown open. A choice."""
MOST_LINES = 12
"""Newest lines that a batch's own page shows of each kind. A choice: all are one tap further."""


@dataclass(frozen=True)
class RecordLine:
    """One record, told."""

    row: Record
    age: int
    told: str
    pen: Pen | None
    edit: str
    """Name of the address that changes it."""


def lines_of(batch: Batch, kind: RecordKind, rows: Iterable[Record]) -> list[RecordLine]:
    """Return rows of one kind as lines; reads the batch's pens."""
    pens = {share.pen_id: share.pen for share in batch.shares.all()}
    system = batch.garden.unit_system
    return [
        RecordLine(
            row=row,
            age=batch.age_days(row.on),
            told=kind.tell(row, system),
            pen=pens.get(getattr(row, "pen_id", None)),
            edit=f"{kind.key}_edit",
        )
        for row in rows
    ]


def newest_logs(batch: Batch) -> list[dict[str, Any]]:
    """Return for each kind how many records there are, and the newest as lines."""
    logs = []
    for kind in KINDS:
        rows = kind.rows_of(batch)
        logs.append(
            {
                "kind": kind,
                "list": f"{kind.key}_list",
                "lines": lines_of(batch, kind, rows[:MOST_LINES]),
                "count": len(rows),
                "more": len(rows) > MOST_LINES,
                "opens": 0 < len(rows) <= SHORT_LOG,
            }
        )
    return logs


def by_day(lines: Iterable[RecordLine]) -> list[tuple[Any, list[RecordLine]]]:
    """Put the lines of one day together, in their order."""
    return [(on, list(group)) for on, group in groupby(lines, key=lambda line: line.row.on)]
