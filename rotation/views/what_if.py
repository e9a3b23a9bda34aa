"""What if: changes that are only thought of, planned, and shown beside the plan as it is."""

import json
from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from garden.access import garden_for, ruled_garden_for, writable_garden_for
from garden.documents import DocumentError
from garden.models import Garden
from garden.views.form_page import UNPROCESSABLE, form_page, posted
from garden.words import gettext as _
from garden.words import mark
from rotation.change_kinds import ChangeError, UnknownRowError, read_changes
from rotation.change_words import changes_words
from rotation.facts import GardenFacts, facts_of
from rotation.middleware import MENDED_ALREADY
from rotation.models import Plan, WhatIf
from rotation.plan_sides import Compared
from rotation.planning import current_plan
from rotation.what_if import changes_of, known_result, work_out
from rotation.what_if_actions import (
    LONGEST_NAME,
    CannotAcceptError,
    by_hand,
    takes_owner,
    what_if_accept,
    what_if_drop,
    what_if_make,
)
from rotation.what_if_form import WhatIfForm

MOST_KEPT = 30
"""What-ifs of a garden kept at a time. Our choice."""
TOO_MANY = mark("There are {n} what-ifs already. Drop one first.")


@require_GET
def what_ifs(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List what was thought of and neither accepted nor dropped yet."""
    garden = garden_for(request, garden_id)
    facts = facts_of(garden, garden.today())
    listed = [(row, changes_words(changes_of(row), facts)) for row in WhatIf.objects.of(garden)]
    return render(request, "rotation/what_ifs.html", {"listed": listed, "can_try": facts.runs})


@require_http_methods(["GET", "POST"])
def what_if_new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show things as they are, to be changed; keep the changes and lead to what they would make."""
    garden = writable_garden_for(request, garden_id)
    facts = facts_of(garden, garden.today())
    form = WhatIfForm(posted(request), facts=facts)
    if form.is_valid() and not _is_full(garden, form):
        setattr(request, MENDED_ALREADY, True)
        made = what_if_make(
            facts=facts, user=request.user, changes=form.changes, name=form.cleaned_data["name"]
        )
        return redirect("what_if", garden_id=garden.pk, what_if_id=made.pk)
    return form_page(request, "rotation/what_if_new.html", form)


def _is_full(garden: Garden, form: WhatIfForm) -> bool:
    if WhatIf.objects.of(garden).count() < MOST_KEPT:
        return False
    form.add_error(None, _(TOO_MANY).format(n=MOST_KEPT))
    return True


@require_POST
def what_if_try(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Keep a list of changes that another page offers, and lead to what they would make."""
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    name = request.POST.get("name", "").replace("\0", "")[:LONGEST_NAME]
    try:
        changes = read_changes(_parsed(request.POST.get("changes", "")))
        if WhatIf.objects.of(garden).count() >= MOST_KEPT:
            raise ChangeError(_(TOO_MANY).format(n=MOST_KEPT))
        if not changes:
            raise ChangeError(_("There is no change to try."))
        facts = facts_of(garden, garden.today())
        made = what_if_make(facts=facts, user=request.user, changes=changes, name=name)
    except UnknownRowError as refusal:
        raise Http404(str(refusal)) from None
    except DocumentError as refusal:
        return _refused(request, refusal.told())
    except ChangeError as refusal:
        return _refused(request, [str(refusal)])
    return redirect("what_if", garden_id=garden.pk, what_if_id=made.pk)


def _parsed(text: str) -> object:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise DocumentError([_("changes: expected JSON")]) from None


def _refused(request: HttpRequest, faults: list[str]) -> HttpResponse:
    page = "rotation/what_if_refused.html"
    return render(request, page, {"faults": faults}, status=UNPROCESSABLE)


@require_GET
def what_if(request: HttpRequest, garden_id: int, what_if_id: int) -> HttpResponse:
    """Show changes, and both plans where the changed one is known."""
    context = _compared(garden_for(request, garden_id), what_if_id, known_result)
    return render(request, "rotation/what_if.html", context)


@require_GET
@vary_on_headers("HX-Request")
def what_if_worked(request: HttpRequest, garden_id: int, what_if_id: int) -> HttpResponse:
    """Work the changed plan out, and show both; about a second."""
    context = _compared(garden_for(request, garden_id), what_if_id, work_out)
    part = "#sides" if request.htmx else ""
    return render(request, f"rotation/what_if.html{part}", context)


def _compared(
    garden: Garden,
    what_if_id: int,
    compare: Callable[[WhatIf, GardenFacts, Plan | None], Compared | None],
) -> dict[str, object]:
    """Return what the page shows of a what-if whose plans are brought side by side in some way."""
    row = get_object_or_404(WhatIf.objects.of(garden), pk=what_if_id)
    facts, told = facts_of(garden, garden.today()), current_plan(garden)
    context = _context(row, facts)
    try:
        context["compared"] = compare(row, facts, told)
    except ChangeError as refusal:
        context["refusal"] = str(refusal)
    return context


def _context(row: WhatIf, facts: GardenFacts) -> dict[str, object]:
    changes = changes_of(row)
    left = by_hand(changes, facts)
    return {
        "what_if": row,
        "changes": changes_words(changes, facts),
        "by_hand": left,
        "all_by_hand": len(left) == len(changes),
        "takes_owner": takes_owner(changes),
        "today": facts.on,
    }


@require_POST
def what_if_dropped(request: HttpRequest, garden_id: int, what_if_id: int) -> HttpResponse:
    """Forget a what-if."""
    garden = writable_garden_for(request, garden_id)
    row = get_object_or_404(WhatIf.objects.of(garden), pk=what_if_id)
    setattr(request, MENDED_ALREADY, True)
    what_if_drop(what_if=row, user=request.user)
    return redirect("what_ifs", garden_id=garden.pk)


@require_POST
def what_if_accepted(request: HttpRequest, garden_id: int, what_if_id: int) -> HttpResponse:
    """Make it so: write the changes down, and save their plan."""
    garden = writable_garden_for(request, garden_id)
    row = get_object_or_404(WhatIf.objects.of(garden).select_related("garden"), pk=what_if_id)
    changes = changes_of(row)
    if takes_owner(changes):
        garden = ruled_garden_for(request, garden_id)
    left = by_hand(changes, facts_of(garden, garden.today()))
    try:
        what_if_accept(what_if=row, user=request.user, on=garden.today())
    except (ChangeError, CannotAcceptError) as refusal:
        messages.error(request, str(refusal))
        if not WhatIf.objects.filter(pk=what_if_id).exists():
            return redirect("what_ifs", garden_id=garden.pk)
        return redirect("what_if", garden_id=garden.pk, what_if_id=what_if_id)
    messages.success(
        request, " ".join([_("“{row}” is accepted, and planned.").format(row=row), *left])
    )
    return redirect("plan", garden_id=garden.pk)
