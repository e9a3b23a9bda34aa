"""The one place that reads the clock: everything else is given its day."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from django.conf import settings

PRETEND_HOUR = 8


def today_in(time_zone: str) -> date:
    """Return the local date in a zone such as ``Europe/Dublin``; `settings.PRETEND_TODAY` wins."""
    return settings.PRETEND_TODAY or datetime.now(ZoneInfo(time_zone)).date()


def now_in(time_zone: str) -> datetime:
    """Return the local moment in a zone; of a pretended day its morning, `PRETEND_HOUR`."""
    zone = ZoneInfo(time_zone)
    if settings.PRETEND_TODAY:
        return datetime.combine(settings.PRETEND_TODAY, time(PRETEND_HOUR), zone)
    return datetime.now(zone)


def now() -> datetime:
    """Return the present moment, aware and in UTC."""
    return datetime.now(UTC)
