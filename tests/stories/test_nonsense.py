"""Nonsense posted to every address: told what is wrong, nothing half saved, never a fault of ours.

A new address is taken up by itself: its fields are read from its own page. An address without a page says in
`POSTED_ONLY` what it takes.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

import pytest
from django.apps import apps
from django.db import connection, transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.html import escape

from tests.conftest import TODAY
from tests.factories import BatchPenFactory, BedFactory, GardenFactory, PenFactory, PlantingFactory
from tests.stories.test_every_address import IN_GARDENS, OUTSIDE, Address, rows_of, url

pytestmark = pytest.mark.django_db

NONSENSE = (
    "",
    "x" * 5_000,
    "9" * 5_000,
    "🐔 ‮ديك‬",
    "a\x00b",
    "-1",
    "1e308",
    "nan",
    "1/0",
    "99999999999999999999",
    "0001-01-01",
    "9999-12-31",
    "2026-02-30",
    "<script>alert(1)</script>",
    "//evil.example",
    "/\r\nSet-Cookie: a=b",
    "today",
    "http://[",
)
"""What nobody means: too much, too little, not a number, no day, other people's pages."""
EACH_SPOILT = 4
"""Posts with every field spoilt, each by another kind of nonsense."""

POSTED_ONLY = {
    "mode": {"mode": "dark", "next": "/"},
    "language": {"language": "es", "next": "/"},
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
    "water_remove": {"next": ""},
    "processing_remove": {"next": ""},
    "note_remove": {"next": ""},
    "chore_mark": {"chore": "water", "mark": "done", "feed_kg": "1.5", "then": "water"},
    "move_done": {"place": "off", "on": TODAY.isoformat(), "seen": "1"},
    "undo": {"next": ""},
    "plan_again": {},
    "plan_enough": {},
    "what_if_try": {
        "changes": '[{"kind": "rule", "name": "rest_days", "value": 20}]',
        "name": "Shorter rest",
    },
    "export_ask": {"kind": "tables"},
    "export_stop": {},
    "what_if_drop": {},
    "what_if_accept": {},
    "stay_swap": {"swap": "1"},
    "pin_remove": {"from": ""},
    "closure_remove": {},
    "soil_test_remove": {},
    "spread_remove": {},
    "harvest_remove": {},
    "design_remove": {},
    "design_build": {},
    "design_tick": {"now": "hinge", "not": "latch"},
    "heap_input_remove": {},
    "heap_reading_remove": {},
    "heap_carried_remove": {},
    "heap_off_bed": {},
    "early_harvest_remove": {},
    "feed_product_retire": {},
    "feed_purchase_remove": {},
    "feed_count_remove": {},
    "treatment_remove": {},
    "arrival_remove": {},
    "feed_lot_remove": {},
    "cleaning_remove": {},
    "visitor_remove": {},
    "pack_remove": {},
    "pack_out_remove": {},
    "cost_remove": {},
    "hours_remove": {},
    "turn_remove": {},
    "hand_over_remove": {},
    "processing_day_remove": {},
    "processing_day_split": {},
    "photo_remove": {},
    "sizing_enough": {},
    "sizing_make": {"offer": "1"},
    "calendar_make": {},
    "calendar_revoke": {},
    "reminder": {"is_on": "on", "hour": "6"},
    "join": {},
    "own_delete": {"typed": ""},
}
"""What the addresses take that have no page of their own, with a value that makes sense."""

PRESSED = {
    "guide_pens": ({"add": ["pen"]}, {"add": ["planting"]}),
    "batch_new": ({}, {"look": ["1"]}),
}
"""The buttons of pages that have several."""

EVERYWHERE = (*IN_GARDENS, *OUTSIDE)
GETS = (200, 302, 404)
"""What an address that only takes looks may answer; the metrics are not there without their token."""
PARTS = 8
"""Tests to which the addresses are dealt, so that several processes share them; each makes its rows once."""


@dataclass
class FormReader(HTMLParser):
    """Reads what a page's form would send if it were sent as it stands."""

    sent: dict[str, list[str]] = field(default_factory=dict)
    typed: set[str] = field(default_factory=set)
    """The fields that take free text."""
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
            self.typed.add(name)
            self.sent.setdefault(name, [])
        elif tag == "input" and name and name != "csrfmiddlewaretoken":
            values = self.sent.setdefault(name, [])
            if has.get("type") == "text":
                self.typed.add(name)
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


def form_of(client: Client, address: Address, place: str) -> FormReader:
    """Return what the address would be sent by somebody who changes nothing."""
    reader = FormReader()
    if address.name in POSTED_ONLY:
        reader.sent = {name: [value] for name, value in POSTED_ONLY[address.name].items()}
    else:
        reader.feed(client.get(place).content.decode())
        assert reader.sent, f"{place} has no form, and no line in POSTED_ONLY"
    return reader


def spoilt(sent: dict[str, list[str]]) -> Iterator[dict[str, list[str]]]:
    """Yield what is sent with nothing, every field, one field spoilt, and with every field twice."""
    yield {}
    yield {name: [*values, *values] for name, values in sent.items()}
    for turn in range(EACH_SPOILT):
        yield {name: [_nonsense(turn + 5 * number)] for number, name in enumerate(sent)}
    for number, name in enumerate(sent):
        yield sent | {name: [_nonsense(7 * number + len(sent))]}


def _nonsense(number: int) -> str:
    return NONSENSE[number % len(NONSENSE)]


def kept(form: FormReader, pressed: dict[str, list[str]]) -> set[str]:
    """Return the fields whose text must still be there after the button was pressed."""
    planting = pressed.get("add") == ["planting"]
    return {name for name in form.typed if name.startswith("planted-") == planting}


