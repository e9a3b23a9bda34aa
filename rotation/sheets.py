"""What is printed for the shed door: a day or a week, with boxes to tick and lines to write on."""

from datetime import timedelta
from typing import Any

from garden.models import Garden
from rotation.calendar_feed import feed_line
from rotation.days_ahead import days_ahead
from rotation.today import day_sheet

BLANK_LINES = 4
"""Lines left to write on. Our choice: what fits a page."""


def print_days(garden: Garden, count: int, *, tomorrow: bool = False) -> dict[str, Any]:
    """Return what the printed sheet of some days needs: from today on, or from tomorrow."""
    today = garden.today()
    first = today + timedelta(days=1) if tomorrow else today
    days = days_ahead(garden, first, count, today=today)
    told = [
        {
            "day": day,
            "feeds": [feed_line(feed, garden) for feed in day.feeds],
            "feed_kg": sum(feed.mass_kg for feed in day.feeds),
        }
        for day in days
    ]
    context = {"days": told, "first": first, "printed_on": today, "blanks": range(BLANK_LINES)}
    if count == 1 and not tomorrow:
        context["unsafe"] = day_sheet(garden, today).unsafe
    return context
