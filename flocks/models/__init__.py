"""Batches of birds, everything logged about them, and the feed store."""

from flocks.models.batches import Batch, BatchPen
from flocks.models.feed_store import (
    FeedCount,
    FeedHabits,
    FeedKind,
    FeedProduct,
    FeedPurchase,
)
from flocks.models.medicine import Treatment, WithdrawalOverride
from flocks.models.money import Cost, Hours, HouseRules
from flocks.models.processing_days import ProcessingDay
from flocks.models.records import FeedRecord, Loss, Note, Processing, WaterRecord, Weighing
from flocks.models.register import Arrival, Cleaning, FeedLot, HandOver, Turn, Visitor
from flocks.models.stock import Pack, PackOut

__all__ = [
    "Arrival",
    "Batch",
    "BatchPen",
    "Cleaning",
    "Cost",
    "FeedCount",
    "FeedHabits",
    "FeedKind",
    "FeedLot",
    "FeedProduct",
    "FeedPurchase",
    "FeedRecord",
    "HandOver",
    "Hours",
    "HouseRules",
    "Loss",
    "Note",
    "Pack",
    "PackOut",
    "Processing",
    "ProcessingDay",
    "Treatment",
    "Turn",
    "Visitor",
    "WaterRecord",
    "Weighing",
    "WithdrawalOverride",
]
