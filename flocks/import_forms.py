"""The form that takes a table of weights: a file, or pasted text."""

from typing import Any

from flocks.models import Batch
from flocks.weights_import import WeightTable, weights_table
from garden.table_forms import TableForm
from garden.words import gettext as _


class WeightsImportForm(TableForm):
    """A table of weights; `table` holds its rows."""

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.batch = batch
        self.table: WeightTable | None = None
        self.fields["text"].help_text = _(
            "First a row of headings: day and weight, or day, birds and mean."
        )

    def read_table(self, text: str) -> None:
        """Read it with the days and the units of the batch's garden."""
        garden = self.batch.garden
        self.table = weights_table(
            text,
            system=garden.unit_system,
            hatch_on=self.batch.hatch_on,
            today=garden.today(),
        )
