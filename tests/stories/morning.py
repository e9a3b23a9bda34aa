"""The morning that the stories of Today share: one batch, one pen, two beds, and a plan."""

from datetime import date, timedelta
from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from garden.models import Bed, Garden
from pens.models import Pen
from rotation.day_sheet import place_key
from rotation.models import PlannedStay, Stay
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    StayFactory,
    WeighingFactory,
)

HTMX = {"HX-Request": "true"}
OFFSET_MM = 15.0
"""Where a pen of 1,170 mm stands on a bed of 1,200 mm: in its middle."""


def day(number: int) -> date:
    """Return a day counted from today."""
    return TODAY + timedelta(days=number)


def small_bed(garden: Garden, name: str, **changes: Any) -> Bed:
    """Make a bed that holds one pen, so that its places have no numbers."""
    return BedFactory(garden=garden, name=name, length_mm=1200, width_mm=1200, **changes)


class Morning:
    """Batch 12 in Pen A on Bed 1; the plan moves it to Bed 2, four metres away, today."""

    def __init__(self, garden: Garden) -> None:
        self.garden = garden
        self.bed_1 = small_bed(garden, "Bed 1", x_m=0, y_m=0)
        self.bed_2 = small_bed(garden, "Bed 2", x_m=4, y_m=0)
        self.pen = PenFactory(garden=garden, name="Pen A")
        self.batch = BatchFactory(garden=garden, name="Batch 12")
        BatchPenFactory(batch=self.batch, pen=self.pen)
        WeighingFactory(batch=self.batch, on=day(-1))
        self.stay = self.stands(self.pen, self.bed_1, day(-2))
        self.plan = PlanFactory(garden=garden, from_day=TODAY)

    def stands(self, pen: Pen, bed: Bed, since: date) -> Stay:
        """Put a pen with the batch's birds on a bed."""
        return StayFactory(
            pen=pen,
            batch=self.batch,
            bed=bed,
            offset_mm=OFFSET_MM,
            stretch_mm=1170,
            first_day=since,
        )

    def plans(self, bed: Bed | None, first: int = 0, end: int = 2, **changes: Any) -> PlannedStay:
        """Plan the pen onto a bed, or off the beds, from a day to a day counted from today."""
        return PlannedStayFactory(
            plan=self.plan,
            pen=self.pen,
            batch=self.batch,
            bed=bed,
            offset_mm=OFFSET_MM if bed else 0,
            stretch_mm=1170 if bed else 0,
            first_day=day(first),
            end_day=day(end),
            **changes,
        )

    def address(self, name: str) -> str:
        """Return the address of something about the pen."""
        return reverse(name, args=[self.garden.pk, self.batch.pk, self.pen.pk])

    def done(
        self, client: Client, bed: Bed, *, seen: Stay | None = None, on: date = TODAY
    ) -> HttpResponse:
        """Tap Done: the pen stands on `bed` now; `seen` is the stay that the page showed."""
        sent = {"place": place_key(bed.pk, OFFSET_MM), "on": on.isoformat()}
        if seen:
            sent["seen"] = seen.pk
        return client.post(self.address("move_done"), sent, follow=True)


def page(client: Client, garden: Garden) -> str:
    """Return the page's text."""
    answer = client.get(reverse("today", args=[garden.pk]))
    assert answer.status_code == 200
    # As a reader sees it: a line break in the template is a space.
    return " ".join(answer.content.decode().split())


def tap(
    client: Client,
    garden: Garden,
    chore: str,
    mark: str = "done",
    *,
    headers: dict[str, str] | None = None,
    **more: str,
) -> HttpResponse:
    """Tap a chore."""
    sent = {"chore": chore, "mark": mark, **more}
    return client.post(reverse("chore_mark", args=[garden.pk]), sent, headers=headers)
