"""Addresses of the tables that are read in about batches. Prefix: g/<garden_id>/."""

from django.urls import path

from flocks.table_readers import FeedReader, PastBatchReader
from garden.views import table_import
from garden.words import mark

urlpatterns = [
    path(
        "batches/<int:batch_id>/feed/import/",
        table_import.read_in,
        {
            "kind": table_import.TableKind(
                heading=mark("Read in feed"),
                reader=FeedReader,
                goes_to="batch",
                says=mark(
                    "A row for each filling of the feeders; an age in days will do for the day."
                ),
            )
        },
        name="feed_import",
    ),
    path(
        "in-and-out/past-batches/",
        table_import.read_in,
        {
            "kind": table_import.TableKind(
                heading=mark("Read in past batches"),
                reader=PastBatchReader,
                goes_to="batches",
                says=mark(
                    "Batches that are over. Birds that were not processed count as lost by that day."
                ),
            )
        },
        name="past_batches_import",
    ),
]
