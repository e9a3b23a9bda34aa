"""Rows that must not be written unasked, by whichever route.

A model's own `save` is passed by when rows come back from an archive or an undo step, and when many are written
at once. `pre_save` is sent for the first two; the query set here asks for the rest.
"""

from collections.abc import Iterable
from typing import Any

from django.db import models, transaction
from django.dispatch import Signal

written_together = Signal()
"""Sent with each `row` that is written other than by saving it, and `is_new`; a receiver refuses by raising."""


class AskedBeforeQuerySet(models.QuerySet):
    """Asks before rows are written many at a time."""

    def bulk_create(self, objs: Iterable[Any], *args: Any, **kwargs: Any) -> list[Any]:
        """Write new rows when none is refused."""
        objs = list(objs)
        for row in objs:
            written_together.send(self.model, row=row, is_new=True)
        return super().bulk_create(objs, *args, **kwargs)

    def bulk_update(self, objs: Iterable[Any], *args: Any, **kwargs: Any) -> int:
        """Write changed rows when none is refused."""
        objs = list(objs)
        for row in objs:
            written_together.send(self.model, row=row, is_new=False)
        return super().bulk_update(objs, *args, **kwargs)

    def update(self, **kwargs: Any) -> int:
        """Change rows, and take all of it back when one of them is refused."""
        with transaction.atomic():
            pks = list(self.values_list("pk", flat=True))
            changed = super().update(**kwargs)
            for row in self.model._default_manager.filter(pk__in=pks):
                written_together.send(self.model, row=row, is_new=True)
        return changed
