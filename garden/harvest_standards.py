"""The waits between birds and harvest that a garden may choose from, each with what it rests on.

PURE. A garden keeps its waits in days and nothing else; which standard they are follows from the
days, so that the two can never tell different stories.
"""

from dataclasses import dataclass
from enum import StrEnum

from garden.harvest_interval import DAYS_CLEAR, DAYS_TOUCHES, HarvestRule
from garden.provenance import Figure, Mark
from garden.words import gettext as _

LONGER_WAIT = Figure(
    value=365.0,
    unit="days from raw manure to harvest, whatever the crop",
    source="Cornell University, National GAPs Program, decision tree on soil amendments: at least one year, "
    "as the Leafy Greens Marketing Agreement requires",
    mark=Mark.PUBLISHED,
)


class Standard(StrEnum):
    """Whose waits a garden keeps."""

    ORGANIC = "organic"
    LONGER = "longer"
    OWN = "own"


@dataclass(frozen=True, slots=True)
class StandardWords:
    """A standard for a page: its name, one line for what it asks, one for what it rests on."""

    standard: Standard
    name: str
    asks: str
    rests_on: str


_LONGER_DAYS = int(LONGER_WAIT.value)

RULES = {
    Standard.ORGANIC: HarvestRule(),
    Standard.LONGER: HarvestRule(days_clear=_LONGER_DAYS, days_touches=_LONGER_DAYS),
}
"""The waits of the standards that are not the garden's own."""


def standards() -> tuple[StandardWords, ...]:
    """Return the standards in the reader's words."""
    return (
        StandardWords(
            Standard.ORGANIC,
            _("The organic rule: {touches} and {clear} days").format(
                touches=DAYS_TOUCHES, clear=DAYS_CLEAR
            ),
            _(
                "{touches} days for what touches soil or is splashed by it, {clear} for what is held clear; "
                "cooked crops wait like what touches."
            ).format(touches=DAYS_TOUCHES, clear=DAYS_CLEAR),
            _(
                "It binds certified organic growers in the United States (7 CFR 205.203(c)(1)) and is careful "
                "guidance for everybody else. Where local rules ask for more, they count."
            ),
        ),
        StandardWords(
            Standard.LONGER,
            _("A longer wait: {days} days for every crop").format(days=_LONGER_DAYS),
            _("A year between the last bird and the first harvest, whatever the crop."),
            _(
                "Leafy-greens growers are asked for it after raw manure (Cornell, National GAPs Program). "
                "Where local rules ask for more, they count."
            ),
        ),
        StandardWords(
            Standard.OWN,
            _("This garden’s own days"),
            _("The days set for this garden."),
            _("The garden’s own choice. Where local rules ask for more, they count."),
        ),
    )


def standard_of(rule: HarvestRule) -> Standard:
    """Return whose waits a rule's are."""
    return next((standard for standard, waits in RULES.items() if waits == rule), Standard.OWN)


def words_of(rule: HarvestRule) -> StandardWords:
    """Return what a page says of a rule's standard."""
    standard = standard_of(rule)
    return next(words for words in standards() if words.standard is standard)
