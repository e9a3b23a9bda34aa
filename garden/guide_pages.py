"""The guide's pages and the search through them: short texts in templates, nothing in the database."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from django.template.loader import render_to_string
from django.utils.html import strip_tags
from django.utils.translation import get_language

from garden.words import gettext as _
from garden.words import mark

BEFORE, AFTER = 60, 140
"""Letters told before and after the first word found. Our choice."""
MOST_LETTERS = 80
"""Letters of a question that are looked at. Our choice."""


@dataclass(frozen=True, slots=True)
class GuidePage:
    """One page: its name in addresses, its heading, and what it answers."""

    slug: str
    title: str
    answers: str

    @property
    def heading(self) -> str:
        """Return title and answers as one text."""
        return f"{_(self.title)}. {_(self.answers)}."

    @property
    def template(self) -> str:
        """Return where its text lies."""
        return f"guide/text/{self.slug}.html"


PAGES = (
    GuidePage(
        "morning", mark("The morning"), mark("What to do from the phone, in the order of doing it")
    ),
    GuidePage(
        "beds",
        mark("Beds and the map"),
        mark("Sizes, places, turning a bed, what the patterns mean"),
    ),
    GuidePage(
        "birds", mark("A batch of birds"), mark("From chicks to processing: what to log and why")
    ),
    GuidePage("plan", mark("The plan"), mark("Where pens go, why, and how to change it")),
    GuidePage("food", mark("Droppings and food"), mark("When a bed may be harvested after birds")),
    GuidePage(
        "weather",
        mark("Weather and daylight"),
        mark("Heat, cold nights, frost, wind, sunrise and sunset"),
    ),
    GuidePage("pens", mark("Building a pen"), mark("Size, cut list, boards, weight")),
    GuidePage(
        "figures",
        mark("Where figures come from"),
        mark("What “Why?” opens, and how sure a figure is"),
    ),
)
BY_SLUG = {page.slug: page for page in PAGES}


@dataclass(frozen=True, slots=True)
class Found:
    """A page that answers a question, and the words about the place found."""

    page: GuidePage
    excerpt: str


def text_of(slug: str) -> str:
    """Return a page's plain text, its heading first."""
    return _text_of(slug, get_language())


@cache
def _text_of(slug: str, _language: str) -> str:
    page = BY_SLUG[slug]
    plain = strip_tags(render_to_string(page.template).replace("<", " <"))
    return re.sub(r"\s+", " ", f"{page.heading} {plain}").strip()


def search(asked: str) -> list[Found]:
    """Return the pages that hold every word asked for, those with it in their heading first.

    Words are compared by their beginnings, whatever their case: ``harvest`` finds ``Harvests``.
    """
    words = re.findall(r"[\w’']+", asked[:MOST_LETTERS].casefold())
    if not words:
        return []
    found = [page for page in PAGES if all(_begins(word, text_of(page.slug)) for word in words)]
    in_heading = sorted(found, key=lambda page: not _all_in(words, page.heading))
    return [Found(page, _excerpt(words, text_of(page.slug))) for page in in_heading]


def _begins(word: str, text: str) -> re.Match[str] | None:
    return re.search(rf"\b{re.escape(word)}", text.casefold())


def _all_in(words: Iterable[str], text: str) -> bool:
    return all(_begins(word, text) for word in words)


def _excerpt(words: list[str], text: str) -> str:
    places = [match.start() for word in words if (match := _begins(word, text))]
    start = max(0, min(places, default=0) - BEFORE)
    part = text[start : start + BEFORE + AFTER]
    if start:
        part = "… " + part.partition(" ")[2]
    if start + BEFORE + AFTER < len(text):
        part = part.rpartition(" ")[0] + " …"
    return part
