"""What stands in a cell of a table that a spreadsheet opens, and how it is read back.

PURE.
"""

import json
from datetime import date, datetime, time
from typing import Any

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""What a text begins with that a spreadsheet would run as a formula. OWASP, "CSV Injection"."""


def csv_cell(value: Any) -> str:
    """Write a value: days by ISO 8601, lists of numbers with spaces, a text like a formula with a quote."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, date | datetime | time):
        return value.isoformat()
    if isinstance(value, list) and all(isinstance(each, int | float) for each in value):
        return " ".join(f"{each:g}" for each in value)
    if isinstance(value, list | dict):
        return json.dumps(value, ensure_ascii=False, sort_keys=True)
    text = str(value)
    # A number that is not a text of somebody's own may begin with a minus.
    is_text = isinstance(value, str)
    return f"'{text}" if is_text and text.startswith(FORMULA_STARTS) else text


def csv_text(cell: str) -> str:
    """Return what a cell says, without the quote that `csv_cell` put before a formula."""
    text = cell.strip()
    return text[1:] if text.startswith("'") and text[1:].startswith(FORMULA_STARTS) else text
