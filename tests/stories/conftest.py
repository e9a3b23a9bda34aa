"""Mornings that several stories begin with."""

from datetime import date

import pytest

from garden.models import Bed, Garden
from rotation.models import Stay
from tests.factories import BatchFactory, BatchPenFactory, BedFactory, PenFactory, StayFactory
from tests.stories.morning import Morning


@pytest.fixture
def morning(garden: Garden, settings) -> Morning:
    """Return a morning on which mending the plan after a tap takes no time."""
    settings.PLAN_SECONDS = 0.01
    return Morning(garden)


@pytest.fixture
def bed(garden: Garden) -> Bed:
    """Return a bed of 2 m²."""
    return BedFactory(garden=garden, name="Long bed", length_mm=2000, width_mm=1000)


@pytest.fixture
def stay(garden: Garden, bed: Bed) -> Stay:
    """Return ten birds, 23 days old, on the bed from 2 to 5 June."""
    batch = BatchFactory(garden=garden, name="Spring", chicks=10)
    pen = PenFactory(garden=garden, name="Green pen")
    BatchPenFactory(batch=batch, pen=pen)
    return StayFactory(
        pen=pen, batch=batch, bed=bed, first_day=date(2026, 6, 2), end_day=date(2026, 6, 5)
    )
