"""How long a search may go on: by the clock, or by rounds of work that repeat exactly.

PURE.
"""

from time import monotonic


class Budget:
    """The end of one search; `rounds`, when given, rules and the clock is never asked."""

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
        if self.limit_rounds is not None:
            return self._spent / self.limit_rounds if self.limit_rounds else 1.0
        return self.seconds / self.limit_seconds if self.limit_seconds else 1.0

    @property
    def seconds_left(self) -> float | None:
        """Seconds left, or None when the clock does not rule."""
        if self.limit_rounds is not None or self.limit_seconds is None:
            return None
        return max(self.limit_seconds - self.seconds, 0.0)

    def spend(self, rounds: int = 1) -> None:
        """Count work done."""
        self._spent += rounds
