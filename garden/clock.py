"""The one place that reads the clock: everything else is given its day."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from django.conf import settings


def today_in(time_zone: str) -> date:
    """Return the local date in a zone such as ``Europe/Dublin``; `settings.PRETEND_TODAY` wins."""
    return settings.PRETEND_TODAY or datetime.now(ZoneInfo(time_zone)).date()


def now() -> datetime:
    """Return the present moment, aware and in UTC."""
    return datetime.now(UTC)
