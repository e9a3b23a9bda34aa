"""What the rows of the master linear programme are about: visits of spots, and limits on them.

PURE.
"""

from typing import NamedTuple


class Visit(NamedTuple):
    """One leg of one column, as the shared rows see it; `end_day` includes the rest."""

    column: int
    spot: int
    window: int
    first_day: int
    end_day: int
    window_taken: tuple[float, ...]
    """What it takes of its window's room, counted in each way of `PARTS`."""
    spot_taken: tuple[float, ...]
    """What it takes of its spot's room, likewise."""
    run: int
    nitrogen_g: float


class SharedRow(NamedTuple):
    """A limit of one on the visits of a spot.

    ``busy``: a visit covers day `at`. ``window``: what it takes of the room of window `at`, counted
    in the `way`-th way of `PARTS`. ``spot``: the same of the spot's whole room. ``cut``: its share in the cut
    of number `at`.
    """

    kind: str
    spot: int
    at: int
    way: int = 0
