"""How a view finds one batch of a garden, and what only its own page shows."""

from django.db.models import Exists, FloatField, IntegerField, Q, TextField, Value
from django.http import Http404

from flocks.models import Batch, Note, WaterRecord
from flocks.own_strain import OWN
from garden.models import Garden


def batch_for(garden: Garden, batch_id: int, *, pens: bool = True) -> Batch:
    """Return a batch of a garden with all its records, six queries; five without its pens.

    Raises
    ------
    Http404
        Where the garden has no such batch.
    """
    asked = Q(pk=batch_id)
    # One that grows as the garden's own birds needs the batches it was learnt from: in the same queries.
    learns = Exists(Batch.objects.filter(pk=batch_id, strain__startswith=OWN))
    teachers = Q(finished_on__isnull=False) & Q(learns)
    batches = garden.batches.with_records() if pens else garden.batches.with_counts()
    rows = list(batches.filter(asked | teachers).order_by("hatch_on", "pk"))
    for row in rows:
        row.garden = garden  # spares the query that would load the same row again
    batch = next((row for row in rows if row.pk == batch_id), None)
    if batch is None:
        raise Http404("No such batch")
    if batch.strain.startswith(OWN):
        garden.__dict__["finished_batches"] = [row for row in rows if row.finished_on]
    return batch


def load_water_and_notes(batch: Batch) -> None:
    """Give a batch its water and its notes by one query, since its page may not spend two."""
    # Water comes first: it gives every column of the union its type.
    water = WaterRecord.objects.filter(batch=batch).order_by()
    notes = Note.objects.filter(batch=batch).order_by()
    columns = water.values_list("pk", "on", "pen_id", "litres", Value("", TextField()))
    nothing = Value(None, IntegerField()), Value(None, FloatField())
    lines = columns.union(notes.values_list("pk", "on", *nothing, "text"), all=True)
    waters, written = [], []
    for pk, on, pen_id, litres, text in lines:
        if litres is None:
            written.append(Note(pk=pk, on=on, batch_id=batch.pk, text=text))
        else:
            told = {"batch_id": batch.pk, "pen_id": pen_id, "litres": litres}
            waters.append(WaterRecord(pk=pk, on=on, **told))
    # Django offers no public way to hand a relation rows that were read by another query.
    batch._prefetched_objects_cache |= {"waterrecord_set": waters, "notes": written}
