"""Can I eat this: every crop answered for a day, and what was taken too soon."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, writable_garden_for
from garden.day_words import day_words, day_year_words
from garden.forms import DayField, GardenForm
from garden.models import EarlyHarvest, Garden, Planting
from garden.planting_forms import YEARS_AHEAD
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from rotation.bed_records import BedRecord, GardenRecords, ground_records
from rotation.early_harvest_form import EarlyHarvestForm
from rotation.harvest_answers import HarvestAnswer, harvest_answers
from rotation.safe_day import answer_for


class AskForm(GardenForm, forms.Form):
    """The day on which something is to be eaten."""

    on = DayField(label=gettext_lazy("On another day"))

    def clean_on(self) -> date:
        """Refuse days that have passed and days that no planting reaches."""
        day, today = self.cleaned_data["on"], self.garden.today()
        if not today <= day or day.year > today.year + YEARS_AHEAD:
            raise ValidationError(
                _("Give a day from {day} to the end of {year}.").format(
                    day=day_year_words(today), year=today.year + YEARS_AHEAD
                )
            )
        return day


@require_GET
def eat(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Answer for each crop in the beds, today or on the day asked about."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    asked = AskForm(request.GET if "on" in request.GET else None, garden=garden)
    on = asked.cleaned_data["on"] if asked.is_valid() else today
    found = standing_answers(ground_records(garden, today), on=on)
    context = {
        "today": today,
        "on": on,
        "form": asked,
        "standing": sorted(found, key=lambda pair: (pair[1].planting.crop.name, pair[0].bed.pk)),
        "has_beds": garden.beds.in_use().with_crops().exists(),
    }
    return render(request, "rotation/eat.html", context)


def standing_answers(
    records: GardenRecords, *, on: date | None = None
) -> list[tuple[BedRecord, HarvestAnswer]]:
    """Return each crop that stands on a day and whether it may be eaten, those that must wait first."""
    found = [
        (record, answer)
        for record in records.beds
        for answer in harvest_answers(
            record.bed.plantings.all(),
            record.fouled,
            records.garden,
            records.on,
            on=on,
        )
        if answer.is_standing
    ]
    return sorted(found, key=lambda pair: (not pair[1].must_wait, pair[1].planting.crop.name))


@require_http_methods(["GET", "POST"])
def early_new(request: HttpRequest, garden_id: int, planting_id: int) -> HttpResponse:
    """Note that a crop was taken before its bed was safe, and what became of it."""
    garden = writable_garden_for(request, garden_id)
    planting = get_object_or_404(Planting.objects.of(garden).select_related("bed"), pk=planting_id)
    answer = _answer_for(garden, planting)
    early = EarlyHarvest(
        planting=answer.planting, logged_by=request.user, safe_from=answer.safe_from
    )
    asked = {"on": request.GET["on"]} if "on" in request.GET else None
    form = EarlyHarvestForm(
        posted(request), instance=early, garden=garden, answer=answer, initial=asked
    )
    if form.is_valid():
        said = _("{crop} taken early from {bed}, {day}").format(
            crop=answer.planting.crop, bed=planting.bed, day=day_words(early.on)
        )
        with undoable(garden, request.user, said) as step:
            step.made(form.save())
        return redirect("bed", garden_id=garden.pk, bed_id=planting.bed_id)
    return form_page(request, "rotation/early_harvest.html", form, answer=answer, bed=planting.bed)


def _answer_for(garden: Garden, planting: Planting) -> HarvestAnswer:
    found = answer_for(garden, planting)
    if found is None:
        raise Http404("No such planting")
    return found


@require_POST
def early_remove(request: HttpRequest, garden_id: int, early_id: int) -> HttpResponse:
    """Take an early harvest off the books, as if it had not been."""
    garden = writable_garden_for(request, garden_id)
    early = get_object_or_404(
        EarlyHarvest.objects.of(garden).select_related("planting__crop"), pk=early_id
    )
    with undoable(
        garden, request.user, _("Early harvest of {crop} removed").format(crop=early.planting.crop)
    ) as step:
        step.removing(early)
        early.delete()
    return redirect("bed", garden_id=garden.pk, bed_id=early.planting.bed_id)