def stored() -> list[object]:
    """Return every row of the product."""
    return [
        list(model.objects.order_by("pk").values_list())
        for app in ("garden", "pens", "flocks", "rotation")
        for model in apps.get_app_config(app).get_models()
    ]


class Writes:
    """Notes whether anything was sent to the database that could change a row."""

    def __init__(self) -> None:
        self.any = False

    def __call__(
        self, execute: Callable, sql: str, params: object, many: bool, context: dict
    ) -> object:
        """Look at a statement and let it pass."""
        self.any |= sql.lstrip().upper().startswith(("INSERT", "UPDATE", "DELETE", "REPLACE"))
        return execute(sql, params, many, context)


def posted(client: Client, place: str, sent: dict[str, list[str]]) -> HttpResponse:
    """Post, hold a refusal to changing nothing, and put everything back as it was."""
    writes = Writes()
    with transaction.atomic():
        with connection.execute_wrapper(writes):
            answer = client.post(place, sent)
        after = stored() if writes.any and answer.status_code >= 400 else None
        transaction.set_rollback(True)
    assert after is None or after == stored(), (
        f"{place} refuses {str(sent)[:300]} and changes a row"
    )
    return answer


@pytest.mark.parametrize("part", range(PARTS))
def test_nonsense_is_refused_and_changes_nothing(part, garden, owner, settings, caplog):
    settings.PLAN_SECONDS = 0.0001  # too short for anything but a first plan
    BedFactory(garden=garden)
    rows = rows_of(garden, owner.user)
    for address in EVERYWHERE[part::PARTS]:
        place = url(address, rows)
        if posted(owner, place, {}).status_code == 405:
            assert owner.get(place).status_code in GETS, f"{place} takes neither"
        else:
            _spoil(owner, address, place)
    assert "could not mend" not in caplog.text


def _spoil(owner: Client, address: Address, place: str) -> None:
    form = form_of(owner, address, place)
    for pressed in PRESSED.get(address.name, ({},)):
        for sent in spoilt(form.sent):
            answer = posted(owner, place, sent | pressed)
            told = f"{place} {pressed} answers {answer.status_code} to {str(sent)[:300]}"
            assert answer.status_code in (200, 204, 302, 403, 404, 422), told
            assert "evil" not in answer.headers.get("Location", ""), told
            if answer.status_code == 422 and address.name not in POSTED_ONLY:
                page = answer.content.decode()
                assert 'role="alert"' in page, told
                for name in kept(form, pressed) & sent.keys():
                    assert escape(sent[name][-1]) in page, f"{name} is not kept: {told}"


def rows_elsewhere() -> dict[str, int]:
    """Return the ids of somebody else's rows, by the field that might choose them."""
    garden = GardenFactory()
    planting = PlantingFactory(bed__garden=garden)
    pen = PenFactory(garden=garden)
    return {"pens": pen.pk, "pen": pen.pk, "crop": planting.crop.pk, "bed": planting.bed.pk}


@pytest.mark.parametrize(
    "name", ["planting_new", "guide_pens", "batch_new", "weighing_new", "processing_new"]
)
def test_rows_of_another_garden_cannot_be_chosen(name, garden, owner):
    """The choices name this garden's rows only, whatever a page was made to send."""
    batch = BatchPenFactory(batch__garden=garden).batch
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden))
    ids = {"bed_id": BedFactory(garden=garden).pk, "batch_id": batch.pk, "garden_id": garden.pk}
    address = next(address for address in EVERYWHERE if address.name == name)
    place = url(address, ids)
    sent = form_of(owner, address, place).sent
    chosen = {field: [str(pk)] for field, pk in rows_elsewhere().items() if field in sent}
    prefixed = {f"planted-{field}": [str(pk)] for field, pk in rows_elsewhere().items()}
    pressed = {"add": ["planting"]} if name == "guide_pens" else {}
    before = stored()
    answer = owner.post(place, sent | chosen | prefixed | pressed)
    assert answer.status_code == 422
    assert stored() == before


def test_an_id_longer_than_any_is_not_found(garden, owner, monkeypatch):
    plain = HttpResponse(status=404)  # drawing the page that says so takes longer than all else
    monkeypatch.setattr("garden.urls.handler404", lambda *_, **__: plain, raising=False)
    rows = rows_of(garden, owner.user)
    for address in IN_GARDENS:
        for name in address.ids - {"token", "chore", "on"}:
            for too_long in (2**63, 10**400):
                place = url(address, rows | {name: too_long})
                for ask in (owner.get, owner.post):
                    assert ask(place).status_code in (404, 405), place


@pytest.mark.parametrize(
    "query",
    [
        "plan/?from=9999-12-31", "plan/?from=0001-01-01", "plan/?from=%00", "plan/?from=x",
        "build/cut/?pen=%00", "build/cut/?pen=" + "9" * 5000, "build/cut/?pen=-1",
        "build/cut/?pieces=9999999999&stocks=-1", "build/cut/?more=pieces&pieces=%00",
        "build/cut/?pieces=1&stocks=1&piece-0-length_mm=1e308&kerf_mm=nan&trim_mm=inf",
        "build/choose/?birds=%00&mass_g=nan&by=x&doors=y", "build/choose/?birds=1e308",
        "build/designs/new/?length_mm=%00&width_mm=" + "9" * 5000 + "&birds=-1",
        "batches/new/?guide=%00", "people/?x=<script>",
    ],
)  # fmt: skip
def test_a_nonsense_query_is_answered(query, garden, owner):
    answer = owner.get(f"/g/{garden.pk}/{query}")
    assert answer.status_code in (200, 404, 422)


def test_a_form_from_another_site_is_refused(garden, owner):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(owner.user)
    assert browser.post(reverse("garden_settings", args=[garden.pk]), {}).status_code == 403
