"""The ground floor's rows: people and gardens, beds and crops, and what can be undone."""

from garden.models.beds import Bed, Crop, Planting
from garden.models.compost import Heap, HeapInput, HeapReading
from garden.models.early_harvests import EarlyHarvest
from garden.models.people import Garden, Invitation, Membership, Role
from garden.models.readers import Reader
from garden.models.soil import HarvestWeight, SoilTest, Spread
from garden.models.taken import TakenEntry
from garden.models.undo import UndoStep
from garden.models.weather import DayWeather, MonthWeather

__all__ = [
    "Bed",
    "Crop",
    "DayWeather",
    "EarlyHarvest",
    "Garden",
    "HarvestWeight",
    "Heap",
    "HeapInput",
    "HeapReading",
    "Invitation",
    "Membership",
    "MonthWeather",
    "Planting",
    "Reader",
    "Role",
    "SoilTest",
    "Spread",
    "TakenEntry",
    "UndoStep",
]
