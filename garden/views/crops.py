"""One crop with every figure, its source and mark, and which are the garden's own."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.crop_figures import figure_groups, reference_of


@require_GET
def crop(request: HttpRequest, garden_id: int, crop_id: int) -> HttpResponse:
    """Show a crop's figures."""
    garden = garden_for(request, garden_id)
    shown = get_object_or_404(garden.crops, pk=crop_id)
    row = reference_of(shown)
    context = {
        "crop": shown,
        "groups": figure_groups(shown, garden.unit_system),
        "note": row.note if row else "",
    }
    return render(request, "garden/crop.html", context)
