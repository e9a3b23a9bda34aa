"""Pen designs: choosing a size, making and changing one, and building a pen of it."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, ruled_garden_for
from garden.models import Bed, Garden
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from pens.actions import design_build, design_remove, design_save
from pens.built import pen_of
from pens.choose_form import ChooseForm, best_for
from pens.design.lumber import UNTREATED, profiles
from pens.design_forms import DesignForm, choices_of, started_design
from pens.design_page import design_page, drawings_of, standing_of
from pens.drawings.svg import svg_file, svg_for_page
from pens.models import Design
from pens.suggestion import free_name, next_pen_name
from pens.views.cannot import or_tell_why

SVG = "image/svg+xml"


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Design a pen; every bed of the most common size is ticked at first."""
    garden = ruled_garden_for(request, garden_id)
    form = DesignForm(
        posted(request),
        instance=started_design(garden),
        garden=garden,
        initial=_first_values(request, garden),
    )
    if form.is_valid():
        design = design_save(garden=garden, user=request.user, form=form)
        return redirect("design", garden_id=garden.pk, design_id=design.pk)
    return form_page(request, "pens/design_form.html", form, why_untreated=_(UNTREATED))


def _first_values(request: HttpRequest, garden: Garden) -> dict[str, object]:
    """Return what the form starts from: the address's size if it has one, else the commonest beds."""
    beds = list(garden.beds.in_use())
    sizes = [(bed.length_mm, bed.width_mm) for bed in beds if bed.kind != Bed.Kind.TURF]
    common = max(sizes, key=sizes.count, default=None)
    names = [*(row.name for row in garden.designs.all()), *(row.name for row in garden.pens.all())]
    values: dict[str, object] = {
        "name": next_pen_name(names),
        "beds": [bed.pk for bed in beds if (bed.length_mm, bed.width_mm) == common],
    }
    for field in ("length_mm", "width_mm", "birds"):
        typed = request.GET.get(field, "")
        if typed.isdecimal() and len(typed) < 6:
            values[field] = int(typed)
    return values


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Change a design; pens that were built from it stay as they are."""
    garden = ruled_garden_for(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    form = DesignForm(posted(request), instance=design, garden=garden)
    if form.is_valid():
        design_save(garden=garden, user=request.user, form=form)
        return redirect("design", garden_id=garden.pk, design_id=design.pk)
    return form_page(request, "pens/design_form.html", form, why_untreated=_(UNTREATED))


@require_GET
@or_tell_why
def show(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Show a design: fit, birds, frame, drawings, weight, wind and air."""
    garden = garden_for(request, garden_id)
    design = get_object_or_404(garden.designs.prefetch_related("beds"), pk=design_id)
    beds = list(garden.beds.in_use())
    page = design_page(garden, design, beds)
    sheets = drawings_of(page.pen.design, garden.unit_system, standing_of(design, page, beds))
    drawn = [
        # Our own writer escapes every text that goes in.
        {"name": name, "sheet": sheet, "svg": mark_safe(svg_for_page(sheet))}  # noqa: S308
        for name, sheet in sheets.items()
    ]
    context = {
        "design": design,
        "page": page,
        "drawings": [row for row in drawn if not row["name"].startswith("door")],
        "doors": [row for row in drawn if row["name"].startswith("door")],
        "wood": profiles()[design.profile],
        "why_untreated": _(UNTREATED),
        "built": list(design.pens.filter(retired_on=None)),
    }
    return render(request, "pens/design.html", context)


@require_GET
@or_tell_why
def drawing(request: HttpRequest, garden_id: int, design_id: int, name: str) -> HttpResponse:
    """Send one drawing as a file, true to scale on paper."""
    garden = garden_for(request, garden_id)
    design = get_object_or_404(garden.designs.prefetch_related("beds"), pk=design_id)
    beds = list(garden.beds.in_use())
    page = design_page(garden, design, beds)
    sheet = drawings_of(page.pen.design, garden.unit_system, standing_of(design, page, beds)).get(
        name
    )
    if sheet is None:
        raise Http404("No such drawing")
    answer = HttpResponse(svg_file(sheet), content_type=SVG)
    answer["Content-Disposition"] = f'attachment; filename="design-{design.pk}-{name}.svg"'
    return answer


@require_GET
def choose(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Choose the one or two pen sizes that serve most of the beds."""
    garden = ruled_garden_for(request, garden_id)
    beds = list(garden.beds.in_use())
    form = ChooseForm(request.GET if "birds" in request.GET else None, garden=garden)
    chosen = best_for(garden, beds, form) if form.is_bound and form.is_valid() else None
    return form_page(request, "pens/design_choose.html", form, chosen=chosen, has_beds=bool(beds))


@require_POST
def remove(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Remove a design."""
    garden = ruled_garden_for(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    design_remove(design=design, user=request.user)
    return redirect("build", garden_id=garden.pk)


@require_POST
@or_tell_why
def build(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Put a pen of this design into the garden: plans use its size, floor and weight from now on."""
    garden = ruled_garden_for(request, garden_id)
    design: Design = get_object_or_404(garden.designs, pk=design_id)
    name = free_name(design.name, [pen.name for pen in garden.pens.all()])
    pen = pen_of(choices_of(design))
    built = design_build(design=design, user=request.user, name=name, pen=pen)
    told = _("{pen} is in the garden: give it birds, and it is planned.")
    messages.success(request, told.format(pen=built))
    return redirect("build", garden_id=garden.pk)
