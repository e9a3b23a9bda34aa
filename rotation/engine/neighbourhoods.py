"""Places in neighbourhoods, so that a search need not look at every place from every place.

PURE.
"""

from dataclasses import dataclass
from math import isqrt

import numpy as np

from rotation.engine.grid import Floats, Ints


@dataclass(frozen=True)
class Neighbourhoods:
    """Places parted by what it costs to carry between them."""

    order: Ints
    """The places, neighbourhood by neighbourhood."""
    begins: Ints
    """Where each neighbourhood begins in `order`, and the end of the last."""
    near: Floats
    """Cost of carrying from each place (row) to the nearest of each neighbourhood (column)."""

    @classmethod
    def of(cls, carry: Floats) -> "Neighbourhoods":
        """Part places by the cost of carrying from each (row) to each (column), in all shapes >= 0.

        As many neighbourhoods as each then has places. Their middles are chosen far from one another; any
        parting gives the same answers, and this one gives them quickly.
        """
        places = len(carry)
        if not places:
            return cls(np.zeros(0, dtype=np.int64), np.zeros(1, dtype=np.int64), carry)
        middles, nearest = [0], carry[0].copy()
        while len(middles) < isqrt(places) and nearest.max() > 0:
            middles.append(int(nearest.argmax()))
            nearest = np.minimum(nearest, carry[middles[-1]])
        belongs = carry[middles].argmin(axis=0)
        order = np.argsort(belongs, kind="stable")
        # a middle may lie where another does and have no place of its own
        begins = np.flatnonzero(np.diff(belongs[order], prepend=-1))
        near = np.minimum.reduceat(carry[:, order], begins, axis=1)
        return cls(order, np.append(begins, places), np.ascontiguousarray(near))
