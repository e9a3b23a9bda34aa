"""The letter that tells a member about tomorrow, sent once a day at the hour they chose."""

import logging
from datetime import datetime, timedelta
from itertools import islice
from zoneinfo import ZoneInfo

from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import Q
from django.template.loader import render_to_string
from django.urls import reverse

from garden.clock import now
from garden.day_words import day_words
from garden.languages import speaking_to
from garden.models import Garden
from garden.words import gettext as _
from rotation.calendar_feed import feed_line
from rotation.days_ahead import DayAhead, days_ahead
from rotation.enqueuing import LETTER, enqueue
from rotation.models import Reminder

logger = logging.getLogger(__name__)

PATIENCE = timedelta(minutes=15)
"""How long a letter waits that the mail server did not take. Our choice."""


def digests_send_due(*, at: datetime | None = None, most: int | None = None) -> int:
    """Send the letters that are due, at most `most`, and return how many went out.

    Safe to run twice at once, and one letter that fails keeps no other from going out.
    """
    at = at or now()
    due = (row for row in Reminder.objects.waiting() if _is_due(row, at))
    return sum(digest_send(reminder=row) for row in islice(due, most))


def letters_ask() -> int:
    """Let the queue carry the letters that are due; return how many.

    Each is put off for `PATIENCE` first, so that one which waits long is not asked for a second time.
    """
    moment, count = now(), 0
    for row in Reminder.objects.waiting():
        if _is_due(row, moment):
            with transaction.atomic():
                Reminder.objects.filter(pk=row.pk).update(next_try_at=moment + PATIENCE)
                enqueue(LETTER, row.pk)
            count += 1
    return count


def _is_due(reminder: Reminder, at: datetime) -> bool:
    """Whether its hour has come by the garden's clock, and today's letter has not gone out."""
    local = at.astimezone(ZoneInfo(reminder.garden.time_zone))
    is_new = reminder.sent_for is None or reminder.sent_for < reminder.garden.today()
    return is_new and local.hour >= reminder.hour


def digest_send(*, reminder: Reminder) -> bool:
    """Claim a letter for today and send it; False where another process has, or it may not be sent.

    The claim comes first: a letter may be lost where the machine stops between both, never sent twice.
    """
    today, before = reminder.garden.today(), reminder.sent_for
    fresh = Q(sent_for=None) | Q(sent_for__lt=today)
    mine = Reminder.objects.filter(fresh, pk=reminder.pk, is_on=True)
    if mine.update(sent_for=today, next_try_at=None) != 1:
        return False
    if not reminder.user.email or not reminder.user.is_active or not reminder.is_members:
        return False
    try:
        digest_letter(reminder).send()
    except Exception:  # whatever it is, the next letter is to go out
        logger.exception("the letter %s could not be sent", reminder.pk)
        Reminder.objects.filter(pk=reminder.pk).update(
            sent_for=before, next_try_at=now() + PATIENCE
        )
        return False
    return True


def digest_letter(reminder: Reminder) -> EmailMessage:
    """Return the letter about the garden's tomorrow, with what stops it in one click (RFC 8058).

    It speaks the language of whoever it goes to.
    """
    with speaking_to(reminder.user):
        return _letter(reminder)


def _letter(reminder: Reminder) -> EmailMessage:
    garden, today = reminder.garden, reminder.garden.today()
    [tomorrow] = days_ahead(garden, today + timedelta(days=1), 1, today=today)
    stop = reminder.address + reverse("reminder_stop", args=[reminder.token])
    context = {
        "garden": garden,
        "day": tomorrow,
        "feeds": [feed_line(feed, garden) for feed in tomorrow.feeds],
        "page": reminder.address + reverse("today", args=[garden.pk]),
        "stop": stop,
    }
    return EmailMessage(
        subject=digest_subject(garden, tomorrow),
        body=render_to_string("rotation/digest.txt", context),
        to=[reminder.user.email],
        headers={
            "List-Unsubscribe": f"<{stop}>",
            "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
            "Auto-Submitted": "auto-generated",
        },
    )


def digest_subject(garden: Garden, tomorrow: DayAhead) -> str:
    """Return a line that tells the most important of it first."""
    parts = [
        *(
            _("process {batch}").format(batch=batch.name)
            for batch in tomorrow.processing
            if not batch.wait
        ),
        *(move.title for move in tomorrow.moves),
    ]
    told = "; ".join(parts[:2]) or (_("birds to feed") if tomorrow.feeds else _("nothing planned"))
    told = " ".join(f"{garden.name}, {day_words(tomorrow.on)}: {told}".split())
    return told[:120]


@transaction.atomic
def reminder_set(*, garden: Garden, user: object, hour: int, is_on: bool, address: str) -> Reminder:
    """Turn one's letter on at an hour, or off. One turned on after its hour comes tomorrow."""
    reminder, _is_new = Reminder.objects.get_or_create(
        garden=garden, user=user, defaults={"address": address, "is_on": False}
    )
    local_hour = now().astimezone(ZoneInfo(garden.time_zone)).hour
    if is_on and not reminder.is_on and local_hour >= hour:
        reminder.sent_for = garden.today()
    reminder.hour, reminder.is_on, reminder.address = hour, is_on, address
    reminder.next_try_at = None
    reminder.save()
    return reminder
