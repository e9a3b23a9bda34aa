"""How a view finds one batch of a garden."""

from django.http import Http404

from flocks.models import Batch
from garden.models import Garden


def batch_for(garden: Garden, batch_id: int) -> Batch:
    """Return a batch of a garden with all its records, six queries.

    Raises
    ------
    Http404
        Where the garden has no such batch.
    """
    batch = garden.batches.with_records().filter(pk=batch_id).first()
    if batch is None:
        raise Http404("No such batch")
    batch.garden = garden  # spares the query that would load the same row again
    return batch
