"""The garden's days as an iCalendar feed (RFC 5545).

What has an hour stands at the garden's own clock, with its zone, so that it stays at that hour when the clocks
change; what is of the whole day is a date and has no zone at all.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vDuration

from garden.clock import now
from garden.models import Garden
from garden.units import DISTANCE, FEED_MASS
from garden.words import gettext as _
from rotation.bird_counts import birds
from rotation.days_ahead import BatchAhead, DayAhead, FeedAhead, MoveAhead, days_ahead

FEED_DAYS = 14
"""How far ahead feeding stands in the calendar [day]. Our choice: what birds eat later is not known well."""
DAYS = 200
"""How far ahead everything else does [day]. Our choice: a season's moves and the longest wait."""
FEED_MINUTES, MOVE_MINUTES = 15, 30
USUAL_START = time(7)
WITHDRAWAL = timedelta(hours=10)
"""When the first bird is taken to go where no day is planned, and how long before it the feed goes. Our choice,
between 8 and 12 h."""
REFRESH = timedelta(hours=1)
"""How often a calendar is asked to look again. Our choice."""


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One event; without an hour it is of the whole day. `key` stays the same while it is the same thing."""

    key: str
    on: date
    says: str
    more: str = ""
    hour: int | None = None
    minute: int = 0
    minutes: int = 30


def calendar_text(garden: Garden, hour: int) -> bytes:
    """Return the feed of a garden, its morning's work at an hour; eight queries."""
    today = garden.today()
    days = days_ahead(garden, today, DAYS, today=today)
    entries = [entry for n, day in enumerate(days) for entry in _entries(day, garden, hour, n)]
    return _calendar(garden, entries).to_ical()


def _entries(day: DayAhead, garden: Garden, hour: int, days_off: int) -> Iterator[Entry]:
    for move in day.moves:
        yield _move(move, day, garden, hour)
    if days_off < FEED_DAYS and day.feeds:
        yield _feeding(day, garden, hour)
    for feed in day.feeds:
        if feed.is_new:
            key = f"newfeed-{feed.batch_id}-{feed.pen_id or 'brooder'}-{day.on}"
            yield Entry(
                key=key,
                on=day.on,
                says=_("{who}: {feed} from today").format(who=feed.who, feed=feed.feed),
            )
    for kind, says, batches in (
        ("weigh", _("Weigh {birds} of {batch}"), day.weighings),
        ("order", _("Order the chicks of {batch}, {birds}"), day.orders),
        ("hatch", _("{batch} hatches"), day.hatching),
    ):
        for batch in batches:
            told = says.format(birds=batch.birds, batch=batch.name)
            yield Entry(key=f"{kind}-{batch.id}-{day.on}", on=day.on, says=told)
    for batch in day.processing:
        yield _processing(batch, day)
    for batch in day.withdrawals:
        yield _withdrawal(batch, day)
    for number, turn in enumerate(day.hands.turns):
        says = _("On the rota: {turn}").format(turn=turn)
        yield Entry(key=f"turn-{number}-{day.on}", on=day.on, says=says)
    for number, note in enumerate(day.hands.notes):
        yield Entry(
            key=f"note-{number}-{day.on}", on=day.on, says=_("A note for today"), more=note.text
        )
    for safe in day.safe:
        key = f"safe-{safe.planting_id}"
        yield Entry(
            key=key,
            on=day.on,
            says=_("{crop} on {bed} may be picked from today").format(crop=safe.crop, bed=safe.bed),
        )


def _move(move: MoveAhead, day: DayAhead, garden: Garden, hour: int) -> Entry:
    told = [move.goal.words] if move.goal.words else []
    if move.carry_m:
        told.append(
            _("{carry_m} to carry").format(carry_m=DISTANCE.show(move.carry_m, garden.unit_system))
        )
    return Entry(
        key=f"move-{move.batch_id}-{move.pen_id}-{day.on}",
        on=day.on,
        says=move.title,
        more=", ".join([*told, move.batch]),
        hour=hour,
        minutes=MOVE_MINUTES,
    )


def _feeding(day: DayAhead, garden: Garden, hour: int) -> Entry:
    lines = [feed_line(feed, garden) for feed in day.feeds]
    whole = FEED_MASS.show(sum(feed.mass_kg for feed in day.feeds), garden.unit_system)
    return Entry(
        key=f"feed-{day.on}",
        on=day.on,
        says=_("Feed: {whole}").format(whole=whole),
        more="\n".join(lines),
        hour=hour,
        minutes=FEED_MINUTES,
    )


def feed_line(feed: FeedAhead, garden: Garden) -> str:
    """Return who gets what: ``Pen A: 1.5 kg of grower for 10 birds``."""
    mass = FEED_MASS.show(feed.mass_kg, garden.unit_system)
    who = feed.who[:1].upper() + feed.who[1:]
    return _("{who}: {mass} of {feed} for {birds}").format(
        who=who, mass=mass, feed=feed.feed, birds=birds
    )


def _processing(batch: BatchAhead, day: DayAhead) -> Entry:
    key = f"process-{batch.id}-{day.on}"
    if batch.wait:
        return Entry(
            key=key,
            on=day.on,
            says=_("Do not process {batch}").format(batch=batch.name),
            more=batch.wait,
        )
    says = _("Process {batch}, {birds}").format(batch=batch.name, birds=birds(batch.birds))
    starts_at = batch.due and batch.due.starts_at
    if not starts_at:
        return Entry(key=key, on=day.on, says=says)
    return Entry(key=key, on=day.on, says=says, hour=starts_at.hour, minute=starts_at.minute)


def _withdrawal(batch: BatchAhead, day: DayAhead) -> Entry:
    processed_on = day.on + timedelta(days=1)
    first_bird = batch.due.starts_at or USUAL_START
    off = datetime.combine(processed_on, first_bird) - WITHDRAWAL
    return Entry(
        key=f"withdraw-{batch.id}-{day.on}",
        on=off.date(),
        says=_("Take the feed from {batch}").format(batch=batch.name),
        more=batch.due.feed_off,
        hour=off.hour,
        minute=off.minute,
        minutes=15,
    )


def _calendar(garden: Garden, entries: list[Entry]) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", "-//Tillfeather//Garden//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", garden.name)
    calendar.add("x-wr-calname", garden.name)
    calendar.add("x-wr-timezone", garden.time_zone)
    calendar.add("refresh-interval", vDuration(REFRESH), parameters={"VALUE": "DURATION"})
    zone, stamp = ZoneInfo(garden.time_zone), now()
    for entry in entries:
        calendar.add_component(_event(entry, garden, zone, stamp))
    calendar.add_missing_timezones()
    return calendar


def _event(entry: Entry, garden: Garden, zone: ZoneInfo, stamp: datetime) -> Event:
    event = Event()
    event.add("uid", f"{garden.pk}-{entry.key}@tillfeather")
    event.add("dtstamp", stamp)
    event.add("summary", entry.says)
    if entry.more:
        event.add("description", entry.more)
    if entry.hour is None:
        event.add("dtstart", entry.on)
        event.add("dtend", entry.on + timedelta(days=1))
        event.add("transp", "TRANSPARENT")
    else:
        start = datetime.combine(entry.on, time(entry.hour, entry.minute), zone)
        event.add("dtstart", start)
        event.add("duration", timedelta(minutes=entry.minutes))
    return event
