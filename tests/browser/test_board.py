"""The plan's board in hand: by keyboard, by mouse, by finger; each change judged, kept and taken back."""

import pytest
from playwright.sync_api import Locator, Page, expect

from garden.models import Garden
from rotation.models import PinnedStay, Plan
from tests.browser.conftest import DESK, PHONE, sign_in
from tests.stories.small_plans import bed, day, flock
from tests.stories.test_board_edits import told_plan


@pytest.fixture
def quarry(back_lot: Garden) -> Garden:
    """Return Olive's garden with room for all, and a plan of two stays, on One and then on Two."""
    back_lot.batches.all().delete()
    back_lot.annual_limit_kg_ha, back_lot.rest_days = 5000, 3
    back_lot.save()
    beds = [
        bed(back_lot, name, x_m=3 * x, y_m=20) for x, name in enumerate(("One", "Two", "Three"))
    ]
    Plan.objects.all().delete()
    told_plan(flock(back_lot, name="Pen Z"), (beds[0], 0, 3), (beds[1], 3, 6))
    return back_lot


def board_of(page: Page) -> Locator:
    """Open the plan and return the stay on One."""
    sign_in(page)
    page.get_by_role("link", name="Plan", exact=True).first.click()
    return page.locator("td[data-stay]").first


def in_view(cell: Locator) -> dict[str, float]:
    """Bring a cell to the middle of the screen, clear of the bars, and return where it is."""
    cell.evaluate("cell => cell.scrollIntoView({ block: 'center' })")
    return cell.bounding_box()


def now() -> set[tuple[str, int, int]]:
    """Return what is locked."""
    pins = PinnedStay.objects.select_related("bed")
    return {(p.bed.name, (p.first_day - day(0)).days, (p.end_day - day(0)).days) for p in pins}


def test_a_stay_is_moved_lengthened_and_locked_by_keyboard(quarry, open_page, troubles):
    page = open_page(DESK)
    stay, said = board_of(page), page.locator("#board-said")
    stay.locator("a").focus()
    page.keyboard.press("ArrowRight")
    expect(stay.locator("a")).not_to_be_focused()
    page.keyboard.press("ArrowLeft")
    expect(stay.locator("a")).to_be_focused()
    page.keyboard.press("Enter")
    expect(said).to_have_text("Picked up. Nothing is changed.")
    page.keyboard.press("+")
    expect(said).to_contain_text("Every rule holds. Pen Z, Mon 15 June: One instead of Two.")
    page.keyboard.press("Escape")
    expect(page.locator("#sheet")).to_be_hidden()
    expect(stay.locator("a")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    # The pen is told to come to Two just afterwards, and a place must rest.
    expect(said).to_contain_text("less than 3 days of rest")
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    expect(said).to_contain_text("Every rule holds.")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert now() == {("Three", 0, 3)}
    # The stay is in the order of the page again, and the lock is taken off by its key.
    expect(page.locator("td.locked a")).to_be_focused()
    page.keyboard.press("l")
    expect(page.locator("td.locked")).to_have_count(0)
    assert now() == set()
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("td.locked")).to_have_count(1)
    assert troubles == []


def test_a_stay_is_dragged_by_mouse_and_stretched_at_its_end(quarry, open_page, troubles):
    page = open_page(DESK)
    stay = board_of(page)
    box = in_view(stay)
    three = page.locator("tbody tr").filter(has_text="Three").first.bounding_box()
    page.mouse.move(box["x"] + 60, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 60, three["y"] + 10, steps=8)
    expect(page.locator(".ghost")).to_be_visible()
    page.mouse.up()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert now() == {("Three", 0, 3)}
    moved = page.locator("td.locked")
    box = in_view(moved)
    page.mouse.move(box["x"] + box["width"] - 4, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] + 30, box["y"] + 20, steps=6)
    page.mouse.up()
    expect(page.locator("td.locked")).to_have_attribute("colspan", "4")
    assert now() == {("Three", 0, 4)}
    assert troubles == []


def test_a_stay_is_changed_with_one_thumb(quarry, open_page, troubles):
    page = open_page(PHONE, has_touch=True, is_mobile=True)
    stay = board_of(page)
    stay.locator("a").tap()
    sheet = page.locator("#sheet")
    expect(sheet).to_be_visible()
    for name in ("Sooner", "Later", "Shorter", "Longer", "Bed after", "Lock", "Keep it so"):
        button = sheet.get_by_role("button", name=name, exact=True)
        box = button.bounding_box()
        assert box["height"] >= 44
        # In reach of a thumb: the lower part of the screen.
        assert box["y"] > PHONE["height"] * 0.4
    sheet.get_by_role("button", name="Longer").tap()
    expect(page.locator("#board-said")).to_contain_text("Every rule holds.")
    sheet.get_by_role("button", name="Keep it so").tap()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert now() == {("One", 0, 4)}
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert troubles == []


def test_a_finger_that_rests_picks_a_stay_up_and_one_that_moves_scrolls(
    quarry, open_page, troubles
):
    page = open_page(PHONE, has_touch=True, is_mobile=True)
    stay = board_of(page)
    box = in_view(stay)
    finger = page.context.new_cdp_session(page)
    x, y = box["x"] + 20, box["y"] + 20

    def touch(kind: str, at_x: float) -> None:
        points = [] if kind == "touchEnd" else [{"x": at_x, "y": y}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", x)
    expect(page.locator("#sheet")).to_be_visible()
    touch("touchMove", x + 30)
    touch("touchMove", x + 50)
    touch("touchEnd", x + 50)
    expect(page.locator("td.locked")).to_have_count(1)
    assert now() == {("One", 1, 4)}
    y = in_view(page.locator("td.locked"))["y"] + 20
    touch("touchStart", x + 50)
    touch("touchMove", x)
    touch("touchMove", x - 40)
    touch("touchEnd", x - 40)
    expect(page.locator("#sheet")).to_be_hidden()
    assert page.locator(".scroll").first.evaluate("pane => pane.scrollLeft") > 0
    assert troubles == []


def test_without_script_each_stay_is_a_link_to_its_form(quarry, open_page, troubles):
    page = open_page(PHONE, script=False)
    board_of(page).locator("a").click()
    page.get_by_label("Days").fill("4")
    page.get_by_role("button", name="Keep it so, locked").click()
    expect(
        page.get_by_text("Every rule holds. Pen Z, Mon 15 June: One instead of Two.")
    ).to_be_visible()
    assert now() == {("One", 0, 4)}
    assert troubles == []
