"""What leaves the garden for one of its people: a calendar's address, and a letter in the evening."""

from typing import Self

from django.conf import settings
from django.core import signing
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q

from garden.clock import now
from garden.models import Garden, Membership

CALENDAR_SALT = "rotation.calendar"
REMINDER_SALT = "rotation.reminder"
MORNING_HOUR, EVENING_HOUR = 7, 18
"""When the morning's work stands in a calendar, and when the letter goes out, unless told. Our choice."""


def _hour(name: str, default: int) -> models.PositiveSmallIntegerField:
    return models.PositiveSmallIntegerField(
        name, default=default, validators=[MaxValueValidator(23)]
    )


class OwnRow(models.Model):
    """Something that one member has set for themselves in one garden."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="%(class)ss")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")

    stays_behind = True
    """It is between one person and one installation, so no archive carries it."""

    class Meta:
        abstract = True

    @property
    def is_members(self) -> bool:
        """Whether its person still belongs to the garden. One query."""
        return Membership.objects.filter(garden=self.garden_id, user=self.user_id).exists()


class CalendarFeed(OwnRow):
    """A secret address under which a calendar reads the garden's days, until it is revoked.

    The address is signed with the installation's key; nothing secret is stored.
    """

    hour = _hour("hour of the morning’s work", MORNING_HOUR)
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "user"], condition=Q(revoked_at=None), name="calendar_open_once"
            ),
        ]

    def __str__(self) -> str:
        return f"calendar of {self.garden_id} for {self.user_id}"

    @property
    def token(self) -> str:
        """Return the secret part of its address."""
        return signing.dumps(self.pk, salt=CALENDAR_SALT)

    @classmethod
    def of_token(cls, token: str) -> "CalendarFeed | None":
        """Return the feed of an address; None where it is none, revoked, or its person has left."""
        feed = _signed_row(cls, token, CALENDAR_SALT)
        return feed if feed and feed.revoked_at is None and feed.is_members else None


class ReminderQuerySet(models.QuerySet["Reminder"]):
    """Reminders by whether they may be sent."""

    def waiting(self) -> Self:
        """Keep those that are on and not put off after a failure, with garden and person."""
        put_off = Q(next_try_at=None) | Q(next_try_at__lte=now())
        return self.filter(put_off, is_on=True).select_related("garden", "user")


class Reminder(OwnRow):
    """The letter that tells one member about tomorrow, at an hour of the garden's own clock.

    `sent_for` is the day on which the last one went out. `address` is where this installation is found, as
    its reader found it when turning the letter on.
    """

    hour = _hour("hour at which it is sent", EVENING_HOUR)
    is_on = models.BooleanField(default=True)
    address = models.CharField(max_length=200)
    sent_for = models.DateField(null=True, blank=True)
    next_try_at = models.DateTimeField(null=True, blank=True)

    objects = ReminderQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["garden", "user"], name="reminder_once"),
        ]

    def __str__(self) -> str:
        return f"letter about {self.garden_id} to {self.user_id} at {self.hour}"

    @property
    def token(self) -> str:
        """Return what stops it without a sign-in."""
        return signing.dumps(self.pk, salt=REMINDER_SALT)

    @classmethod
    def of_token(cls, token: str) -> "Reminder | None":
        """Return the reminder that a link stops, or None."""
        return _signed_row(cls, token, REMINDER_SALT)


def _signed_row(model: type[models.Model], token: str, salt: str) -> models.Model | None:
    try:
        pk = signing.loads(token, salt=salt)
    except signing.BadSignature:
        return None
    return model._base_manager.select_related("garden", "user").filter(pk=pk).first()
