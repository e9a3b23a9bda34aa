"""The short form of `tests.benchmarks.bad_inputs`: other inputs each day would find what one day's do not."""

import pytest

from tests.benchmarks.bad_inputs import bad_inputs
from tests.conftest import TODAY
from tests.stories.test_every_address import rows_of


@pytest.mark.django_db
def test_no_bad_input_is_a_fault_of_ours(garden, owner, settings):
    settings.PLAN_SECONDS = 0.0001
    statuses = bad_inputs(60, owner=owner, rows=rows_of(garden, owner.user), start=TODAY.day)
    assert statuses.total() >= 60
    assert max(statuses) < 500
