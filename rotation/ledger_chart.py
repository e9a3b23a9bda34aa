"""A bed's balance through a year as a chart: one element, with what is planned from today on."""

from datetime import date, timedelta

from django.utils.text import capfirst

from garden.charts import Axis, Band, Chart, Line
from garden.day_words import day_words
from garden.ledger import balance_by_day
from garden.npk import Element
from garden.units import NITROGEN
from garden.words import gettext as _
from rotation.bed_ledger import BedLedger
from rotation.calendar_letters import month_letter


def balance_chart(book: BedLedger, element: Element) -> Chart:
    """Return the balance of one element at the end of each day of the year shown."""
    days = balance_by_day(
        book.entries,
        element,
        first_day=book.first_day,
        end_day=book.end_day,
        kept_share=book.kept_share,
    )
    at = list(range(len(days)))
    system = book.garden.unit_system
    today = (book.on - book.first_day).days
    return Chart(
        key="balance",
        title=_("{element} in {bed}, {year}").format(
            element=capfirst(_(element)), bed=book.bed.name, year=book.first_day.year
        ),
        says=_says(days[-1].likely_g, days[0].likely_g, element, book),
        x_axis=Axis(""),
        y_axis=Axis("g"),
        x_end=len(days) - 1,
        x_step=1,
        series=(
            Band(
                _("Between"),
                "band-1",
                at,
                [day.low_g for day in days],
                [day.high_g for day in days],
            ),
            Line(_("Balance, likely"), "line-1", at, [day.likely_g for day in days]),
        ),
        write_x=lambda day: day_words(book.first_day + timedelta(days=int(day))),
        write_y=lambda grams: NITROGEN.show(grams, system),
        today=today if 0 <= today < len(days) else None,
        x_marks=tuple(_months(book.first_day)),
    )


def _months(first_day: date) -> list[tuple[float, str]]:
    starts = [date(first_day.year, month, 1) for month in range(1, 13)]
    return [((start - first_day).days, month_letter(start)) for start in starts]


def _says(end_g: float, start_g: float, element: Element, book: BedLedger) -> str:
    change_g = end_g - start_g
    grams = NITROGEN.show(abs(change_g), book.garden.unit_system)
    if abs(change_g) < 0.5:
        said = _("The {element} ends the year about where it began.")
    elif change_g > 0:
        said = _("The {element} rises by {grams} through the year.")
    else:
        said = _("The {element} falls by {grams} through the year.")
    return said.format(element=_(element), grams=grams)
