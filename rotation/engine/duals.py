"""Prices of every shared row, and the bound they prove.

PURE.
"""

from dataclasses import dataclass

import numpy as np

from rotation.engine.grid import Floats, Grid
from rotation.engine.prices import PARTS, Prices


@dataclass(frozen=True)
class Duals:
    """Prices of all rows, kept dense so that they can be mixed and bounded; all >= 0."""

    busy: Floats
    window_room: Floats
    spot_room: Floats
    earned_gram: Floats

    @classmethod
    def none(cls, grid: Grid) -> "Duals":
        """Return no price on any room, and every window earning in full."""
        return cls(
            busy=np.zeros((grid.days, grid.spot_count)),
            window_room=np.zeros((len(PARTS), grid.window_count)),
            spot_room=np.zeros((len(PARTS), grid.spot_count)),
            earned_gram=np.full(grid.window_count, grid.earned_per_gram),
        )

    def mixed(self, other: "Duals", share: float) -> "Duals":
        """Return `share` of the other's prices and the rest of one's own."""
        return Duals(
            *(
                (1.0 - share) * mine + share * theirs
                for mine, theirs in zip(self._arrays(), other._arrays(), strict=True)
            )
        )

    def _arrays(self) -> tuple[Floats, Floats, Floats, Floats]:
        return self.busy, self.window_room, self.spot_room, self.earned_gram

    def prices(self, grid: Grid) -> Prices:
        """Return what a stay is charged at these prices."""
        return Prices(
            busy=self.busy,
            window_room=self.window_room,
            spot_room=self.spot_room,
            earned_gram=self.earned_gram,
            earned_up_to_g=grid.wanted_g,
        )

    def constant(self, grid: Grid) -> float:
        """Return the part of the Lagrangian bound that no route enters.

        Every row's limit is one, but for the windows' earnings, which stop at what is wanted.
        """
        earned = np.minimum(self.earned_gram - grid.earned_per_gram, 0.0) @ grid.wanted_g
        return float(earned - self.busy.sum() - self.window_room.sum() - self.spot_room.sum())
