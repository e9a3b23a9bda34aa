"""The weather: a day's as its grower knows it, and the garden's own table of months."""

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from garden.access import garden_for, ruled_garden_for, writable_garden_for
from garden.day_words import day_words
from garden.models import DayWeather, Garden
from garden.views.form_page import form_page, posted
from garden.weather import weather_of
from garden.weather_actions import day_weather_log, month_weather_set
from garden.weather_forms import DAYS_AHEAD, DayWeatherForm, MonthsForm
from garden.words import gettext as _


@require_http_methods(["GET", "POST"])
def day(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what the days ahead are reckoned with, and take what somebody knows of one."""
    load = writable_garden_for if request.method == "POST" else garden_for
    garden = load(request, garden_id)
    on = _asked(request, garden)
    known = DayWeather(garden=garden, on=on)
    known = garden.day_weather.filter(on=on).first() or known
    if request.method == "POST":
        known = DayWeather(garden=garden)
    form = DayWeatherForm(posted(request), instance=known, garden=garden)
    if form.is_valid():
        said = _("Weather of {day} noted").format(day=day_words(form.instance.on))
        day_weather_log(garden=garden, user=request.user, row=form.instance, said=said)
        return redirect("today", garden_id=garden.pk)
    days = weather_of(garden, garden.today(), DAYS_AHEAD + 1)
    return form_page(request, "garden/weather.html", form, days=days, on=on)


def _asked(request: HttpRequest, garden: Garden) -> date:
    """Return the day that a link asks about; today where it asks for none or nonsense."""
    try:
        return date.fromisoformat(request.GET.get("on", ""))
    except ValueError:
        return garden.today()


@require_http_methods(["GET", "POST"])
def months(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the table of months; save an owner's figures."""
    load = ruled_garden_for if request.method == "POST" else garden_for
    garden = load(request, garden_id)
    form = MonthsForm(posted(request), garden=garden)
    if form.is_valid():
        month_weather_set(garden=garden, user=request.user, figures=form.figures())
        return redirect("weather", garden_id=garden.pk)
    status = 422 if form.is_bound else 200
    return render(request, "garden/weather_months.html", {"form": form}, status=status)
