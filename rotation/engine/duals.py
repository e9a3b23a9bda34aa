"""Prices of every shared row, and the bound they prove.

PURE.
"""

from dataclasses import dataclass, field

import numpy as np

from rotation.engine.grid import Floats, Grid
from rotation.engine.levels import LevelCut
from rotation.engine.prices import PARTS, Prices


@dataclass(frozen=True)
class Duals:
    """Prices of all rows, kept dense so that they can be mixed and bounded; all >= 0."""

    busy: Floats
    window_room: Floats
    spot_room: Floats
    earned_gram: Floats
    cuts: dict[LevelCut, float] = field(default_factory=dict)
    """Prices of limits on levels; one not named is worth nothing."""

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
        cuts = {
            cut: (1.0 - share) * self.cuts.get(cut, 0.0) + share * other.cuts.get(cut, 0.0)
            for cut in self.cuts | other.cuts
        }
        return Duals(
            *(
                (1.0 - share) * mine + share * theirs
                for mine, theirs in zip(self._arrays(), other._arrays(), strict=True)
            ),
            cuts={cut: price for cut, price in cuts.items() if price > 0},
        )

    def _arrays(self) -> tuple[Floats, Floats, Floats, Floats]:
        return self.busy, self.window_room, self.spot_room, self.earned_gram

    def prices(self, grid: Grid) -> Prices:
        """Return what a stay is charged at these prices."""
        busy = np.zeros((grid.days + 1, grid.spot_count))
        np.cumsum(self.busy, axis=0, out=busy[1:])
        return Prices(
            busy=busy,
            window_room=self.window_room,
            spot_room=self.spot_room,
            earned_gram=self.earned_gram,
            earned_up_to_g=grid.wanted_g,
            cuts=tuple(self.cuts.items()),
        )

    def constant(self, grid: Grid) -> float:
        """Return the part of the Lagrangian bound that no route enters.

        Every row's limit is one, but for the windows' earnings, which stop at what is wanted.
        """
        earned = np.minimum(self.earned_gram - grid.earned_per_gram, 0.0) @ grid.wanted_g
        return float(
            earned
            - self.busy.sum()
            - self.window_room.sum()
            - self.spot_room.sum()
            - sum(self.cuts.values())
        )
