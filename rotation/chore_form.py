"""What a tap on a chore sends: which chore, what becomes of it, and the feed it told."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from flocks.models import BatchPen, FeedRecord
from garden.models import Garden
from garden.words import gettext as _
from rotation.chore_keys import FED, done_in_words
from rotation.move_form import LATE_LOG_DAYS


def day_tapped(on: date | None, garden: Garden) -> date:
    """Return the day of a tap, which may have waited on a phone; today where it is not told.

    Raises
    ------
    ValidationError
        For a day to come or long past.
    """
    today = garden.today()
    if not today - timedelta(days=LATE_LOG_DAYS) <= (on or today) <= today:
        raise ValidationError(
            _("That is not a day of the last {late_log_days} days.").format(
                late_log_days=LATE_LOG_DAYS
            )
        )
    return on or today


class ChoreForm(forms.Form):
    """One tap; `then` is the task after it. Nothing is typed, so a wrong value needs no page."""

    chore = forms.CharField(max_length=80)
    mark = forms.ChoiceField(choices=[("done", "Done"), ("later", "Later"), ("open", "Not done")])
    feed_kg = forms.FloatField(required=False)
    then = forms.CharField(max_length=80, required=False)
    on = forms.DateField(required=False)
    """The day it was tapped, which may be over when a phone had no signal; today where it is not told."""

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.garden = garden
        self.batch = self.pen = None

    def clean_chore(self) -> str:
        """Refuse a key that no chore of this garden has; find whom it feeds."""
        key = self.cleaned_data["chore"]
        if done_in_words(key) is None:
            raise ValidationError(_("There is no such chore."))
        if found := FED.fullmatch(key):
            self._find_birds(int(found["batch"]), found["pen"])
        return key

    def clean_on(self) -> date:
        """Take today for nothing, and refuse a day to come or long past."""
        return day_tapped(self.cleaned_data["on"], self.garden)

    def _find_birds(self, batch_id: int, pen: str) -> None:
        self.batch = self.garden.batches.unfinished().filter(pk=batch_id).first()
        if self.batch is None:
            raise ValidationError(_("There is no such batch."))
        if pen != "brooder":
            share = BatchPen.objects.filter(batch=self.batch, pen_id=int(pen)).first()
            if share is None:
                raise ValidationError(_("There is no such pen."))
            self.pen = share.pen

    def clean_feed_kg(self) -> float | None:
        """Hold the mass to what a feed record may be [kg]."""
        mass_kg = self.cleaned_data["feed_kg"]
        if mass_kg is not None:
            for validate in FeedRecord._meta.get_field("mass_kg").validators:
                validate(mass_kg)
        return mass_kg

    def clean(self) -> None:
        """A feeding that is done says how much."""
        done = self.cleaned_data.get("mark") == "done"
        if self.batch and done and self.cleaned_data.get("feed_kg") is None:
            raise ValidationError(_("Feed given needs a mass."))

    @property
    def gives_feed(self) -> bool:
        """Whether a valid form logs feed."""
        return self.batch is not None and self.cleaned_data["mark"] == "done"
