"""How many birds a pen carried on each of many days, worked out once for each change of their number."""

from collections.abc import Iterator
from datetime import date, timedelta

from flocks.headcount import birds_by_pen, departures
from flocks.models import Batch


def birds_on_days(batch: Batch, pen_id: int, first_day: date, end_day: date) -> Iterator[int]:
    """Yield the birds left in a pen at the end of each day of ``[first_day, end_day)``.

    Losses and processing of a part count from their own day on. Reads what `birds_by_pen` reads.
    """
    changes = {row.on for row in departures(batch) if first_day < row.on < end_day}
    birds = birds_by_pen(batch, first_day).get(pen_id, 0)
    for number in range((end_day - first_day).days):
        day = first_day + timedelta(days=number)
        if day in changes:
            birds = birds_by_pen(batch, day).get(pen_id, 0)
        yield birds
