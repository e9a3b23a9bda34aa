"""A batch's records as rows of a table for a spreadsheet, in SI units."""

from collections.abc import Iterator

from flocks.models import Batch
from flocks.record_kinds import KINDS
from garden.csv_cells import csv_cell

FIELDS = {
    "count": "birds",
    "mean_g": "mean_weight_g",
    "weights_g": "weights_g",
    "mass_kg": "feed_kg",
    "litres": "water_litres",
    "cause": "cause",
    "live_mean_g": "live_mean_weight_g",
    "dressed_kg": "dressed_kg",
    "text": "note",
}
"""Fields of the records, each with the heading of its column."""
HEADINGS = ["day", "age_days", "record", "pen", *FIELDS.values()]


def export_rows(batch: Batch) -> Iterator[list[str]]:
    """Return a row for each record, oldest first, under `HEADINGS`."""
    lines = [(row, kind.noun) for kind in KINDS for row in kind.rows_of(batch)]
    pens = {share.pen_id: share.pen.name for share in batch.shares.all()}
    for row, noun in sorted(lines, key=lambda line: (line[0].on, line[1], line[0].pk)):
        pen = pens.get(getattr(row, "pen_id", None), "")
        values = [getattr(row, field, None) for field in FIELDS]
        yield [csv_cell(value) for value in (row.on, batch.age_days(row.on), noun, pen, *values)]
