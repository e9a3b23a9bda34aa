"""How a view finds one batch of a garden."""

from django.db.models import Exists, Q
from django.http import Http404

from flocks.models import Batch
from flocks.own_strain import OWN
from garden.models import Garden


def batch_for(garden: Garden, batch_id: int) -> Batch:
    """Return a batch of a garden with all its records, six queries.

    Raises
    ------
    Http404
        Where the garden has no such batch.
    """
    asked = Q(pk=batch_id)
    # One that grows as the garden's own birds needs the batches it was learnt from: in the same queries.
    learns = Exists(Batch.objects.filter(pk=batch_id, strain__startswith=OWN))
    teachers = Q(finished_on__isnull=False) & Q(learns)
    rows = list(garden.batches.with_records().filter(asked | teachers).order_by("hatch_on", "pk"))
    for row in rows:
        row.garden = garden  # spares the query that would load the same row again
    batch = next((row for row in rows if row.pk == batch_id), None)
    if batch is None:
        raise Http404("No such batch")
    if batch.strain.startswith(OWN):
        garden.__dict__["finished_batches"] = [row for row in rows if row.finished_on]
    return batch
