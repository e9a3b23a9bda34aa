"""The shopping list on a phone in a shop whose walls let no signal through, and the printed sheets."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from pens.models import Design, Got
from tests.browser.conftest import sign_in
from tests.factories import BedFactory, DesignFactory, MembershipFactory, UserFactory

OFFLINE = ("Failed to load resource", "net::ERR")


@pytest.fixture
def design(transactional_db: None) -> Design:
    """Return a design in Olive's garden."""
    garden = MembershipFactory(user=UserFactory(username="olive")).garden
    BedFactory(garden=garden, name="Bed 1")
    return DesignFactory(garden=garden, name="Long")


def keys() -> set[str]:
    """Return what the server holds as ticked."""
    return set(Got.objects.values_list("key", flat=True))


def place(design: Design, rest: str) -> str:
    return f"/g/{design.garden_id}/build/designs/{design.pk}/{rest}"


def test_ticks_without_signal_are_kept_and_sent_once_it_is_back(
    design: Design, open_page: Callable[..., Page], troubles: list[str]
):
    page = open_page()
    sign_in(page)
    page.goto(place(design, "shop/"))
    page.get_by_label("Hinges").check()
    expect(page.locator("[data-shop-told]")).to_have_text("")
    assert keys() == {"hinge"}

    page.context.set_offline(True)
    page.get_by_label("Hooks and eyes").check()
    page.get_by_label("Spring clips").check()
    page.get_by_label("Hinges").uncheck()
    expect(page.get_by_text("3 kept on this phone until there is signal.")).to_be_visible()
    assert keys() == {"hinge"}

    page.context.set_offline(False)
    expect(page.locator("[data-shop-told]")).to_have_text("")
    assert keys() == {"latch", "clip"}
    page.reload()
    expect(page.get_by_label("Hooks and eyes")).to_be_checked()
    expect(page.get_by_label("Hinges")).not_to_be_checked()
    assert [said for said in troubles if not any(word in said for word in OFFLINE)] == []
    troubles.clear()


def test_ticks_of_a_page_that_was_closed_are_sent_when_it_is_opened_again(
    design: Design, open_page: Callable[..., Page], troubles: list[str]
):
    page = open_page()
    sign_in(page)
    page.goto(place(design, "shop/"))
    page.context.set_offline(True)
    page.get_by_label("Hinges").check()
    expect(page.get_by_text("1 kept on this phone until there is signal.")).to_be_visible()
    page.close()

    again = page.context.new_page()
    page.context.set_offline(False)
    again.goto(place(design, "shop/"))
    expect(again.get_by_label("Hinges")).to_be_checked()
    expect(again.locator("[data-shop-told]")).to_have_text("")
    assert keys() == {"hinge"}
    troubles.clear()


def test_without_script_a_button_saves_the_ticks(design: Design, open_page: Callable[..., Page]):
    page = open_page(script=False)
    sign_in(page)
    page.goto(place(design, "shop/"))
    page.get_by_label("Hinges").check()
    page.get_by_role("button", name="Save the ticks").click()
    expect(page.get_by_label("Hinges")).to_be_checked()
    assert keys() == {"hinge"}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheets_go_on_paper(design: Design, open_page: Callable[..., Page], paper: str):
    page = open_page({"width": 1280, "height": 800})
    sign_in(page)
    page.goto(place(design, "print/"))
    page.emulate_media(media="print")
    # A page is 178 mm wide inside its margins: 96/25.4 px a millimetre.
    widths = page.eval_on_selector_all(
        ".sheet-drawing", "all => all.map(one => one.getBoundingClientRect().width)"
    )
    assert widths
    assert max(widths) <= 180 * 96 / 25.4
    plan = page.locator(".sheet-drawing").filter(has=page.locator(".bed-wall")).first
    told_mm = float(plan.get_attribute("width").removesuffix("mm"))
    assert abs(plan.bounding_box()["width"] - told_mm * 96 / 25.4) < 1
    pdf = page.pdf(format=paper)
    assert 5 <= pdf.count(b"/Type /Page\n") <= 20


@pytest.mark.parametrize("rest", ["", "steps/", "shop/", "prices/", "print/", "edit/"])
def test_a_page_of_a_design_is_no_wider_than_the_phone(
    design: Design, open_page: Callable[..., Page], troubles: list[str], rest: str
):
    page = open_page({"width": 320, "height": 640})
    sign_in(page)
    page.goto(place(design, rest))
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    assert troubles == []
