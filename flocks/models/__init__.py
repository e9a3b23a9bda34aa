"""Batches of birds, everything logged about them, and the feed store."""

from flocks.models.batches import Batch, BatchPen
from flocks.models.feed_store import (
    FeedCount,
    FeedHabits,
    FeedKind,
    FeedProduct,
    FeedPurchase,
)
from flocks.models.records import FeedRecord, Loss, Note, Processing, Weighing

__all__ = [
    "Batch",
    "BatchPen",
    "FeedCount",
    "FeedHabits",
    "FeedKind",
    "FeedProduct",
    "FeedPurchase",
    "FeedRecord",
    "Loss",
    "Note",
    "Processing",
    "Weighing",
]
