"""The guide's pages and the search through them: short texts in templates, nothing in the database."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from django.template.loader import render_to_string
from django.utils.html import strip_tags

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
    def template(self) -> str:
        """Return where its text lies."""
        return f"guide/text/{self.slug}.html"


PAGES = (
    GuidePage("morning", "The morning", "What to do from the phone, in the order of doing it"),
    GuidePage("beds", "Beds and the map", "Sizes, places, turning a bed, what the patterns mean"),
    GuidePage("birds", "A batch of birds", "From chicks to processing: what to log and why"),
    GuidePage("plan", "The plan", "Where pens go, why, and how to change it"),
    GuidePage("food", "Droppings and food", "When a bed may be harvested after birds"),
    GuidePage(
        "weather", "Weather and daylight", "Heat, cold nights, frost, wind, sunrise and sunset"
    ),
    GuidePage("pens", "Building a pen", "Size, cut list, boards, weight"),
    GuidePage("figures", "Where figures come from", "What “Why?” opens, and how sure a figure is"),
)
BY_SLUG = {page.slug: page for page in PAGES}


@dataclass(frozen=True, slots=True)
class Found:
    """A page that answers a question, and the words about the place found."""

    page: GuidePage
    excerpt: str


@cache
def text_of(slug: str) -> str:
    """Return a page's plain text, its heading first."""
    page = BY_SLUG[slug]
    plain = strip_tags(render_to_string(page.template).replace("<", " <"))
    return re.sub(r"\s+", " ", f"{page.title}. {page.answers}. {plain}").strip()


def search(asked: str) -> list[Found]:
    """Return the pages that hold every word asked for, those with it in their heading first.

    Words are compared by their beginnings, whatever their case: ``harvest`` finds ``Harvests``.
    """
    words = re.findall(r"[\w’']+", asked[:MOST_LETTERS].casefold())
    if not words:
        return []
    found = [page for page in PAGES if all(_begins(word, text_of(page.slug)) for word in words)]
    in_heading = sorted(found, key=lambda page: not _all_in(words, f"{page.title} {page.answers}"))
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
