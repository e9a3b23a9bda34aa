"""Where a figure of the trade comes from, carried beside the figure so that a page can tell.

PURE.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from garden.words import mark


class Mark(StrEnum):
    """How far a figure may be trusted."""

    PUBLISHED = mark("published")
    DERIVED = mark("derived")
    COMMON_PRACTICE = mark("common practice, no source")
    FROM_MEMORY = mark("from memory")


@dataclass(frozen=True, kw_only=True)
class Provenance:
    """A citation, or how the figure was derived, judged or recalled: `mark` says which."""

    source: str
    mark: Mark


@dataclass(frozen=True, kw_only=True)
class Figure(Provenance):
    """A value with its unit and its provenance."""

    value: float
    unit: str
