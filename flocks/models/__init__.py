"""Batches of birds and everything logged about them."""

from flocks.models.batches import Batch, BatchPen
from flocks.models.records import FeedRecord, Loss, Note, Processing, Weighing

__all__ = ["Batch", "BatchPen", "FeedRecord", "Loss", "Note", "Processing", "Weighing"]
