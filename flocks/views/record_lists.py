"""All records of one kind, page by page."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.loading import batch_for
from flocks.record_kinds import RecordKind
from flocks.record_lines import by_day, lines_of
from garden.access import garden_for

LINES_A_PAGE = 50
"""Records on one page. A choice."""


@require_GET
def all_of_kind(
    request: HttpRequest, garden_id: int, batch_id: int, kind: RecordKind
) -> HttpResponse:
    """List a batch's records of a kind, newest first; `?page=` turns the pages."""
    garden = garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    page = Paginator(kind.rows_of(batch), LINES_A_PAGE).get_page(request.GET.get("page"))
    days = by_day(lines_of(batch, kind, page.object_list))
    context = {
        "batch": batch,
        "kind": kind,
        "page": page,
        "days": days,
        "add": f"{kind.key}_new",
        "stage": batch.stage(garden.today()),
    }
    return render(request, "flocks/record_list.html", context)
