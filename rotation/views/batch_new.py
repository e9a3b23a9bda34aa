"""Logging a new batch: before it is saved, what this garden makes of it and what would make it fit."""

from collections.abc import Iterator
from datetime import timedelta
from urllib.parse import parse_qsl

from django.db.models import Max
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods
from django.views.decorators.vary import vary_on_headers

from flocks.actions import batch_create
from flocks.forms import USUAL_BROODER_DAYS, BatchForm
from garden.access import writable_garden_for
from garden.models import Garden
from garden.words import gettext as _
from rotation.cures import cures
from rotation.middleware import MENDED_ALREADY
from rotation.season import DraftBatch, TrialGround

LOOK, CURE, APPLY = "look", "cure", "apply"
"""Names of the buttons that show something instead of saving."""
NEEDED = ("strain", "hatch_on", "chicks", "target_g", "pens", "leaves_brooder_on", "processing_on")
USUAL_CHICKS, USUAL_NOTICE_DAYS = 12, 7
USUAL_TARGET_G = {"metric": 2200.0, "us": 2268.0}
"""What an empty form starts from; 5 lb in the US. Our choice."""


@require_http_methods(["GET", "POST"])
@vary_on_headers("HX-Request")
def batch_new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the form with its preview; save it when the saving button was pressed."""
    garden = writable_garden_for(request, garden_id)
    if request.method == "GET":
        return _page(request, garden, BatchForm(garden=garden, initial=_usual(garden)))
    if LOOK in request.POST or CURE in request.POST or APPLY in request.POST:
        setattr(request, MENDED_ALREADY, True)
        return _look(request, garden)
    form = BatchForm(_posted(request), garden=garden)
    if not form.is_valid():
        return _page(request, garden, form, _trial_of(form, garden), status=422)
    batch_create(garden=garden, user=request.user, **form.cleaned_data)
    return redirect("plan", garden_id=garden.pk)


def _look(request: HttpRequest, garden: Garden) -> HttpResponse:
    form = BatchForm(_posted(request), garden=garden)
    context = _trial_of(form, garden, with_cures=CURE in request.POST)
    if request.htmx:
        part = "cures" if CURE in request.POST else "trial"
        context |= {"form": form}
        return render(request, f"rotation/batch_new.html#{part}", context)
    return _page(request, garden, form, context)


def _posted(request: HttpRequest) -> QueryDict:
    """Return what was typed, with the fields of an applied cure put in."""
    data = request.POST.copy()
    for name, value in parse_qsl(data.get(APPLY, "")):
        if name in NEEDED:
            data.setlist(name, value.split(",") if name == "pens" else [value])
    return data


def _trial_of(form: BatchForm, garden: Garden, *, with_cures: bool = False) -> dict[str, object]:
    form.is_valid()
    values = form.cleaned_data
    if not all(values.get(name) for name in NEEDED):
        return {"trial": None, "in_the_way": list(_in_the_way(form))}
    draft = DraftBatch(**{name: values[name] for name in NEEDED} | {"pens": tuple(values["pens"])})
    ground = TrialGround(garden, garden.today())
    trial = ground.trial(draft)
    found = cures(ground, trial) if with_cures and not trial.fits else None
    return {"trial": trial, "cures": found, "reasons": trial.reasons}


def _in_the_way(form: BatchForm) -> Iterator[str]:
    """Yield what keeps a draft from being tried, fields that are merely still empty left out."""
    for name, faults in form.errors.as_data().items():
        for fault in faults:
            if fault.code != "required":
                yield f"{form[name].label}: {' '.join(fault.messages)}"


def _page(
    request: HttpRequest,
    garden: Garden,
    form: BatchForm,
    context: dict[str, object] | None = None,
    *,
    status: int = 200,
) -> HttpResponse:
    guided = "guide" in request.GET
    page = {"form": form, "guided": guided, "pens": garden.pens.in_use().exists()}
    return render(request, "rotation/batch_new.html", page | (context or {}), status=status)


def _usual(garden: Garden) -> dict[str, object]:
    """Return what an empty form starts from: the soonest hatch day that finds the pens free."""
    free_on = garden.batches.unfinished().aggregate(last=Max("processing_on"))["last"]
    soonest = garden.today() + timedelta(days=USUAL_NOTICE_DAYS)
    if free_on:
        soonest = max(soonest, free_on - timedelta(days=USUAL_BROODER_DAYS - 1))
    return {
        "name": _("Batch {count}").format(count=garden.batches.count() + 1),
        "hatch_on": soonest,
        "chicks": USUAL_CHICKS,
        "target_g": USUAL_TARGET_G[garden.unit_system],
        "pens": list(garden.pens.in_use().values_list("pk", flat=True)),
    }
