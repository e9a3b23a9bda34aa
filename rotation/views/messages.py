"""The calendar's secret address and the letter about tomorrow: each person's own, also a viewer's."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for
from garden.clock import now
from garden.languages import speaking_to
from garden.models import Garden, Membership
from garden.throttle import throttled
from garden.views.form_page import UNPROCESSABLE, posted
from garden.words import gettext as _
from rotation.calendar_feed import calendar_text
from rotation.digest import reminder_set
from rotation.message_forms import CalendarForm, ReminderForm
from rotation.middleware import MENDED_ALREADY
from rotation.models import CalendarFeed, Reminder

MOST_ASKED = 30
"""How often one calendar's address may be asked for in ten minutes. Our choice: programs ask hourly."""


@require_GET
def own_messages(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the calendar's address and the letter, as this person has them."""
    return _page(request, garden_for(request, garden_id))


@require_POST
def calendar_make(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Make an address, in place of the one before; that one is then dead."""
    garden = _own(request, garden_id)
    form = CalendarForm(request.POST)
    if not form.is_valid():
        return _page(request, garden, calendar_form=form)
    _calendar_renew(garden, request.user, form.cleaned_data["hour"])
    messages.success(
        request, _("The address is ready. Who has it can read it, so keep it to yourself.")
    )
    return redirect("own_messages", garden_id=garden.pk)


@require_POST
def calendar_revoke(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Close the address: whoever asks for it gets nothing from now on."""
    garden = _own(request, garden_id)
    _feeds(garden, request.user).update(revoked_at=now())
    messages.success(request, _("The address is closed. No calendar can read it any more."))
    return redirect("own_messages", garden_id=garden.pk)


@require_POST
def reminder(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Turn the letter on at an hour, or off."""
    garden = _own(request, garden_id)
    form = ReminderForm(posted(request), user=request.user)
    if not form.is_valid():
        return _page(request, garden, reminder_form=form)
    address = request.build_absolute_uri("/").rstrip("/")
    row = reminder_set(garden=garden, user=request.user, address=address, **form.cleaned_data)
    told = (
        _("The letter comes every day at {hour}:00.").format(hour=f"{row.hour:02d}")
        if row.is_on
        else _("No letter comes.")
    )
    messages.success(request, told)
    return redirect("own_messages", garden_id=garden.pk)


@login_not_required
@csrf_exempt
@require_http_methods(["GET", "POST"])
def reminder_stop(request: HttpRequest, letter: str) -> HttpResponse:
    """Stop a letter without a sign-in: a post stops it at once, a look offers the button.

    A look alone stops nothing, because mail programs open links to see what is behind them (RFC 8058).
    """

    def answer() -> HttpResponse:
        row = Reminder.of_token(letter)
        if row is None:
            return render(request, "404.html", status=404)
        if request.method == "POST":
            Reminder.objects.filter(pk=row.pk).update(is_on=False)
            row.is_on = False
        return render(request, "rotation/reminder_stop.html", {"reminder": row})

    return throttled(request, "stop", letter, most=MOST_ASKED, answer=answer)


@login_not_required
@require_GET
def calendar_feed(request: HttpRequest, key: str) -> HttpResponse:
    """Send the days of a garden to a calendar program that has the address."""
    return throttled(
        request, "calendar", key, most=MOST_ASKED, answer=lambda: _calendar(request, key)
    )


def _calendar(request: HttpRequest, key: str) -> HttpResponse:
    feed = CalendarFeed.of_token(key)
    if feed is None:
        return HttpResponse("No such calendar.\n", status=404, content_type="text/plain")
    with speaking_to(feed.user):
        text = calendar_text(feed.garden, feed.hour)
    answer = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'inline; filename="garden.ics"'
    answer["Cache-Control"] = "private, max-age=900"
    answer["X-Robots-Tag"] = "noindex"
    return answer


def _own(request: HttpRequest, garden_id: int) -> Garden:
    """Return the garden for something that is one's own there and concerns no plan."""
    garden = garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    return garden


def _feeds(garden: Garden, user: object) -> QuerySet[CalendarFeed]:
    return CalendarFeed.objects.filter(garden=garden, user=user, revoked_at=None)


@transaction.atomic
def _calendar_renew(garden: Garden, user: object, hour: int) -> None:
    # The lock makes two taps take turns, so that one address is open at the end.
    Membership.objects.select_for_update().get(garden=garden, user=user)
    _feeds(garden, user).update(revoked_at=now())
    CalendarFeed.objects.create(garden=garden, user=user, hour=hour)


def _page(
    request: HttpRequest,
    garden: Garden,
    *,
    calendar_form: CalendarForm | None = None,
    reminder_form: ReminderForm | None = None,
) -> HttpResponse:
    feed = _feeds(garden, request.user).first()
    row = Reminder.objects.filter(garden=garden, user=request.user).first()
    asked = {"is_on": row.is_on, "hour": row.hour} if row else None
    context = {
        "feed": feed,
        "address": feed and request.build_absolute_uri(reverse("calendar_feed", args=[feed.token])),
        "calendar_form": calendar_form or CalendarForm(initial=feed and {"hour": feed.hour}),
        "reminder": row,
        "reminder_form": reminder_form or ReminderForm(initial=asked, user=request.user),
        "undo_next": reverse("own_messages", args=[garden.pk]),
    }
    wrong = calendar_form or reminder_form
    status = UNPROCESSABLE if wrong else 200
    return render(request, "rotation/own_messages.html", context, status=status)
