"""What forms ask where birds would be processed inside a withdrawal time."""

from datetime import date

from django import forms

from flocks.models import Treatment
from flocks.withdrawal_guard import holding, in_words
from garden.words import gettext as _

WHY = "withdrawal_why"
LEAST_WHY = 10
"""Letters that a reason takes. A choice: a word is no reason."""


class AsksWithdrawal:
    """Mixed into a form about a batch: inside a withdrawal time it takes a reason, which is kept.

    The form calls `offer_reason` once it knows its batch, and `check_withdrawal` when it is cleaned.
    """

    day_name = "on"
    """The field that holds the day of processing."""

    def offer_reason(self, batch_id: int | None) -> None:
        """Ask for a reason where the batch has had a medicine with a wait; one query."""
        waits = Treatment.objects.filter(batch_id=batch_id, withdrawal_days__gt=0)
        if batch_id is not None and waits.exists():
            self.fields[WHY] = forms.CharField(
                label=_("Inside a withdrawal time: why all the same"),
                required=False,
                max_length=300,
                help_text=_(
                    "Leave it blank, and choose a later day. What stands here is kept with your name "
                    "and cannot be removed: say on whose word, such as your vet’s, and what becomes of "
                    "the meat."
                ),
            )

    def check_withdrawal(self, batch_id: int | None, on: date | None) -> str:
        """Refuse a day inside a wait that nobody gives a reason for; return the reason, if one is needed."""
        held = holding(batch_id, on) if on else []
        if not held:
            return ""
        why = (self.cleaned_data.get(WHY) or "").strip()
        if len(why) >= LEAST_WHY:
            return why
        self.add_error(self.day_name, in_words(held))
        if why:
            self.add_error(WHY, _("Say it in a few words: on whose word, and why."))
        return ""
