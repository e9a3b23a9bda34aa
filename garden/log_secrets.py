"""Addresses that hold a secret are written to the log without it: whoever has one can use it."""

import logging
import re

SECRETS = re.compile(r"(/(?:join|calendar|letters|reset/key)/)[^\s/]+")
"""The address of a link, a calendar, a letter's stop and a new password; what follows is secret."""


class NoSecrets(logging.Filter):
    """Take the secrets out of a line before anything writes it."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Change the line where it must be; none is left out."""
        said = record.getMessage()
        told = SECRETS.sub(r"\1…", said)
        if told != said:
            record.msg, record.args = told, ()
        return True
