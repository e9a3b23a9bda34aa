"""Catalogues of messages: gathered from the source, compared with it, and compiled.

Every floor keeps its own in ``locale/`` and holds the words of its modules and of its templates.
"""

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

from babel.messages import Catalog, Message
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.conf import settings
from django.utils.translation.template import templatize

FLOORS = ("garden", "pens", "flocks", "rotation")
TRANSLATED = ("es",)
KEYWORDS: dict[str, tuple[object, ...] | None] = {
    "_": None,
    "gettext": None,
    "gettext_lazy": None,
    "gettext_noop": None,
    "mark": None,
    "ngettext": (1, 2),
    "ngettext_lazy": (1, 2),
    "pgettext": ((1, "c"), 2),
    "pgettext_lazy": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
}
"""What marks a message, and which of its arguments are the message."""
TABLES = {
    "garden/reference/crops.csv": ("name", "note"),
    "garden/reference/compost_materials.csv": ("name",),
}
"""Columns of reference tables that people read."""
_SLOT = re.compile(r"%\(\w+\)s|\{\w*[^{}]*\}|</?\w+")
"""What a translation must keep: places for values, and the tags of a page."""


def catalogue_path(floor: str, language: str) -> Path:
    """Return where a floor's catalogue lies."""
    return settings.BASE_DIR / floor / "locale" / language / "LC_MESSAGES" / "django.po"


def _sources(floor: str) -> Iterator[Path]:
    modules = (settings.BASE_DIR / floor).rglob("*.py")
    yield from sorted(path for path in modules if "migrations" not in path.parts)
    for path in sorted((settings.BASE_DIR / "templates").rglob("*.*")):
        within = path.relative_to(settings.BASE_DIR / "templates").parts[0]
        if (within if within in FLOORS else "garden") == floor:
            yield path


def gathered(floor: str) -> Catalog:
    """Gather every message that a floor's modules and templates mark.

    Returns
    -------
    Catalog
        Without translations; each message with the files that say it.
    """
    found = Catalog(charset="utf-8")
    for path in _sources(floor):
        told = str(path.relative_to(settings.BASE_DIR))
        text = path.read_text()
        if path.suffix != ".py":
            # Python's reader stumbles over the page's own indentation.
            lines = templatize(text, origin=told).splitlines()
            text = "\n".join(line.lstrip() for line in lines)
        for _line, message, comments, context in extract(
            "python", io.BytesIO(text.encode()), KEYWORDS, ("For translators:",)
        ):
            found.add(message, locations=[(told, 0)], auto_comments=comments, context=context)
    for told, columns in TABLES.items():
        if told.startswith(f"{floor}/"):
            with (settings.BASE_DIR / told).open(encoding="utf-8", newline="") as file:
                words = [row[column] for row in csv.DictReader(file) for column in columns]
            for message in filter(None, words):
                found.add(message, locations=[(told, 0)])
    return found


def kept(floor: str, language: str) -> Catalog:
    """Read a floor's catalogue; an empty one where there is none yet."""
    path = catalogue_path(floor, language)
    if not path.exists():
        return Catalog(locale=language, project="Tillfeather", charset="utf-8", fuzzy=False)
    with path.open("rb") as file:
        return read_po(file, locale=language)


def bring_up_to_date(floor: str, language: str) -> None:
    """Write a floor's catalogue with every message of today's source, and with no other."""
    catalogue = kept(floor, language)
    catalogue.update(gathered(floor), no_fuzzy_matching=True, update_creation_date=False)
    catalogue.obsolete.clear()
    path = catalogue_path(floor, language)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_po(
            file, catalogue, width=110, sort_output=True, omit_header=False, include_lineno=False
        )


def compile_all() -> None:
    """Compile what changed since it was compiled last."""
    for floor in FLOORS:
        for language in TRANSLATED:
            source = catalogue_path(floor, language)
            compiled = source.with_suffix(".mo")
            if not source.exists():
                continue
            if compiled.exists() and compiled.stat().st_mtime >= source.stat().st_mtime:
                continue
            draft = compiled.with_suffix(".mo.new")
            with draft.open("wb") as file:
                write_mo(file, kept(floor, language))
            draft.replace(compiled)


def faults(floor: str, language: str) -> list[str]:
    """Tell what a catalogue lacks beside the source, in one line each.

    A message that is not in it, one that the source no longer says, one without a translation in each of
    its forms, and a translation that lost or made up a place for a value or a tag.
    """
    source = {_key(message): message for message in gathered(floor) if message.id}
    translated = {_key(message): message for message in kept(floor, language) if message.id}
    told = [f"not in the catalogue: {key}" for key in source.keys() - translated.keys()]
    told += [f"said nowhere: {key}" for key in translated.keys() - source.keys()]
    for key in source.keys() & translated.keys():
        told += _faults_of(translated[key])
    return sorted(told)


def _key(message: Message) -> tuple[object, str | None]:
    return message.id, message.context


def _faults_of(message: Message) -> Iterator[str]:
    said = message.id if isinstance(message.id, tuple) else (message.id,)
    forms = message.string if isinstance(message.string, tuple) else (message.string,)
    if message.fuzzy or not all(forms):
        yield f"not translated: {said[0]}"
        return
    wanted = sorted(_SLOT.findall(said[-1]))
    if sorted(_SLOT.findall(forms[-1])) != wanted:
        yield f"other places or tags: {said[-1]} → {forms[-1]}"
