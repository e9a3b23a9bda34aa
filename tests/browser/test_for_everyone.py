"""Pages that everybody can use: accessibility rules, three modes, narrow screens, keyboard, no refusals."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from flocks.models import Batch
from tests.browser.conftest import DESK, PHONE, sign_in

PLACES = (
    "", "beds/", "beds/{bed}/", "beds/{bed}/windows/", "beds/{bed}/next-crop/", "beds/{bed}/label/",
    "beds/eat/", "beds/labels/", "batches/", "batches/{batch}/", "batches/new/", "plan/", "build/",
    "build/cut/", "settings/", "people/", "beds/crops/", "beds/new/", "build/pens/new/",
    "batches/{batch}/edit/", "batches/{batch}/weighings/new/", "beds/{bed}/plantings/new/",
    "beds/map/", "weather/", "weather/months/", "help/", "help/morning/", "today/chores/water/not-possible/",
    "batches/feed/", "batches/feed/new/", "batches/feed/shopping/", "batches/compare/",
    "batches/{batch}/ready/", "batches/{batch}/feeding/", "batches/{batch}/weighings/",
    "batches/{batch}/weighings/next/", "batches/{batch}/weighings/import/",
)  # fmt: skip
NARROWEST = {"width": 320, "height": 640}
ZOOMED = {"width": 640, "height": 400}
"""A desk's screen at 200 %."""


def addresses(page: Page, garden: object) -> list[str]:
    """Return the address of every kind of page of the garden in view."""
    root = page.url
    ids = {"bed": garden.beds.last().pk, "batch": Batch.objects.get().pk}
    return [root + place.format(**ids) for place in PLACES]


@pytest.mark.parametrize("mode", ["day", "dark", "sun"])
def test_axe_finds_nothing_on_any_page_in_any_mode(back_lot, open_page, size, mode):
    page = open_page(size)
    sign_in(page)
    page.context.add_cookies([{"name": "mode", "value": mode, "url": page.url}])
    found = []
    for address in addresses(page, back_lot):
        page.goto(address)
        page.wait_for_load_state("networkidle")
        for violation in Axe().run(page).response["violations"]:
            targets = [node["target"] for node in violation["nodes"][:3]]
            found.append(f"{address}: {violation['id']} {targets}")
    assert found == []


@pytest.mark.parametrize(
    "screen", [NARROWEST, PHONE, DESK, ZOOMED], ids=["320", "phone", "desk", "200 %"]
)
def test_nothing_scrolls_sideways_and_nothing_is_refused(back_lot, open_page, troubles, screen):
    page = open_page(screen)
    sign_in(page)
    wide = []
    for address in addresses(page, back_lot):
        page.goto(address)
        page.wait_for_load_state("networkidle")
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > screen["width"]:
            wide.append(f"{address}: {width}")
    assert wide == []
    assert troubles == []


def test_the_skip_link_comes_first_and_the_mode_is_kept(back_lot, open_page):
    page = open_page()
    sign_in(page)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page")).to_be_focused()
    page.get_by_role("button", name="Sun").click()
    assert page.evaluate("document.documentElement.dataset.mode") == "sun"
    page.reload()
    assert page.evaluate("document.documentElement.dataset.mode") == "sun"
    expect(page.get_by_role("button", name="Sun")).to_have_attribute("aria-pressed", "true")


def test_forced_colours_keep_the_drawings_and_what_is_pressed(back_lot, open_page):
    page = open_page(PHONE, forced_colors="active", reduced_motion="reduce")
    sign_in(page)
    page.goto(page.url + "beds/")
    pen = page.locator("svg.drawing rect.pen").first
    assert pen.evaluate("one => getComputedStyle(one).fill") == "rgb(255, 198, 41)"
    here = page.locator(".places a[aria-current]")
    assert here.evaluate("one => getComputedStyle(one).borderTopWidth") == "3px"


def test_nothing_moves_for_those_who_ask_for_stillness(back_lot, open_page):
    page = open_page(PHONE, reduced_motion="reduce")
    sign_in(page)
    page.get_by_role("button", name="Done").first.click()
    still = """() => [...document.querySelectorAll("*")].filter(
        (one) => getComputedStyle(one).animationName !== "none").length"""
    assert page.evaluate(still) == 0
