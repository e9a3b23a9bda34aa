"""What the batches cost, and how the garden counts."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from flocks.batch_money import purse_of, summed
from flocks.book_actions import line_change
from flocks.book_kinds import COST, HOURS
from flocks.house_rules_form import HouseRulesForm
from flocks.models import Cost, Hours
from flocks.stock import rules_of
from garden.access import garden_for, writable_garden_for
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _

NEWEST_LINES = 20
"""Costs and hours that the page lists. A choice."""


@require_GET
def money(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what each batch cost, by line, by bird and by kilogram."""
    garden = garden_for(request, garden_id)
    batches = list(garden.batches.with_counts())
    for batch in batches:
        batch.garden = garden  # spares a query for each batch
    purse = purse_of(garden, batches, garden.today())
    rows = [
        (batch, account, summed(account.lines))
        for batch in batches
        if (account := purse.accounts[batch.pk]).lines or account.birds or account.hours
    ]
    costs = Cost.objects.filter(garden=garden).select_related("batch").order_by("-on", "-pk")
    hours = Hours.objects.filter(garden=garden).select_related("batch", "logged_by")
    context = {
        "purse": purse,
        "rows": rows,
        "currency": purse.rules.currency,
        "feed_price": purse.feed_price_per_unit(garden.unit_system),
        "costs": [(row, COST.tell(row, garden.unit_system)) for row in costs[:NEWEST_LINES]],
        "hours": [
            (row, HOURS.tell(row, garden.unit_system))
            for row in hours.order_by("-on", "-pk")[:NEWEST_LINES]
        ],
    }
    return render(request, "flocks/money.html", context)


@require_http_methods(["GET", "POST"])
def house_rules(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Say how the garden counts its money and who eats from its freezer."""
    garden = writable_garden_for(request, garden_id)
    form = HouseRulesForm(posted(request), instance=rules_of(garden), garden=garden)
    if form.is_valid():
        rules, said = form.save(commit=False), _("Money and freezer settings changed")
        if rules.pk:
            line_change(garden=garden, line=rules, user=request.user, said=said)
        else:
            with undoable(garden, request.user, said) as step:
                rules.save()
                step.made(rules)
        return redirect("money", garden_id=garden.pk)
    return form_page(request, "flocks/house_rules.html", form)
