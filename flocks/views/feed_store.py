"""The feed store: what is left, when it runs out, what to buy; and its lists."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from flocks.batch_charts import page_chart
from flocks.feed_actions import (
    feed_retire,
    feed_save,
    habits_save,
    store_line_log,
    store_line_remove,
)
from flocks.feed_charts import store_chart
from flocks.feed_forms import FeedCountForm, FeedHabitsForm, FeedProductForm, FeedPurchaseForm
from flocks.feed_shopping import feeds_on_sale, habits_of, shopping_of, store_outlook
from flocks.feed_words import purchases_by_day, store_by_feed, store_lines, when_out
from flocks.models import Batch, FeedCount, FeedProduct, FeedPurchase
from garden.access import garden_for, writable_garden_for
from garden.models import Garden
from garden.units import FEED_MASS
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from garden.words import mark, ngettext

LINE_MODELS = {"purchase": FeedPurchase, "count": FeedCount}
REMOVED = {
    "purchase": mark("Removed: a purchase of {feed}"),
    "count": mark("Removed: a count of {feed}"),
}


@require_GET
def store(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what is in the store, when it runs out and the cheapest way to go on."""
    garden = garden_for(request, garden_id)
    on = garden.today()
    batches = _batches(garden)
    feeds = list(garden.feeds.with_store())
    shopping = shopping_of(garden, on, batches, feeds)
    stored = store_by_feed(shopping, feeds)
    context = {
        "on": on,
        "shopping": shopping,
        "out": when_out(shopping),
        "purchases": purchases_by_day(shopping),
        "has_prices": any(feed.price is not None for feed in feeds if not feed.retired_on),
        "feeds": stored,
        "lines": store_lines(feeds, garden.unit_system),
        "usual": None if stored else feeds_on_sale(garden, ())[0],
        "habits": habits_of(garden, feeds),
        "running": [batch for batch in batches if not batch.finished_on],
        "chart": page_chart(store_chart(garden, shopping)) if shopping.paths else None,
    }
    return render(request, "flocks/feed_store.html", context)


@require_GET
@vary_on_headers("HX-Request")
def runs_out(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Say in one line when the store runs out, for a page that asks for it once it is shown."""
    garden = garden_for(request, garden_id)
    if not request.headers.get("HX-Request"):
        return redirect("feed_store", garden_id=garden.pk)
    feeds = list(garden.feeds.with_store())
    # A store that nobody keeps would run out today, every day.
    seen = store_outlook(garden.today(), _batches(garden), feeds) if feeds else None
    out = when_out(seen) if seen else ""
    return render(request, "flocks/parts/runs_out.html", {"out": out})


def _batches(garden: Garden) -> list[Batch]:
    batches = list(garden.batches.with_counts())
    for batch in batches:
        batch.garden = garden  # spares a query for each batch
    return batches


@require_http_methods(["GET", "POST"])
def product_new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Put a feed on the list."""
    garden = writable_garden_for(request, garden_id)
    return _product(request, garden, FeedProduct(garden=garden), _("Add a feed"))


@require_http_methods(["GET", "POST"])
def product_edit(request: HttpRequest, garden_id: int, product_id: int) -> HttpResponse:
    """Change a feed of the list."""
    garden = writable_garden_for(request, garden_id)
    feed = _feed(garden, product_id)
    return _product(request, garden, feed, _("Change {feed}").format(feed=feed.name))


def _product(request: HttpRequest, garden: Garden, feed: FeedProduct, heading: str) -> HttpResponse:
    form = FeedProductForm(posted(request), instance=feed, garden=garden)
    if form.is_valid():
        feed_save(feed=form.save(commit=False), user=request.user)
        return redirect("feed_store", garden_id=garden.pk)
    retired = feed.pk if feed.pk and not feed.retired_on else None
    return form_page(request, "flocks/feed_form.html", form, heading=heading, retire=retired)


@require_POST
def product_retire(request: HttpRequest, garden_id: int, product_id: int) -> HttpResponse:
    """Take a feed off the list."""
    garden = writable_garden_for(request, garden_id)
    feed_retire(feed=_feed(garden, product_id), user=request.user, on=garden.today())
    return redirect("feed_store", garden_id=garden.pk)


@require_http_methods(["GET", "POST"])
def bought(request: HttpRequest, garden_id: int, product_id: int) -> HttpResponse:
    """Log bags bought; `?bags=` fills in how many."""
    garden = writable_garden_for(request, garden_id)
    feed = _feed(garden, product_id)
    initial = {"bags": request.GET.get("bags", 1)}
    form = FeedPurchaseForm(posted(request), product=feed, initial=initial)
    if form.is_valid():
        line = form.save(commit=False)
        said = ngettext("Bought: {n} bag of {feed}", "Bought: {n} bags of {feed}", line.bags)
        store_line_log(line=line, user=request.user, said=said.format(n=line.bags, feed=feed.name))
        return redirect("feed_store", garden_id=garden.pk)
    return form_page(
        request, "flocks/feed_form.html", form, heading=_("{feed}: bought").format(feed=feed.name)
    )


@require_http_methods(["GET", "POST"])
def counted(request: HttpRequest, garden_id: int, product_id: int) -> HttpResponse:
    """Log what is left of a feed."""
    garden = writable_garden_for(request, garden_id)
    feed = _feed(garden, product_id)
    form = FeedCountForm(posted(request), product=feed)
    if form.is_valid():
        line = form.save(commit=False)
        told = FEED_MASS.show(line.mass_kg, garden.unit_system)
        store_line_log(
            line=line,
            user=request.user,
            said=_("Counted: {mass} of {feed}").format(mass=told, feed=feed.name),
        )
        return redirect("feed_store", garden_id=garden.pk)
    return form_page(
        request, "flocks/feed_form.html", form, heading=_("{feed}: left").format(feed=feed.name)
    )


@require_POST
def line_remove(request: HttpRequest, garden_id: int, kind: str, **ids: int) -> HttpResponse:
    """Remove a purchase or a count; the undo bar brings it back."""
    garden = writable_garden_for(request, garden_id)
    [line_id] = ids.values()
    line = get_object_or_404(
        LINE_MODELS[kind].objects.select_related("product__garden"),
        pk=line_id,
        product__garden=garden,
    )
    said = _(REMOVED[kind]).format(feed=line.product.name)
    store_line_remove(line=line, user=request.user, said=said)
    return redirect("feed_store", garden_id=garden.pk)


@require_http_methods(["GET", "POST"])
def shopping_habits(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Say when one can shop, what a trip costs and what meat is worth."""
    garden = writable_garden_for(request, garden_id)
    form = FeedHabitsForm(posted(request), instance=habits_of(garden), garden=garden)
    if form.is_valid():
        habits_save(habits=form.save(commit=False), user=request.user)
        return redirect("feed_store", garden_id=garden.pk)
    context: dict[str, Any] = {"heading": _("Shopping days and prices")}
    return form_page(request, "flocks/feed_form.html", form, **context)


def _feed(garden: Garden, product_id: int) -> FeedProduct:
    feed = garden.feeds.filter(pk=product_id).first()
    if feed is None:
        raise Http404("No such feed")
    feed.garden = garden  # spares a query
    return feed
