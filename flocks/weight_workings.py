"""What the expected weight of a batch rests on, as its page tells it when asked why."""

from dataclasses import dataclass
from datetime import date

from flocks.engine_rows import male_share, rest_of_flock
from flocks.forecasting import strain_of
from flocks.models import Batch
from flocks.own_birds import strain_in_words
from garden.day_words import day_words
from garden.words import gettext as _
from garden.words import ngettext


@dataclass(frozen=True)
class WeightWorkings:
    """Inputs of the workings “weight”, “sexes” and “parted”; the latter two may be empty."""

    weight: dict[str, str]
    sexes: dict[str, str]
    sexes_said: str
    parted: dict[str, str]
    parted_said: str


def weight_workings(batch: Batch, on: date) -> WeightWorkings:
    """Return the workings of a batch's weight on a day; no query where its records were loaded."""
    weighed = sorted(row.on for row in batch.weighing_set.all() if row.on <= on)
    name = strain_in_words(batch)
    weight = {"strain": name}
    if weighed:
        weight["weighed"] = ngettext(
            "once on {day}", "{n} times, the last on {day}", len(weighed)
        ).format(n=len(weighed), day=day_words(weighed[-1]))
    sexes, sexes_said = _sexes(batch, name)
    parted, parted_said = _parted(batch, on)
    return WeightWorkings(weight, sexes, sexes_said, parted, parted_said)


def _sexes(batch: Batch, strain: str) -> tuple[dict[str, str], str]:
    of_one = sum(1 for row in batch.weighing_set.all() if row.sex)
    if male_share(batch) is None and not of_one:
        return {}, ""
    males, said = _("nobody counted"), _("Weighed by sex.")
    if batch.males is not None:
        counts = {"males": batch.males, "chicks": batch.chicks}
        males = _("{males} of {chicks}").format(**counts)
        said = _("{males} of {chicks} are males.").format(**counts)
    return {"males": males, "strain": strain, "one_sex": str(of_one)}, said


def _parted(batch: Batch, on: date) -> tuple[dict[str, str], str]:
    rest = rest_of_flock(batch, on, strain_of(batch.strain).bird_cv)
    if not rest.steps:
        return {}, ""
    taken = sum(row.count for row in batch.processing_set.all() if row.heaviest and row.on <= on)
    lighter = f"{100 * (1 - rest.share):.0f} %"
    said = _(
        "The {taken} heaviest went: the rest is reckoned {lighter} lighter than the flock was."
    ).format(taken=taken, lighter=lighter)
    return {"taken": str(taken), "lighter": lighter}, said
