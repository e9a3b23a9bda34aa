"""Entries from a phone's outbox: each is taken once, however often it is sent, and answered in JSON.

A phone sends the form that the page would have sent, to the same address, with a random key and the user it
was made by in two headers. The key is saved in one transaction with whatever the view writes, so that an
answer lost on the way is given again and nothing is written twice. A form that is refused leaves no key
behind: put right, it may come again under the same one.
"""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext_lazy

from garden.clock import now
from garden.models import TakenEntry

View = Callable[..., HttpResponse]

KEY_HEADER, USER_HEADER = "Outbox-Key", "Outbox-User"
SIGN_IN_FIRST = [gettext_lazy("Sign in to send this.")]
NOT_THERE = [gettext_lazy("What this was about is no longer there.")]
REFUSED = [gettext_lazy("This cannot be logged as it is.")]


def is_entry(request: HttpRequest) -> bool:
    """Say whether a request comes from an outbox, so that a repeat of it is known by its key."""
    return request.method == "POST" and KEY_HEADER in request.headers


def _refusal(wrong: list[str], status: int) -> JsonResponse:
    return JsonResponse({"wrong": wrong}, status=status)


class SignInFirst(LoginRequiredMiddleware):
    """Django's own, which answers an entry from an outbox with 401 in place of a redirect."""

    def handle_no_permission(self, request: HttpRequest, view_func: View) -> HttpResponse:
        """Send a reader to the sign-in page, and tell a script that it must wait."""
        if is_entry(request):
            return _refusal(SIGN_IN_FIRST, 401)
        return super().handle_no_permission(request, view_func)


class TakenOnce:
    """Take an entry that carries a key once, and answer a repeat with the first answer.

    Stands before `OnceMore`, whose part it does for entries.
    """

    def __init__(self, get_response: View) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass the request on; the work is done in `process_view`."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: list[Any], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        """Answer an entry; other requests go their way."""
        if not is_entry(request):
            return None
        if request.headers.get(USER_HEADER) != str(request.user.pk):
            # Somebody else has signed in on the phone since the entry was made.
            return _refusal(SIGN_IN_FIRST, 401)
        try:
            key = UUID(request.headers[KEY_HEADER])
        except ValueError:
            return _refusal(REFUSED, 400)

        def ask() -> HttpResponse:
            return view(request, *args, **kwargs)

        try:
            return _answer_once(request, key, ask)
        except IntegrityError:
            # Its twin, or a row of the same name by somebody else, was saved in the same moment.
            return _answer_once(request, key, ask)


KEPT_DAYS = 180
"""How long a key is remembered [day]: far longer than a phone goes without signal. Our choice."""


def _answer_once(request: HttpRequest, key: UUID, ask: Callable[[], HttpResponse]) -> JsonResponse:
    if taken := _taken(request, key):
        return JsonResponse(taken.answer)
    with transaction.atomic():
        mine = TakenEntry.objects.filter(user=request.user)
        mine.filter(taken_at__lt=now() - timedelta(days=KEPT_DAYS)).delete()
        entry = TakenEntry.objects.create(user=request.user, key=key)
        status, answer = _answer_of(request, ask)
        if status == 200:
            entry.answer = answer
            entry.save(update_fields=["answer"])
        else:
            transaction.set_rollback(True)
    return JsonResponse(answer, status=status)


def _taken(request: HttpRequest, key: UUID) -> TakenEntry | None:
    return TakenEntry.objects.filter(user=request.user, key=key).first()


def _answer_of(request: HttpRequest, ask: Callable[[], HttpResponse]) -> tuple[int, dict[str, Any]]:
    """Ask the view and turn its answer for readers into one for a script."""
    try:
        response = ask()
    except Http404:
        return 404, {"wrong": NOT_THERE}
    except PermissionDenied as refusal:
        return 403, {"wrong": [str(refusal)]}
    faults = _faults_told(request)
    if form := getattr(response, "form", None):
        faults = faults_of(form)
    if faults or response.status_code >= 400:
        status = response.status_code if response.status_code >= 400 else 409
        return status, {"wrong": faults or REFUSED}
    return 200, {"go": response.get("Location", "")}


def _faults_told(request: HttpRequest) -> list[str]:
    """Take the errors from what the next page would say, and leave the rest to it."""
    told = list(messages.get_messages(request))
    for message in told:
        if message.level < messages.ERROR:
            messages.add_message(request, message.level, message.message)
    return [str(message) for message in told if message.level >= messages.ERROR]


def faults_of(form: forms.BaseForm) -> list[str]:
    """Return what is wrong with a form, each line with the name of its field."""
    return [
        f"{form[name].label}: {error}" if name in form.fields else str(error)
        for name, errors in form.errors.items()
        for error in errors
    ]
