"""The ground floor's rows: people and gardens, beds and crops, and what can be undone."""

from garden.models.beds import Bed, Crop, Planting
from garden.models.people import Garden, Invitation, Membership, Role
from garden.models.undo import UndoStep

__all__ = ["Bed", "Crop", "Garden", "Invitation", "Membership", "Planting", "Role", "UndoStep"]
