"""Why a bed or a pen is still needed: what this floor answers before one is given up."""

from collections.abc import Iterator
from datetime import date

from django.db import models

from flocks.models import Batch
from garden.giving_up import ask_before_giving_up
from garden.models import Bed
from garden.words import gettext as _
from pens.models import Pen
from rotation.models import Stay


@ask_before_giving_up
def pens_standing(row: models.Model, on: date) -> Iterator[str]:
    """Name the pens that stand on a bed."""
    if isinstance(row, Bed):
        for stay in Stay.objects.standing().filter(bed=row).select_related("pen"):
            yield _("{pen} stands on {row}. Move it first.").format(pen=stay.pen, row=row)


@ask_before_giving_up
def birds_living(row: models.Model, on: date) -> Iterator[str]:
    """Name the batches that live, or will live, in a pen."""
    if isinstance(row, Pen):
        for batch in Batch.objects.unfinished().filter(shares__pen=row):
            yield _("{row} belongs to {batch} until it is finished.").format(row=row, batch=batch)
