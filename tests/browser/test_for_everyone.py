"""Pages that everybody can use: accessibility rules, three modes, narrow screens, keyboard, no refusals."""

from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.test import Client
from playwright.sync_api import Page, expect

from flocks.models import Batch
from garden.models import Garden
from tests.browser.conftest import DESK, PHONE, sign_in
from tests.stories.test_every_address import IN_GARDENS, rows_of, url

PLACES = (
    "", "beds/", "beds/{bed}/", "beds/{bed}/windows/", "beds/{bed}/next-crop/", "beds/{bed}/label/",
    "beds/eat/", "beds/labels/", "batches/", "batches/{batch}/", "batches/new/", "plan/", "build/",
    "build/cut/", "settings/", "people/", "beds/crops/", "beds/new/", "build/pens/new/",
    "batches/{batch}/edit/", "batches/{batch}/weighings/new/", "beds/{bed}/plantings/new/",
    "beds/map/", "weather/", "weather/months/", "help/", "help/morning/", "today/chores/water/not-possible/",
    "batches/feed/", "batches/feed/new/", "batches/feed/shopping/", "batches/compare/",
    "batches/{batch}/ready/", "batches/{batch}/feeding/", "batches/{batch}/weighings/",
    "batches/{batch}/report/", "beds/{bed}/ledger/", "batches/{batch}/water/new/", "photos/",
    "batches/{batch}/weighings/next/", "batches/{batch}/weighings/import/",
)  # fmt: skip
MODES = ("day", "dark", "sun")
OF_A_PERSON = (
    "/gardens/", "/gardens/new/", "/accounts/2fa/", "/accounts/sessions/", "/accounts/email/",
    "/accounts/password/change/", "/accounts/logout/",
)  # fmt: skip
"""Pages that belong to no garden."""
NARROWEST = {"width": 320, "height": 640}
ZOOMED = {"width": 640, "height": 400}
"""A desk's screen at 200 %."""


def addresses(page: Page, garden: object) -> list[str]:
    """Return the address of every kind of page of the garden in view."""
    root = page.url
    ids = {"bed": garden.beds.last().pk, "batch": Batch.objects.get().pk}
    return [root + place.format(**ids) for place in PLACES]


def every_page(garden: Garden) -> list[str]:
    """Return every address of a garden that answers with a page, with one row of each kind to show."""
    olive = User.objects.get(username="olive")
    rows, client, pages = rows_of(garden, olive), Client(), []
    client.force_login(olive)
    for address in IN_GARDENS:
        answer = client.get(url(address, rows))
        is_html = answer.get("Content-Type", "").startswith("text/html")
        if answer.status_code == 200 and is_html and b"</html>" in answer.content:
            pages.append(url(address, rows))
    return pages


LOOK = """async (modes) => {
  const found = [];
  for (const mode of modes) {
    document.documentElement.dataset.mode = mode;
    // Other modes are other colours, and nothing else.
    const only = mode === modes[0] ? {} : {runOnly: ["color-contrast"]};
    const told = await axe.run(document, {resultTypes: ["violations"], ...only});
    for (const {id, nodes} of told.violations) {
      found.push(`${mode}: ${id} ${nodes.slice(0, 3).map((node) => node.target.join(" "))}`);
    }
  }
  return found;
}"""


def looked_at(page: Page, places: list[str]) -> list[str]:
    """Return what axe finds on pages, each in three modes."""
    source, found = Axe().axe_script, []
    for number, address in enumerate(places):
        # Every other page at a desk: the pages at both sizes are the same but for their columns.
        page.set_viewport_size((PHONE, DESK)[number % 2])
        page.goto(address)
        page.evaluate(source)
        found += [f"{address} {told}" for told in page.evaluate(LOOK, MODES)]
    return found


def test_axe_finds_nothing_on_any_page_in_any_mode(back_lot, open_page):
    page = open_page(reduced_motion="reduce")
    sign_in(page)
    places = [*every_page(back_lot), *OF_A_PERSON]
    assert len(places) > 90
    assert looked_at(page, places) == []


def test_nothing_scrolls_sideways_and_nothing_is_refused(back_lot, open_page, troubles):
    page = open_page(NARROWEST)
    sign_in(page)
    wide = []
    for address in addresses(page, back_lot):
        page.set_viewport_size(NARROWEST)
        page.goto(address)
        page.wait_for_load_state("networkidle")
        for screen in (NARROWEST, PHONE, ZOOMED, DESK):
            page.set_viewport_size(screen)
            width = page.evaluate("document.documentElement.scrollWidth")
            if width > screen["width"]:
                wide.append(f"{address} at {screen['width']}: {width}")
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


def test_a_morning_is_done_by_keyboard_alone(back_lot, open_page):
    page = open_page()
    sign_in(page)
    heading = page.locator("#now").inner_text()
    for _ in range(40):
        page.keyboard.press("Tab")
        at = page.evaluate("document.activeElement.matches('.now .button.main')")
        if at:
            break
    assert at, "Done is reached by Tab"
    outline = "getComputedStyle(document.activeElement).outlineWidth"
    assert page.evaluate(outline) == "3px"
    page.keyboard.press("Enter")
    expect(page.locator("#undo")).to_contain_text("moved to")
    expect(page.locator("#now")).not_to_have_text(heading)
    for key in (*["Tab"] * 12, "Enter"):
        page.keyboard.press(key)
        if page.evaluate("document.activeElement.innerText === 'Undo'"):
            page.keyboard.press("Enter")
            break
    expect(page.locator("#now")).to_have_text(heading)


def test_every_summary_and_link_on_today_can_be_reached_and_none_traps(back_lot, open_page):
    page = open_page(DESK)
    sign_in(page)
    count = page.evaluate(
        """[...document.querySelectorAll("a[href], button, summary, input, select, textarea")]
          .filter((one) => one.checkVisibility({visibilityProperty: true}))
          .filter((one) => !one.disabled && one.type !== "hidden").length"""
    )
    seen = []
    for _ in range(count + 5):
        page.keyboard.press("Tab")
        here = "{ const all = [...document.querySelectorAll('*')]; all.indexOf(document.activeElement) }"
        seen.append(page.evaluate(here))
    # Every one once, and then again from the top: no trap, nothing left out.
    assert len(set(seen)) >= count


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
