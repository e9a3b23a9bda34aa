"""Every page speaks the reader's language, and says the same in it."""

import re
from collections import Counter, deque
from html.parser import HTMLParser
from itertools import zip_longest

import pytest
from django.core import mail
from django.test import Client
from django.urls import Resolver404, resolve

from garden.catalogues import FLOORS, TRANSLATED, faults
from garden.languages import language_of
from garden.models import Garden
from rotation.demo import demo_make
from tests.conftest import TODAY
from tests.factories import UserFactory
from tests.pseudo_language import bracket, read, written_by_people
from tests.stories.test_every_address import IN_GARDENS, OUTSIDE, rows_of, url

pytestmark = pytest.mark.django_db

PAGES_OF_A_KIND = 1
NO_WORDS_OF_OURS = {"metrics", "healthz", "readyz", "health"}


@pytest.fixture(autouse=True)
def _plans_take_no_time(settings) -> None:
    settings.PLAN_SECONDS = 0.0001


@pytest.mark.parametrize("language", TRANSLATED)
@pytest.mark.parametrize("floor", FLOORS)
def test_a_catalogue_says_all_that_the_source_says(floor, language):
    assert faults(floor, language) == []


class Links(HTMLParser):
    """Where a page leads."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        """Keep an address."""
        if tag == "a" and (address := dict(attributes).get("href")):
            self.found.append(address.partition("#")[0])


def pages_of(client: Client, start: str) -> dict[str, str]:
    """Follow every link, one page of a kind, and return the pages by address."""
    waiting, of_a_kind, pages = deque([start]), Counter(), {}
    while waiting:
        address = waiting.popleft()
        try:
            kind = resolve(address.partition("?")[0]).url_name
        except Resolver404:
            continue
        if address in pages or of_a_kind[kind] == PAGES_OF_A_KIND:
            continue
        answer = client.get(address)
        if not answer.get("Content-Type", "").startswith("text/html") or answer.status_code != 200:
            continue
        of_a_kind[kind] += 1
        pages[address] = answer.content.decode()
        links = Links()
        links.feed(pages[address])
        waiting.extend(link for link in links.found if link.startswith("/"))
    return pages


def in_language(client: Client, code: str) -> Client:
    """Let a browser ask for a language from now on."""
    client.cookies["language"] = code
    return client


def test_the_demo_is_the_same_in_another_language_and_all_of_it_is_translated(
    settings, monkeypatch
):
    settings.PRETEND_TODAY = TODAY
    user = UserFactory()
    garden = demo_make(user=user, on=TODAY)
    client = Client()
    client.force_login(user)
    bracket(monkeypatch)
    english = pages_of(client, f"/g/{garden.pk}/")
    other = pages_of(in_language(client, "es"), f"/g/{garden.pk}/")
    assert len(english) > 80
    assert_all_translated(other, written_by_people())
    assert english.keys() == other.keys()
    assert differences(english, other) == []


def differences(pages: dict[str, str], others: dict[str, str]) -> list[str]:
    """Tell the first place of each page whose tags, numbers for the machine or addresses became others."""
    data, told = written_by_people(), []
    for address, page in pages.items():
        both = [read(main_of(text), data).shape for text in (page, others[address])]
        pairs = zip_longest(*both, fillvalue="nothing")
        told += [f"{address}: {one} became {other}" for one, other in pairs if one != other][:1]
    return told


def test_no_page_or_form_of_any_kind_has_a_word_that_is_not_translated(garden, owner, monkeypatch):
    rows = rows_of(garden, owner.user)
    before = written_by_people()
    bracket(monkeypatch)
    in_language(owner, "es")
    pages = {}
    for address in [*IN_GARDENS, *OUTSIDE]:
        if address.name in NO_WORDS_OF_OURS:
            continue
        place = url(address, rows)
        for method, answer in (("GET", owner.get(place)), ("POST", owner.post(place, {}))):
            if answer.get("Content-Type", "").startswith("text/html") and not answer.streaming:
                pages[f"{method} {place}"] = answer.content.decode()
    assert len(pages) > 150
    assert_all_translated(pages, before)


def assert_all_translated(pages: dict[str, str], data: re.Pattern[str]) -> None:
    """Tell every word outside a translated text that nobody wrote into a row, by page."""
    told = []
    for address, page in pages.items():
        reader = read(page, data)
        if reader.outside or reader.depth:
            open_end = " (brackets unbalanced: a translated text was cut)" if reader.depth else ""
            told.append(f"{address}{open_end}: {' '.join(reader.outside)[:300]}")
    assert told == [], "\n".join(told)


def main_of(page: str) -> str:
    """Return the page's own part, without what is drawn by lot for each answer."""
    own = re.search(r"<main\b.*</main>", page, re.DOTALL)
    return re.sub(
        r"[A-Za-z0-9]{64}|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", "*", own[0] if own else page
    )


def test_a_browser_that_prefers_spanish_gets_it_without_asking():
    page = Client(headers={"accept-language": "es-MX,es;q=0.9,en;q=0.5"}).get("/accounts/login/")
    assert page["Content-Language"] == "es"
    assert '<html lang="es"' in page.content.decode()
    other = Client(headers={"accept-language": "en-US"}).get("/accounts/login/").content.decode()
    assert '<html lang="en-GB"' in other


def test_the_language_button_is_kept_in_the_browser_and_with_the_person(
    owner: Client, garden: Garden
):
    answer = owner.post("/language/", {"language": "es", "next": f"/g/{garden.pk}/"})
    assert answer["Location"] == f"/g/{garden.pk}/"
    assert '<html lang="es"' in owner.get(f"/g/{garden.pk}/").content.decode()
    assert language_of(owner.user) == "es"
    elsewhere = Client()
    owner.user.set_password("a long pass phrase")
    owner.user.save()
    elsewhere.post(
        "/accounts/login/", {"login": owner.user.username, "password": "a long pass phrase"}
    )
    assert elsewhere.cookies["language"].value == "es"


@pytest.mark.parametrize("nonsense", ["", "tlh", "../es", "es" * 500])
def test_a_language_that_is_none_changes_nothing(owner, nonsense):
    owner.post("/language/", {"language": nonsense, "next": "https://elsewhere.example/"})
    assert "language" not in owner.cookies
    assert language_of(owner.user) == "en-gb"


def test_a_new_account_keeps_the_language_it_was_made_in():
    client = in_language(Client(), "es")
    words = {"password1": "a long pass phrase", "password2": "a long pass phrase"}
    client.post("/accounts/signup/", {"username": "nueva", "email": "nueva@example.org", **words})
    from django.contrib.auth import get_user_model

    assert language_of(get_user_model().objects.get(username="nueva")) == "es"
    assert all("Tillfeather" in letter.from_email for letter in mail.outbox)
