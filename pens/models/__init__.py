"""The pens a garden owns, what it means to build, and its shopping for that."""

from pens.models.designs import Design
from pens.models.pens import Pen
from pens.models.shopping import Got, Price, ShedItem

__all__ = ["Design", "Got", "Pen", "Price", "ShedItem"]
