"""What a thumb, a glance and a sheet of paper need: verdicts in view, large targets, focus, print."""

import re
from collections.abc import Callable
from datetime import timedelta

from playwright.sync_api import Page, expect

from flocks.models import WaterRecord
from garden.day_words import day_year_words
from garden.models import Garden
from tests.browser.conftest import PHONE, sign_in
from tests.browser.test_for_everyone import addresses
from tests.conftest import TODAY

LEAST_TAP_PX = 44
"""Height that a thumb hits. Success criterion 2.5.5 of WCAG 2.2."""

TOO_SMALL = """least => [...document.querySelectorAll(
  "button, a.button, a.tap, .places a, summary, select, label:has(> [type=radio]),"
  + "input:not([type=hidden], [type=checkbox], [type=radio])"
)].filter(e => e.checkVisibility() && e.getBoundingClientRect().height < least - 0.5)
  .map(e => `${e.tagName} ${e.innerText || e.name}`)"""

HIDDEN_BY_THE_EDGE = """() => {
  const board = document.querySelector(".board"), page = document.documentElement;
  return board.getBoundingClientRect().right - page.clientWidth;
}"""


def test_whether_a_batch_fits_stays_in_view_while_the_form_is_filled_in(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page(PHONE)
    sign_in(page)
    page.goto(f"/g/{back_lot.pk}/batches/new/")
    verdict = page.locator("#verdict")
    page.get_by_label("Chicks").fill("30")
    expect(verdict).to_contain_text("without a bed")
    page.get_by_label("Processing on").scroll_into_view_if_needed()
    expect(verdict).to_be_in_viewport()
    expect(page.locator("#cures li").first).to_be_visible(timeout=30_000)
    assert page.locator("#cures li").count() <= 5
    page.get_by_label("Live weight wanted").fill("heavy")
    expect(verdict).to_contain_text("something below is wrong")


def test_every_crop_has_its_harvest_day_two_taps_from_the_morning(
    back_lot: Garden, open_page: Callable[..., Page], script: bool
):
    page = open_page(PHONE, script=script)
    sign_in(page)
    page.get_by_role("link", name="Can I eat this?").click()
    expect(page.get_by_role("heading", name="Can I eat this?")).to_be_in_viewport()
    line = page.locator("#eat li").filter(has_text="Lettuce, leaf")
    expect(line).to_contain_text(re.compile("yes, now|once ripe|not before"))
    asked = TODAY + timedelta(days=41)
    page.get_by_label("On another day").fill(asked.isoformat())
    page.get_by_role("button", name="Ask for that day").click()
    expect(page.get_by_role("heading", name=f"On {day_year_words(asked)}")).to_be_visible()
    expect(line).to_contain_text("yes, on that day")


def test_after_a_tap_the_work_goes_on_where_the_eye_is(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page(PHONE)
    sign_in(page)
    # The move comes first; the chores below it are ticked off in place.
    tick = page.get_by_role("button", name=re.compile("^Done: ")).first
    told = tick.get_attribute("aria-label")
    tick.click()
    expect(page.get_by_role("button", name=told)).to_have_count(0)
    expect(page.locator("#said")).not_to_be_empty()
    assert page.evaluate("document.activeElement.closest('#day') !== null")


def test_nothing_to_tap_is_smaller_than_a_thumb(back_lot: Garden, open_page: Callable[..., Page]):
    page = open_page(PHONE)
    sign_in(page)
    small = []
    for address in addresses(page, back_lot):
        page.goto(address)
        small += [f"{address}: {found}" for found in page.evaluate(TOO_SMALL, LEAST_TAP_PX)]
    assert small == []


def test_on_paper_the_board_is_whole_and_every_move_is_told(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page({"width": 688, "height": 1000})  # A4 less its margins
    sign_in(page)
    page.goto(f"/g/{back_lot.pk}/plan/")
    assert page.evaluate(HIDDEN_BY_THE_EDGE) > 0, "on a screen the board scrolls"
    page.emulate_media(media="print")
    assert page.evaluate(HIDDEN_BY_THE_EDGE) <= 0
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    for move in page.locator("#moves li").all():
        expect(move).to_be_visible()


QUICK_MS = 100
"""Time that a page may be busy with a tap [ms]; when the answer is painted is not judged here."""
SLOWER_PHONE = 4
"""How much slower a phone's processor is than this machine's."""


def test_a_tap_on_done_keeps_the_page_busy_a_tenth_of_a_second_at_most_and_nothing_jumps(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page(PHONE)
    page.add_init_script(
        """self.slowest = 0; self.moved = 0;
        const watch = (type, see) => new PerformanceObserver((list) => list.getEntries().forEach(see))
          .observe({type, buffered: true, durationThreshold: 16});
        watch("event", (entry) => { if (entry.interactionId) {
          // Time of the page itself, not of a machine that does other things: what its handlers took.
          self.slowest = Math.max(self.slowest, entry.processingEnd - entry.processingStart); } });
        watch("layout-shift", (entry) => { if (!entry.hadRecentInput) self.moved += entry.value; });"""
    )
    sign_in(page)
    page.context.new_cdp_session(page).send(
        "Emulation.setCPUThrottlingRate", {"rate": SLOWER_PHONE}
    )
    done = page.get_by_role("button", name=re.compile("^Done: ")).first
    told = done.get_attribute("aria-label")
    done.click()
    expect(page.get_by_role("button", name=told)).to_have_count(0)
    assert page.evaluate("self.slowest") <= QUICK_MS
    assert page.evaluate("self.moved") == 0


def test_from_a_cold_link_the_move_is_done_by_one_tap(
    back_lot: Garden, open_page: Callable[..., Page], script: bool
):
    first = open_page(PHONE)
    sign_in(first)
    cookies = first.context.cookies()
    page = open_page(PHONE, script=script)
    page.context.add_cookies(cookies)
    page.goto("/")  # what the home screen's icon opens
    done = page.get_by_role("button", name="Done", exact=True)
    expect(done).to_be_in_viewport()
    done.click()
    expect(page.locator("#undo")).to_contain_text("moved to")


def test_what_birds_drank_is_logged_by_two_taps(
    back_lot: Garden, open_page: Callable[..., Page], script: bool
):
    page = open_page(PHONE, script=script)
    sign_in(page)
    page.locator(".quick summary", has_text="Water").click()
    expect(page.get_by_label("Water given (L)")).to_have_value(re.compile(r"^[\d.]+ L$"))
    page.get_by_role("button", name="Log the water").click()
    expect(page.locator("#undo")).to_contain_text("of water")
    assert WaterRecord.objects.get().litres > 0
    expect(page.get_by_text("Rinse and fill the drinkers")).to_have_count(0)
