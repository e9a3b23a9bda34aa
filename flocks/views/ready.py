"""When a batch is ready: asked for any target, with what waiting costs and what taking some early does."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from flocks.batch_charts import page_chart
from flocks.loading import batch_for
from flocks.readiness import Readiness, known_prices, prices_per_kg
from flocks.ready_charts import day_cost_chart
from flocks.ready_forms import USUAL_SHARE, ReadyForm
from garden.access import garden_for


@require_GET
def ready(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Show the first day a target is met; the batch's own target unless another is asked."""
    garden = garden_for(request, garden_id)
    batch = batch_for(garden, batch_id, pens=False)
    if batch.finished_on:
        return redirect("batch", garden_id=garden.pk, batch_id=batch.pk)
    on = garden.today()
    usual = {
        "wanted": "mean",
        "mass_g": batch.target_g,
        "share": USUAL_SHARE,
        **known_prices(batch),
    }
    form = ReadyForm(request.GET or None, batch=batch, on=on, initial=usual)
    context = {"form": form, "batch": batch, "on": on}
    if not form.is_bound:
        form = ReadyForm(_as_typed(form), batch=batch, on=on)
    if form.is_valid():
        context |= _answer(form)
    status = 422 if context["form"].is_bound and form.errors else 200
    return render(request, "flocks/ready.html", context, status=status)


def _as_typed(form: ReadyForm) -> dict[str, object]:
    """Return what an untouched form would send."""
    return {
        name: field.prepare_value(form.initial.get(name)) or ""
        for name, field in form.fields.items()
    }


def _answer(form: ReadyForm) -> dict[str, object]:
    values, batch = form.cleaned_data, form.batch
    asked = Readiness(batch, form.on, form.target(), prices_per_kg(batch, values))
    return {
        "asked": asked,
        "wanted": values["wanted"],
        "share": values["share"] or USUAL_SHARE,
        "part": asked.part(values["take"], values["take_on"]) if values["take"] else None,
        "chart": page_chart(day_cost_chart(asked)),
    }
