"""All that is kept about one person, as one JSON document."""

from typing import Any

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.contrib.auth.models import AbstractBaseUser

from garden.clock import now
from garden.models import Membership, UndoStep
from rotation.models import CalendarFeed, Reminder

FORMAT = "tillfeather-account/1"


def own_export(user: AbstractBaseUser) -> dict[str, Any]:
    """Return what is kept about a person outside the gardens' own records, and what they did in gardens.

    Nothing by which somebody else could sign in or read is in it: no password, secret, token or session key.
    """
    steps = UndoStep.objects.filter(user=user).select_related("garden").order_by("pk")
    return {
        "format": FORMAT,
        "made_at": now(),
        "account": {
            "username": user.get_username(),
            "email": user.email,
            "made_at": user.date_joined,
            "signed_in_at": user.last_login,
        },
        "addresses": _told(EmailAddress, user, "email", "verified", "primary"),
        "second_steps": _told(Authenticator, user, "type", "created_at", "last_used_at"),
        "sessions": _told(UserSession, user, "created_at", "last_seen_at", "ip", "user_agent"),
        "gardens": _told(Membership, user, "garden__name", "role", "since"),
        "calendars": _told(CalendarFeed, user, "garden__name", "hour", "revoked_at"),
        "letters": _told(Reminder, user, "garden__name", "hour", "is_on"),
        "did": [
            {"garden": step.garden.name, "at": step.made_at, "said": step.said}
            for step in steps.only("garden__name", "made_at", "said").iterator()
        ],
    }


def _told(model: type, user: AbstractBaseUser, *fields: str) -> list[dict[str, Any]]:
    rows = model.objects.filter(user=user).order_by("pk").values(*fields)
    return [{name.removesuffix("__name"): value for name, value in row.items()} for row in rows]
