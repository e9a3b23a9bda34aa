"""What shuts the places of a day off the beds, told apart further than the engine can."""

from rotation.facts import GardenFacts
from rotation.ground import open_to_crops
from rotation.models import PlannedStay
from rotation.problems import NOW, SizeProblem


def with_true_reasons(row: PlannedStay, part: SizeProblem, facts: GardenFacts) -> PlannedStay:
    """Tell places shut by the grower, or by the rest after earlier stays, from places shut by a crop.

    The engine sees all three as days outside a window; only the beds' own facts know which it is.
    """
    shut = row.because.get("crop", 0)
    if not shut:
        return row
    places = [
        facts.beds[place.bed_id] for name, place in part.stretches.items() if not name.endswith(NOW)
    ]
    day = row.first_day
    open_by_crop = [bed for bed in places if open_to_crops(bed, facts.garden, part.horizon, day)]
    by_crop = min(shut, len(places) - len(open_by_crop))
    closed = min(shut - by_crop, sum(bed.is_closed(day) for bed in open_by_crop))
    counts = row.because | {
        "crop": by_crop,
        "closed": closed,
        "rest": row.because.get("rest", 0) + shut - by_crop - closed,
    }
    row.because = {reason: count for reason, count in counts.items() if count}
    return row
