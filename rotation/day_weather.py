"""The weather of a garden's day and what it means for the birds that are there: rows in, cautions out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from garden.models import Garden
from garden.weather_values import Weather
from pens.built import pen_of
from pens.design import wind_on
from pens.design_forms import choices_of
from pens.models import Pen
from rotation.day_rows import DayRows
from rotation.day_sheet import BatchDay, PenDay
from rotation.weather_cautions import Caution, Flock, PenInWind, cautions_of


@dataclass(frozen=True, slots=True)
class DayWeather:
    """A day's weather with its cautions, and what tomorrow's adds to them."""

    weather: Weather
    cautions: tuple[Caution, ...]
    tomorrow: tuple[Caution, ...]


def day_weather(
    garden: Garden, batches: Sequence[BatchDay], pens: Sequence[PenDay], rows: DayRows, on: date
) -> DayWeather:
    """Return what the weather asks on a day and on the next."""
    today, tomorrow, after = rows.weather
    known = {share.pen_id: share.pen for batch in rows.batches for share in batch.shares.all()}
    system, next_day = garden.unit_system, on + timedelta(days=1)
    now = cautions_of(today, tomorrow, _flocks(batches, on), _in_wind(pens, known, today), system)
    said = {caution.title for caution in now}
    ahead = cautions_of(
        tomorrow, after, _flocks(batches, next_day), _in_wind(pens, known, tomorrow), system
    )
    news = tuple(caution for caution in ahead if caution.title not in said)
    return DayWeather(weather=today, cautions=now, tomorrow=news)


def _flocks(batches: Iterable[BatchDay], on: date) -> list[Flock]:
    return [
        Flock(
            name=batch.name,
            age_days=(on - batch.hatch_on).days,
            outdoors=batch.leaves_brooder_on <= on,
        )
        for batch in batches
        if batch.birds and batch.hatch_on <= on <= batch.processing_on
    ]


def _in_wind(pens: Iterable[PenDay], known: dict[int, Pen], weather: Weather) -> list[PenInWind]:
    """Return the pens that stand outdoors; nothing is worked out where no gust is told."""
    if weather.gust_m_s is None:
        return []
    return [_pen_in_wind(known[pen.id], pen) for pen in pens if pen.standing]


def _pen_in_wind(pen: Pen, day: PenDay) -> PenInWind:
    if pen.design is None:
        return PenInWind(name=pen.name, mass_kg=pen.mass_kg)
    built = pen_of(choices_of(pen.design))
    inside = pen.design.standing == "inside" and day.standing.place.is_walled
    return PenInWind(
        name=pen.name,
        moves_at_m_s=wind_on(built, walled=inside).moves_at_m_s,
        mass_kg=built.mass.total_kg,
    )
