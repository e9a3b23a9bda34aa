"""How long a search may go on: by the clock, by rounds of work that repeat exactly, or by both.

PURE.
"""

from time import monotonic


class Budget:
    """The end of one search: the clock's or the rounds', whichever comes first.

    Without seconds the clock is never asked, and the same work is done every time.
    """

    def __init__(self, seconds: float | None, rounds: int | None) -> None:
        self._began = monotonic()
        self.limit_seconds = seconds
        self.limit_rounds = rounds
        self._spent = 0

    @property
    def seconds(self) -> float:
        """Seconds since the search began."""
        return monotonic() - self._began

    @property
    def used(self) -> float:
        """Share of the budget used so far; 1 or more when it is spent."""
        shares = [0.0]
        if self.limit_rounds is not None:
            shares.append(self._spent / self.limit_rounds if self.limit_rounds else 1.0)
        if self.limit_seconds is not None:
            shares.append(self.seconds / self.limit_seconds if self.limit_seconds else 1.0)
        return max(shares)

    def spend(self, rounds: int = 1) -> None:
        """Count work done."""
        self._spent += rounds
