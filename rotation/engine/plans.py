"""Work on plans: dives of the linear programme and many small changes, in turn.

PURE. It has a draft of its own, so that it may go on while the bound is worked on.
"""

from collections.abc import Callable, Sequence

from rotation.engine.annealing import Annealing
from rotation.engine.choices import Route
from rotation.engine.duals import Duals
from rotation.engine.improve import Improvement
from rotation.engine.master import Master

WORTH_POLISHING = 0.15
"""Share of the best plan's cost by which a dive's plan may be dearer and be worth polishing (a choice)."""


class PlanWork:
    """The best plan, and what makes it better.

    Parameters
    ----------
    improvement : Improvement
        With a first plan in its draft.
    annealing : Annealing
        Begun from that plan.
    go_on : callable
        Says whether there is time for more.
    """

    def __init__(
        self, improvement: Improvement, annealing: Annealing, go_on: Callable[[], bool]
    ) -> None:
        self._improvement = improvement
        self._annealing = annealing
        self._go_on = go_on
        self._known: Master | None = None

    @property
    def best_cost(self) -> float:
        """Cost of the best plan."""
        return self._improvement.best_cost

    @property
    def best(self) -> Sequence[Route]:
        """The best plan."""
        return self._improvement.best

    @property
    def wants_programme(self) -> bool:
        """Whether the next dive has no linear programme to begin with."""
        return self._known is None

    def guide(self, guide: Duals) -> None:
        """Take new prices of what is scarce."""
        self._annealing.charge(guide)

    def learn(self, known: Master) -> None:
        """Take a linear programme for the next dive."""
        self._known = known

    def turn(self, changes: int) -> None:
        """Dive if a programme is there and the last dive's plan is polished, else try some small changes."""
        if self._known is not None and not self._annealing.is_polishing:
            self.dive()
        else:
            self.change(changes)

    def change(self, changes: int) -> None:
        """Try some small changes."""
        self._annealing.go(changes)
        if self._annealing.best_cost < self._improvement.best_cost:
            self._improvement.take(self._annealing.best)

    def dive(self) -> int:
        """Dive from the programme learnt last; return how many runs were lifted."""
        known, self._known = self._known, None
        lifted = self._improvement.dive(known, self._go_on)
        draft, best_cost = self._improvement.draft, self._improvement.best_cost
        if draft.cost < best_cost + WORTH_POLISHING * abs(best_cost):
            self._annealing.polish(list(draft.routes), draft.cost)
        return lifted
