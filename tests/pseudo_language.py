"""A language in which every translated text is bracketed, and a reader of pages that finds what is not."""

import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth import get_user_model
from django.db import models
from django.utils import translation

from garden.catalogues import FLOORS
from pens.models import Pen
from rotation.models import Plan

OPEN, CLOSE = "⟦", "⟧"
SHOWN = (
    "title",
    "alt",
    "aria-label",
    "placeholder",
    "label",
    "content",
    "data-outbox",
    "data-label",
)
"""Attributes that people read or hear."""
NOT_READ = {"script", "style", "textarea", "cite", "code", "samp", "pre"}
"""Elements that hold no words of ours: titles of publications as published, what people typed, code."""
OF_A_FIGURE = {"family", "xref", "yref", "hovermode", "color", "fillcolor"}
"""What a figure names for the library that draws it."""
VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
_WORD = re.compile(r"[^\W\d_]{2,}")
UNITS = {
    "kg", "mg", "mm", "cm", "km", "ha", "kPa", "MJ", "kJ", "kW", "Wh", "ft", "in", "lb", "oz", "gal", "sq",
    "yd", "mph", "gr", "min", "NH", "pH", "kcal", "ppm", "cfu", "px", "dB", "USD", "EUR", "GBP", "CHF",
    "m²", "cm²", "ft²", "Tillfeather", "English", "Español", "CSV", "JSON", "iCalendar", "TOTP", "QR", "NPK",
    "ISO",
}  # fmt: skip
"""What is written alike in every language."""


def bracket(monkeypatch: pytest.MonkeyPatch) -> None:
    """Answer every translated text in brackets, in whatever language is asked for."""

    def told(text: str) -> str:
        return f"{OPEN}{text}{CLOSE}" if text else text

    trans = translation._trans
    monkeypatch.setattr(trans, "gettext", told)
    monkeypatch.setattr(trans, "pgettext", lambda _context, text: told(text))
    monkeypatch.setattr(trans, "ngettext", lambda one, many, n: told(one if n == 1 else many))
    monkeypatch.setattr(
        trans, "npgettext", lambda _context, one, many, n: told(one if n == 1 else many)
    )


def written_by_people() -> re.Pattern[str]:
    """Return what matches any text that stands in a row: names, notes, crops; longest first."""
    texts: set[str] = set()
    ours = [model for model in apps.get_models() if model._meta.app_label in FLOORS]
    for model in [*ours, get_user_model()]:
        fields = [
            field.attname
            for field in model._meta.concrete_fields
            if isinstance(field, (models.CharField, models.TextField)) and not field.choices
        ]
        for row in model._default_manager.values_list(*fields) if fields else ():
            texts.update(
                text.strip() for text in row if isinstance(text, str) and _WORD.search(text)
            )
    for pen in Pen.objects.all():
        texts.add(pen.name.split()[0])  # the board is too narrow for more
    for plan in Plan.objects.all():
        texts.update(_strings(plan.changes))  # said once, when it was planned, to whoever asked
    longest_first = sorted(texts, key=len, reverse=True)
    return re.compile(rf"(?<!\w)({'|'.join(map(re.escape, longest_first)) or '(?!)'})(?!\w)")


class PageReader(HTMLParser):
    """Reads a page; `outside` is what stands outside brackets, `shape` its tags and other attributes."""

    def __init__(self, data: re.Pattern[str]) -> None:
        super().__init__(convert_charrefs=True)
        self.data = data
        self.depth = 0
        self.outside: list[str] = []
        self.shape: list[str] = []
        self.within: list[str] = []
        self.kind = ""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        """Keep the tag, and look at the attributes that are read."""
        values = {name: value or "" for name, value in attributes}
        # Inside a message the order and number of tags may be another language's own.
        if not self.depth:
            rest = {
                name: value for name, value in values.items() if not self._read(tag, name, values)
            }
            self.shape.append(f"<{tag} {sorted(rest.items())}>")
        for name, value in values.items():
            typed = name == "value" and values.get("type", "text") == "text"
            if self._read(tag, name, values) and name != "lang" and not typed:
                self.outside += self._untranslated(value, whole=True)
        if tag not in VOID:
            # Time zones have names of their own.
            self.within.append("samp" if values.get("name") == "time_zone" else tag)
        self.kind = values.get("type", "") if tag == "script" else ""

    def handle_endtag(self, tag: str) -> None:
        """Leave an element, and whatever was not closed within it."""
        while tag in self.within or (tag == "select" and "samp" in self.within):
            if self.within.pop() in (tag, "samp"):
                break

    def handle_data(self, text: str) -> None:
        """Look at the text of an element."""
        if self.kind.endswith("json") and self.within[-1:] == ["script"]:
            self.outside += [
                word for said in _strings(json.loads(text)) for word in self._sentence(said)
            ]
        elif not NOT_READ.intersection(self.within):
            self.outside += self._untranslated(text)

    def _read(self, tag: str, name: str, values: dict[str, str]) -> bool:
        if tag == "html" and name == "lang":
            return True
        if name == "content":
            return values.get("name") == "description"
        if name == "value":
            return tag == "input" and values.get("type", "text") in ("submit", "button", "text")
        return name in SHOWN or name.endswith("-words")

    def _sentence(self, said: str) -> list[str]:
        words = self._untranslated(said, whole=True)
        return words if " " in said.strip() else []

    def _untranslated(self, text: str, *, whole: bool = False) -> list[str]:
        depth, left = (0 if whole else self.depth), []
        for character in text:
            depth += (character == OPEN) - (character == CLOSE)
            left.append(character if depth == 0 and character != CLOSE else " ")
        if not whole:
            self.depth = depth
        rest = self.data.sub(" ", "".join(left))
        return [word for word in _WORD.findall(rest) if word not in UNITS]


def _strings(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, str):
        yield from [value] if key not in OF_A_FIGURE else []
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from _strings(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from _strings(inner, key)


def read(page: str, data: re.Pattern[str]) -> PageReader:
    """Read a page as it was answered."""
    reader = PageReader(data)
    reader.feed(page)
    reader.close()
    return reader
