"""What droppings of the two years before the last still give the crops of each bed.

That changes with the day and hardly with anything else, so it is kept for the day: a page then reads only
how many such stays there are. A record of a batch that old which is changed today counts from tomorrow.
"""

from collections.abc import Mapping
from datetime import date, timedelta

from django.core.cache import cache as kept
from django.db.models import Count, IntegerField, QuerySet, Subquery
from django.db.models.functions import Coalesce

from garden.models import Bed, Garden
from garden.nutrients import YEAR_DAYS, carried_over_g
from rotation.models import Stay
from rotation.stays_dropped import droppings_by_bed

YEARS = 3
"""Years for which droppings feed crops, the first included."""
LIKELY = 0.5
"""Old droppings count as they likely were: their release is known less well than their mass. Our choice."""
KEPT_SECONDS = 2 * 24 * 3600
"""Longer than any day for which it is asked. Our choice. [s]"""


def old_stays(garden: Garden, on: date) -> QuerySet[Stay]:
    """Return the stays on beds that ended one to three years before a day."""
    first_day = on - timedelta(days=YEARS * YEAR_DAYS)
    last_day = on - timedelta(days=YEAR_DAYS)
    stays = Stay.objects.of(garden).exclude(bed=None)
    return stays.filter(end_day__gt=first_day + timedelta(days=1)).filter(
        end_day__lte=last_day + timedelta(days=1)
    )


def with_old_stays(beds: QuerySet[Bed], garden: Garden, on: date) -> QuerySet[Bed]:
    """Annotate beds with the number of such stays in the whole garden, `old_stays`."""
    counted = old_stays(garden, on).order_by().values("pen__garden").annotate(n=Count("pk"))
    found = Coalesce(Subquery(counted.values("n")), 0, output_field=IntegerField())
    return beds.annotate(old_stays=found)


def earlier_release_g(garden: Garden, on: date, stays: int) -> Mapping[int, float]:
    """Return the nitrogen that crops can use this year out of droppings of earlier ones [g].

    Parameters
    ----------
    stays : int
        How many `old_stays` there are, as `with_old_stays` counted them: without any nothing is read.

    Returns
    -------
    mapping of int to float
        By the bed's id; nothing for beds without such droppings. Three queries once a day.
    """
    if not stays:
        return {}
    policy = garden.nitrogen_rules()
    key = f"earlier-years-{garden.pk}-{on}-{stays}-{policy.kept_share:.3f}"
    found = kept.get(key)
    if found is None:
        stays_then = old_stays(garden, on).select_related("batch")
        found = {
            bed_id: carried_over_g(dropped, on, policy)
            for bed_id, dropped in droppings_by_bed(stays_then, garden, on, LIKELY).items()
        }
        kept.set(key, found, KEPT_SECONDS)
    return found
