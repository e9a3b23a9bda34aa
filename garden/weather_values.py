"""A day's weather as a value.

PURE.
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Weather:
    """A day's weather [°C, %, m/s], None where nothing is known of it.

    `is_usual` says that the temperatures are what the month usually brings and not the day's own.
    """

    on: date
    low_c: float | None = None
    high_c: float | None = None
    humidity_percent: float | None = None
    gust_m_s: float | None = None
    is_usual: bool = False

    @property
    def is_known(self) -> bool:
        """Whether anything at all is known."""
        known = (self.low_c, self.high_c, self.humidity_percent, self.gust_m_s)
        return any(figure is not None for figure in known)
