"""How often work is begun, and how long it rests in between."""

from datetime import timedelta
from typing import Any

from django_tasks import TaskResultStatus

from garden.clock import now

MOST_TRIES = 3
"""How often a task is begun before it is given up, so that no worker dies on one for ever. Our choice."""
FIRST_PAUSE_SECONDS = 2.0
"""Pause before the second try; each later one is twice as long. Our choice."""


def pause(tries: int) -> timedelta:
    """Return how long a task rests after so many tries, >= 1."""
    return timedelta(seconds=FIRST_PAUSE_SECONDS * 2 ** (tries - 1))


def again(worker_ids: list[str], fault: str = "") -> dict[str, Any]:
    """Return what becomes of a task that failed or lost its worker: another try, or the end."""
    if len(worker_ids) < MOST_TRIES:
        return {"status": TaskResultStatus.READY, "run_after": now() + pause(len(worker_ids))}
    ended = {"status": TaskResultStatus.FAILED, "finished_at": now()}
    return ended | {"exception_class_path": fault, "traceback": ""}
