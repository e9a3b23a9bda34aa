"""What a label on a bed's wall says: its name, its last birds, the first safe harvest, where to look."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from garden.models import Bed
from garden.qr import qr_svg
from garden.words import gettext as _
from rotation.bed_records import BedRecord
from rotation.harvest_answers import HarvestAnswer, harvest_answers, safe_dates

MOST_CROPS = 3
"""Crops that a label has room for, those planted first. Our choice."""


@dataclass(frozen=True)
class LabelLine:
    """A crop, or a kind of crop, and from when it may be picked; None for never."""

    what: str
    picked_from: date | None


@dataclass(frozen=True)
class BedLabel:
    """One label."""

    bed: Bed
    last_bird_day: date | None
    birds_here: bool
    lines: tuple[LabelLine, ...]
    qr: SafeString
    url: str


def bed_label(record: BedRecord, url: str) -> BedLabel:
    """Return a bed's label as things stand on the record's day.

    Parameters
    ----------
    url : str
        Of the bed's page, for the QR code.
    """
    visits = record.fouled
    answers = harvest_answers(record.bed.plantings.all(), visits, record.garden, record.on)
    return BedLabel(
        bed=record.bed,
        last_bird_day=record.last_bird_day,
        birds_here=any(stay.end_day is None for stay in record.stays),
        lines=tuple(_crop_lines(answers[:MOST_CROPS]) or _bare_lines(record)),
        # The drawing is made of black squares only; no text of anybody's is in it.
        qr=mark_safe(qr_svg(url)),  # noqa: S308
        url=url,
    )


def _crop_lines(answers: Iterable[HarvestAnswer]) -> list[LabelLine]:
    return [LabelLine(answer.planting.crop.name, answer.picked_from) for answer in answers]


def _bare_lines(record: BedRecord) -> list[LabelLine]:
    found = safe_dates(record.fouled, record.garden, record.on)
    if found is None or not record.bed.grows_crops:
        return []
    return [
        LabelLine(_("What touches soil"), found[0]),
        LabelLine(_("What is held clear"), found[1]),
    ]
