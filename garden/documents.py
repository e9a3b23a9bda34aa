"""JSON documents that the engines read: strict, finite, and answered fault by fault.

PURE. A document is described by `pydantic` models; this module turns text into such a model or raises
`DocumentError` with one line per fault, each naming the field the way a reader would write it, for
example ``runs[2].nitrogen_g[4]: expected a number >= 0``.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any, NoReturn, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

MAX_FAULTS_TOLD = 50
"""Faults told before the rest is only counted, so that 5 MB of noise does not answer with 5 MB."""


MAX_BYTES = 16_000_000
"""The largest document that is read [byte]: JSON takes some twenty times its size in memory. Our choice."""


UNKNOWN_FIELD = "is not a field of this document"


class DocumentError(ValueError):
    """A document that cannot be used, with every fault as ``field: what was expected``."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.told()))

    def told(self) -> list[str]:
        """Return the lines to print, the surplus counted instead of listed."""
        lines = list(self.faults[:MAX_FAULTS_TOLD])
        surplus = len(self.faults) - MAX_FAULTS_TOLD
        if surplus > 0:
            lines.append(f"document: and {surplus} more faults")
        return lines


class Document(BaseModel):
    """Base of every part of a document: unknown fields, coercion, NaN and infinity are faults."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


Model = TypeVar("Model", bound=Document)


def read_document(raw: bytes | str, model: type[Model]) -> Model:
    """Read JSON text into `model`.

    Parameters
    ----------
    raw : bytes or str
        The document; bytes must be UTF-8.
    model : type of Document
        What is expected.

    Returns
    -------
    Document
        An instance of `model`.

    Raises
    ------
    DocumentError
        With one line per fault: too large, not JSON, not UTF-8, a repeated key, NaN, or any field that is
        missing, unknown, of the wrong type or out of its range.
    """
    if len(raw) > MAX_BYTES:
        raise DocumentError([f"document: expected at most {MAX_BYTES // 1_000_000} MB"])
    value = _parse(raw)
    if not isinstance(value, dict):
        raise DocumentError([f"document: expected an object, got {_kind(value)}"])
    unknown = [name for name in value if name not in model.model_fields]
    if len(unknown) > MAX_FAULTS_TOLD:
        # Noise: no other fault would be told, and telling each in full takes seconds.
        raise DocumentError(f"{name[:80]}: {UNKNOWN_FIELD}" for name in unknown)
    try:
        return model.model_validate(value)
    except ValidationError as error:
        faults = error.errors(include_url=False, include_input=False)
        raise DocumentError(_fault_line(fault) for fault in faults) from None


def _parse(raw: bytes | str) -> Any:
    try:
        text = raw.decode("utf-8-sig") if isinstance(raw, bytes) else raw
        return json.loads(text, parse_constant=_refuse_constant, object_pairs_hook=_object_once)
    except UnicodeDecodeError as error:
        raise DocumentError([f"document: expected UTF-8 text, byte {error.start} is not"]) from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno} column {error.colno}"
        raise DocumentError([f"document: expected JSON, {error.msg.lower()} at {where}"]) from None
    except RecursionError:
        raise DocumentError(["document: expected less deeply nested JSON"]) from None
    except DocumentError:
        raise
    except ValueError:
        raise DocumentError(["document: expected numbers of a sensible length"]) from None


def _refuse_constant(name: str) -> NoReturn:
    raise DocumentError([f"document: expected finite numbers, got {name}"])


def _object_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    fields = dict(pairs)
    if len(fields) < len(pairs):
        counts = Counter(name for name, _ in pairs)
        twice = next(name for name, count in counts.items() if count > 1)
        raise DocumentError([f"{twice[:80]}: expected once in its object, got it twice"])
    return fields


def field_path(location: Iterable[str | int]) -> str:
    """Write a location such as ``("runs", 2, "nitrogen_g")`` as ``runs[2].nitrogen_g``."""
    path = ""
    for part in location:
        if isinstance(part, int):
            path += f"[{part}]"
        else:
            path += f".{part[:80]}" if path else part[:80]
    return path or "document"


_EXPECTATIONS: dict[str, Callable[[dict[str, Any]], str]] = {
    "missing": lambda _: "is missing",
    "extra_forbidden": lambda _: UNKNOWN_FIELD,
    "finite_number": lambda _: "expected a finite number",
    "greater_than": lambda c: f"expected a number > {c['gt']:g}",
    "greater_than_equal": lambda c: f"expected a number >= {c['ge']:g}",
    "less_than": lambda c: f"expected a number < {c['lt']:g}",
    "less_than_equal": lambda c: f"expected a number <= {c['le']:g}",
    "too_short": lambda c: f"expected at least {c['min_length']} entries",
    "too_long": lambda c: f"expected at most {c['max_length']} entries",
    "string_too_short": lambda c: f"expected at least {c['min_length']} characters",
    "string_too_long": lambda c: f"expected at most {c['max_length']} characters",
    "literal_error": lambda c: f"expected {c['expected']}",
    "int_type": lambda _: "expected a whole number",
    "int_from_float": lambda _: "expected a whole number",
    "float_type": lambda _: "expected a number",
    "string_type": lambda _: "expected text",
    "bool_type": lambda _: "expected true or false",
    "list_type": lambda _: "expected a list",
    "tuple_type": lambda _: "expected a list",
    "model_type": lambda _: "expected an object",
    "dict_type": lambda _: "expected an object",
}


def _fault_line(fault: dict[str, Any]) -> str:
    kind, context = fault["type"], fault.get("ctx", {})
    if kind == "value_error":
        expectation = str(context["error"])
    elif kind in _EXPECTATIONS:
        expectation = _EXPECTATIONS[kind](context)
    else:
        expectation = fault["msg"][:1].lower() + fault["msg"][1:]
    return f"{field_path(fault['loc'])}: {expectation}"


def _kind(value: Any) -> str:
    names = {list: "a list", str: "text", bool: "true or false", type(None): "null"}
    return names.get(type(value), "a number")
