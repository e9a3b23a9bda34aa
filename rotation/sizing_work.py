"""Working off a claimed sizing: read the garden, search, keep what was found."""

import logging
from collections.abc import Callable
from time import monotonic

from django.db import DatabaseError

from garden.words import mark
from rotation.models import Sizing
from rotation.plan_work import BEAT_SECONDS, Ending
from rotation.season_sizing import SizingGround
from rotation.sizing_rows import result_row, wish_of
from rotation.sizing_runs import SizingLostError, sizing_alive, sizing_finish, sizing_release
from rotation.sizing_search import Asked, size_season
from rotation.working import Ended

logger = logging.getLogger(__name__)

NEVER_REACHED = mark("Such birds do not reach this weight in 150 days. Ask for a lower one.")
NO_PENS = mark("None of the pens asked for is in use any more.")


def sizing_work(sizing: Sizing, *, worker: str, beat: Callable[[], bool] = lambda: False) -> Ended:
    """Work off a claimed sizing; a fault is logged and it goes back to be tried again.

    Parameters
    ----------
    beat : callable, optional
        Called about once a second; True ends the search and gives the claim back.
    """
    try:
        sizing_finish(sizing, worker, **_found(sizing, worker, beat))
    except SizingLostError:
        logger.info("sizing garden %s is no longer this worker's", sizing.garden_id)
        return Ended.LOST
    except Ending:
        sizing_release(sizing, worker, tried=False)
        return Ended.HANDED_BACK
    except DatabaseError:
        raise
    except Exception:
        logger.exception("could not size the season of garden %s", sizing.garden_id)
        sizing_release(sizing, worker, tried=True)
        return Ended.FAILED
    return Ended.DONE


def _found(sizing: Sizing, worker: str, beat: Callable[[], bool]) -> dict[str, object]:
    garden = sizing.garden
    ground = SizingGround(garden, garden.today(), wish_of(sizing.wish))
    if ground.bird is None:
        return {"fault": NEVER_REACHED}
    if not ground.pens:
        return {"fault": NO_PENS}
    asked = Asked(
        bird=ground.bird,
        setting=ground.setting,
        looser=ground.looser(),
        seconds=sizing.seconds_allowed,
        off_days_a_batch=ground.wish.off_days_a_batch,
    )
    sized = size_season(asked, _Teller(sizing, worker, beat))
    return {"result": result_row(sized, ground.bird), "sized_on": ground.on}


class _Teller:
    """Says about once a second how far the search is, and whether it is to end."""

    def __init__(self, sizing: Sizing, worker: str, beat: Callable[[], bool]) -> None:
        self.sizing, self.worker, self.beat = sizing, worker, beat
        self._next = 0.0

    def __call__(self, share_done: float, doing: str) -> bool:
        if monotonic() < self._next:
            return False
        if self.beat():
            raise Ending
        ended = sizing_alive(self.sizing, self.worker, share_done, doing)
        self._next = monotonic() + BEAT_SECONDS
        return ended
