"""Forecasts of finished batches, kept between requests and between processes.

What a finished batch dropped hangs on its records alone, and they hardly ever change. So its forecast as of
its last day is kept in the cache under everything that it was made from: the records, the strain and the code
and tables of the growth engine. Whatever of these changes, the forecast is made anew; nothing has to be thrown
away by hand.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache
from hashlib import sha256
from pathlib import Path

from django.core.cache import cache as kept

import flocks
from flocks.forecasting import BatchForecast, diet_of, forecast_of, strain_for
from flocks.headcount import departures
from flocks.models import Batch

KEPT_SECONDS = 400 * 24 * 3600
"""How long a forecast nobody asks for anew is kept: a bit over a year. Our choice. [s]"""


def forecasts_of(batches: Iterable[Batch], on: date) -> Mapping[int, BatchForecast]:
    """Return the forecast of each batch on a day by its id; a finished one as of its last day.

    Parameters
    ----------
    batches : iterable of Batch
        With their records loaded.
    on : date
        Records of later days are left out.
    """
    batches = list(batches)
    over = [batch for batch in batches if batch.finished_on and batch.finished_on <= on]
    keys = {batch.pk: _key(batch) for batch in over}
    known = kept.get_many(keys.values())
    found = {}
    for batch in batches:
        key = keys.get(batch.pk)
        if key is None:
            found[batch.pk] = forecast_of(batch, on)
        elif key in known:
            found[batch.pk] = known[key]
        else:
            found[batch.pk] = forecast_of(batch, batch.finished_on, is_over=True)
            kept.set(key, found[batch.pk], KEPT_SECONDS)
    return found


def forget(batches: Iterable[Batch]) -> None:
    """Throw away what is kept of batches whose garden is deleted."""
    kept.delete_many([_key(batch) for batch in batches])


def _key(batch: Batch) -> str:
    """Return a name for everything that the forecast of a finished batch is made from."""
    made_from = (
        _engine(),
        strain_for(batch),
        diet_of(batch.strain),
        (batch.hatch_on, batch.chicks, batch.finished_on),
        [
            (row.on, row.count, row.mean_g, row.weights_g, row.sex)
            for row in batch.weighing_set.all()
        ],
        [(row.on, row.mass_kg) for row in batch.feedrecord_set.all()],
        [(row.on, row.count, getattr(row, "heaviest", False)) for row in departures(batch)],
    )
    return f"forecast-{sha256(repr(made_from).encode()).hexdigest()}"


@cache
def _engine() -> str:
    """Return a name for the growth engine as it is: its code and its tables."""
    home = Path(flocks.__file__).parent
    files = sorted([*home.glob("*.py"), *(home / "reference").glob("*.csv")])
    return sha256(b"".join(file.read_bytes() for file in files)).hexdigest()
