"""Labels to print for the beds."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from garden.access import garden_for
from rotation.bed_labels import BedLabel, bed_label
from rotation.bed_records import BedRecord, ground_records


@require_GET
def labels(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show a label for every bed in use."""
    garden = garden_for(request, garden_id)
    records = ground_records(garden, garden.today()).beds
    context = {"labels": [_label(request, record) for record in records], "today": garden.today()}
    return render(request, "rotation/bed_labels.html", context)


@require_GET
def label(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Show one bed's label."""
    garden = garden_for(request, garden_id)
    records = ground_records(garden, garden.today()).beds
    record = next((record for record in records if record.bed.pk == bed_id), None)
    if record is None:
        raise Http404("No such bed")
    context = {"labels": [_label(request, record)], "bed": record.bed, "today": garden.today()}
    return render(request, "rotation/bed_labels.html", context)


def _label(request: HttpRequest, record: BedRecord) -> BedLabel:
    place = reverse("bed", args=[record.garden.pk, record.bed.pk])
    return bed_label(record, request.build_absolute_uri(place))
