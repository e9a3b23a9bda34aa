"""Nonsense posted to every address: an answer that says what is wrong, nothing half saved, never a fault of ours.

A new address is taken up by itself: its fields are read from its own page. An address without a page says in
`POSTED_ONLY` what it takes.
"""

from dataclasses import dataclass, field
from html.parser import HTMLParser

import pytest
from django.apps import apps
from django.test import Client

from tests.conftest import TODAY
from tests.stories.test_every_address import IN_GARDENS, OUTSIDE, Address

pytestmark = pytest.mark.django_db

NONSENSE = (
    "",
    " ",
    "x" * 5_000,
    "9" * 5_000,
    "🐔🪱",
    "‮ديك‬",
    "a\x00b",
    "\ud800",
    "-1",
    "0",
    "1e308",
    "nan",
    "inf",
    "1,5",
    "1,500",
    "1/0",
    "44 1/4\"",
    "99999999999999999999",
    "0001-01-01",
    "9999-12-31",
    "2026-02-30",
    "2028-02-29",
    "<script>alert(1)</script>",
    "'; DROP TABLE garden_bed; --",
    "{{ 7 }}{% csrf_token %}",
    "//evil.example",
    "/\r\nSet-Cookie: a=b",
    "today",
    "http://[",
    "=1+1",
)  # fmt: skip

POSTED_ONLY = {
    "mode": {"mode": "dark", "next": "/"},
    "invite": {"role": "helper"},
    "withdraw": {},
    "member_role": {"role": "viewer"},
    "member_remove": {},
    "bed_retire": {},
    "pen_retire": {},
    "planting_remove": {},
    "weighing_remove": {"next": ""},
    "feed_remove": {"next": ""},
    "loss_remove": {"next": ""},
    "processing_remove": {"next": ""},
    "note_remove": {"next": ""},
    "chore_mark": {"chore": "water", "mark": "done", "feed_kg": "1.5", "then": "water"},
    "move_done": {"place": "off", "on": TODAY.isoformat(), "seen": "1"},
    "undo": {"next": ""},
    "plan_again": {},
    "join": {},
}
"""What the addresses take that have no page of their own, with a value that makes sense."""

TAKES_POSTS = [
    address
    for address in (*IN_GARDENS, *OUTSIDE)
    if address.name
    not in {
        "today", "beds", "bed", "batches", "batch", "batch_csv", "plan", "build", "cut", "people",
        "crops", "front", "gardens", "health",
    }
]  # fmt: skip


@dataclass
class FormReader(HTMLParser):
    """Reads what a page's form would send if it were sent as it stands."""

    sent: dict[str, list[str]] = field(default_factory=dict)
    _select: str = ""
    _area: str = ""

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a field's name and value."""
        has = dict(attrs)
        name = has.get("name") or ""
        if tag == "select":
            self._select = name
            self.sent.setdefault(name, [])
        elif tag == "option" and self._select and "selected" in has:
            self.sent[self._select].append(has.get("value") or "")
        elif tag == "textarea":
            self._area = name
            self.sent.setdefault(name, [])
        elif tag == "input" and name and name != "csrfmiddlewaretoken":
            values = self.sent.setdefault(name, [])
            if has.get("type") not in ("checkbox", "radio") or "checked" in has:
                values.append(has.get("value") or "")

    def handle_endtag(self, tag: str) -> None:
        """Leave a select or a text area."""
        if tag == "select":
            self._select = ""
        elif tag == "textarea":
            self._area = ""

    def handle_data(self, data: str) -> None:
        """Note what stands in a text area."""
        if self._area:
            self.sent[self._area].append(data.strip())


def sensible(client: Client, address: Address, place: str) -> dict[str, list[str]]:
    """Return what the address would be sent by somebody who changes nothing."""
    if address.name in POSTED_ONLY:
        return {name: [value] for name, value in POSTED_ONLY[address.name].items()}
    reader = FormReader()
    reader.feed(client.get(place).content.decode())
    assert reader.sent, f"{place} has no form, and no line in POSTED_ONLY"
    return reader.sent


def stored() -> list[object]:
    """Return every row of the product."""
    return [
        list(model.objects.order_by("pk").values_list())
        for app in ("garden", "pens", "flocks", "rotation")
        for model in apps.get_app_config(app).get_models()
    ]
