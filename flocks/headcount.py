"""How many birds of a batch are left, all in all and in each pen.

Reads a batch's losses, processings and shares: no query when it was loaded by
`Batch.objects.with_records()`.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from flocks.models import Batch, Loss, Processing
from flocks.sharing import shared_out


def departures(batch: Batch, losses: Sequence[Loss] | None = None) -> list[Loss | Processing]:
    """Return the rows that take birds out: the batch's losses, unless given, and processings."""
    lost = batch.loss_set.all() if losses is None else losses
    return [*lost, *batch.processing_set.all()]


def alive_after(batch: Batch, on: date, gone: Iterable[Loss | Processing]) -> int:
    """Return the birds left at the end of a day when `gone` is all that left."""
    return max(0, batch.chicks - sum(row.count for row in gone if row.on <= on))


def birds_alive(batch: Batch, on: date) -> int:
    """Return the birds left at the end of a day.

    Plans reckon with this number to the end: that errs on the side of enough feed and room.
    """
    return alive_after(batch, on, departures(batch))


def birds_by_pen(batch: Batch, on: date) -> dict[int, int]:
    """Return the birds left at the end of a day by the pen's id, adding up to `birds_alive`.

    Losses logged for a pen are taken from that pen; the others from all pens in proportion.
    """
    gone = departures(batch)
    left = {share.pen_id: share.birds for share in batch.shares.all()}
    for row in gone:
        if row.pen_id in left and row.on <= on:
            left[row.pen_id] = max(0, left[row.pen_id] - row.count)
    alive = alive_after(batch, on, gone)
    return dict(zip(left, shared_out(alive, list(left.values())), strict=True))
