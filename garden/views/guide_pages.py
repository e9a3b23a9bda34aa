"""The guide in the product: its contents with a search, and one page."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.guide_pages import BY_SLUG, PAGES, search


@require_GET
def contents(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List the pages, or those that answer what is asked."""
    garden_for(request, garden_id)
    asked = request.GET.get("q", "").strip()
    return render(
        request,
        "guide/contents.html",
        {"pages": PAGES, "asked": asked, "found": search(asked) if asked else []},
    )


@require_GET
def page(request: HttpRequest, garden_id: int, page: str) -> HttpResponse:
    """Show one page of the guide."""
    garden_for(request, garden_id)
    if page not in BY_SLUG:
        raise Http404("No such page")
    place = list(BY_SLUG).index(page)
    following = PAGES[place + 1] if place + 1 < len(PAGES) else None
    return render(request, "guide/page.html", {"page": BY_SLUG[page], "following": following})
