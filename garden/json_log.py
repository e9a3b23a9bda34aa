"""Log lines as JSON, one a line, with nothing in them that tells of a person.

A message's own words are kept only where this product wrote them, and their values are ids and counts. Of what
other packages say, only who said it and how bad it is: their texts carry addresses, hosts and rows. Of a fault,
its kind and the lines of code that led to it: its text may hold what somebody typed.
"""

import json
import logging
from datetime import UTC, datetime
from traceback import extract_tb
from typing import Any

from garden.log_secrets import NoSecrets

OWN = ("garden", "pens", "flocks", "rotation")
FIELDS = ("request_id", "method", "route", "garden", "status", "ms", "task")
"""What a line may carry besides, as `extra`."""
EVERY_ONE = ("garden.request_log", "rotation.task_worker")
"""Who writes a line for every request and task: for machines, not for somebody at a console."""
FRAMES = 12
"""Lines of code told of a fault, the innermost ones."""


class JsonLines(logging.Formatter):
    """Writes a record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        line: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
        }
        if record.name.split(".")[0] in OWN:
            line["event"] = record.getMessage()
        line |= {name: getattr(record, name) for name in FIELDS if hasattr(record, name)}
        if record.exc_info and record.exc_info[0]:
            line["fault"] = record.exc_info[0].__name__
            line["where"] = [
                f"{frame.filename.rpartition('site-packages/')[2]}:{frame.lineno} {frame.name}"
                for frame in extract_tb(record.exc_info[2])[-FRAMES:]
            ]
        return json.dumps(line, ensure_ascii=False)


def logging_settings(*, as_json: bool) -> dict[str, Any]:
    """Return Django's LOGGING: everything to the console, as JSON or as plain text."""
    console = {"class": "logging.StreamHandler", "filters": ["secrets"]}
    console |= {"formatter": "json"} if as_json else {}
    quiet = (
        ("django_tasks", "django_tasks_db")
        if as_json
        else ("django_tasks", "django_tasks_db", "garden.request_log", "rotation.task_worker")
    )
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"json": {"()": JsonLines}},
        "filters": {"secrets": {"()": NoSecrets}},
        "handlers": {"console": console},
        "root": {"handlers": ["console"], "level": "INFO"},
        # The queue's own package tells of every task's beginning and end; our workers do so themselves.
        "loggers": {name: {"level": "WARNING"} for name in quiet}
        # Django hangs a handler of plain text on its own loggers.
        | {"django": {"handlers": [], "level": "INFO", "propagate": True}},
    }
