"""The brooder of one batch."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.brooder_page import Brooder
from flocks.brooding import ROOM_SOURCE, SAFE_NIGHTS
from flocks.loading import batch_for
from garden.access import garden_for


@require_GET
def brooder(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Show how warm, how much room, and when the birds may go out."""
    garden = garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    shown = Brooder(batch, garden.today())
    context = {
        "batch": batch,
        "on": garden.today(),
        "brooder": shown,
        "stage": batch.stage(garden.today()),
        "leaving": shown.leaving(),
        "nights": SAFE_NIGHTS,
        "room_source": ROOM_SOURCE,
    }
    return render(request, "flocks/brooder.html", context)
