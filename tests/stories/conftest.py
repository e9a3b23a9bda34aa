"""Mornings that several stories begin with."""

import pytest

from garden.models import Garden
from tests.stories.morning import Morning


@pytest.fixture
def morning(garden: Garden, settings) -> Morning:
    """Return a morning on which mending the plan after a tap takes no time."""
    settings.PLAN_SECONDS = 0.01
    return Morning(garden)
