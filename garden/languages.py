"""The languages that people read, and who reads which."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils.translation import override

from garden.models import Reader

ONE_YEAR_S = 365 * 24 * 3600
KNOWN = frozenset(code for code, _name in settings.LANGUAGES)


def chosen_by(user: object) -> str | None:
    """Return the language that somebody chose, on whatever device; None where nobody did."""
    chosen = Reader.objects.filter(user=user).values_list("language", flat=True).first()
    return chosen if chosen in KNOWN else None


def language_of(user: object) -> str:
    """Return the language that somebody reads, for what is written while they are away."""
    return chosen_by(user) or settings.LANGUAGE_CODE


def speaking_to(user: object) -> override:
    """Return a context in which all is said in the language of somebody who is not here."""
    return override(language_of(user))


def remember(user: object, code: str) -> None:
    """Keep the language that somebody reads."""
    Reader.objects.update_or_create(user=user, defaults={"language": code})


def put_in_cookie(request: HttpRequest, response: HttpResponse, code: str) -> None:
    """Let this browser show its pages in a language, signed in or not."""
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        code,
        max_age=ONE_YEAR_S,
        samesite="Lax",
        secure=request.is_secure(),
        httponly=True,
    )
