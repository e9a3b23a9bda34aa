"""Beds moved on the map: by mouse, by keys, by finger, by typing; what is seen is what is kept."""

from playwright.sync_api import Page, expect

from garden.models import Bed
from tests.browser.conftest import DESK, PHONE, sign_in


def opened(page: Page) -> Page:
    sign_in(page)
    page.goto(page.url + "beds/map/")
    return page


def east(page: Page, bed: Bed) -> str:
    return page.locator(f"[name=x_m_{bed.pk}]").input_value()


def test_a_bed_is_dragged_and_kept(back_lot, open_page, troubles) -> None:
    page = opened(open_page(DESK))
    bed = back_lot.beds.first()
    shape = page.locator(f"[data-bed='{bed.pk}']")
    shape.scroll_into_view_if_needed()
    box = shape.bounding_box()
    metre = float(page.locator("svg.map-edit").get_attribute("data-per-m"))
    scale = box["width"] / float(shape.get_attribute("data-w"))
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 0.5 * metre * scale, y, steps=4)
    page.mouse.up()
    assert east(page, bed) == "1.5 m"
    page.get_by_role("button", name="Keep these places").click()
    expect(page.get_by_text("moved on the map")).to_be_visible()
    bed.refresh_from_db()
    assert (bed.x_m, bed.y_m) == (1.5, 1)
    assert troubles == []


def test_keys_move_and_turn_a_bed_and_say_so(back_lot, open_page, troubles) -> None:
    page = opened(open_page(PHONE))
    bed = back_lot.beds.first()
    shape = page.locator(f"[data-bed='{bed.pk}']")
    shape.focus()
    for key in ("ArrowRight", "Shift+ArrowDown", "]", "]"):
        page.keyboard.press(key)
    assert east(page, bed) == "1.1 m"
    told = "Bed 0: 1.1 m east, 2 m south, turned 10°"
    expect(shape).to_have_attribute("aria-label", told)
    expect(page.locator("#said")).to_have_text(told)
    assert troubles == []


def test_a_finger_drags_a_bed_and_not_the_page(back_lot, open_page) -> None:
    page = opened(open_page(PHONE, has_touch=True))
    shape = page.locator(f"[data-bed='{back_lot.beds.first().pk}']")
    expect(shape).to_have_css("touch-action", "none")


def test_typing_works_without_script_and_moves_the_drawing_with_it(back_lot, open_page) -> None:
    bed = back_lot.beds.first()
    page = opened(open_page(DESK))
    page.locator(f"[name=turned_deg_{bed.pk}]").fill("20")
    assert "rotate(20" in page.locator(f"[data-bed='{bed.pk}']").get_attribute("transform")
    page = opened(open_page(DESK, script=False))
    page.locator(f"[name=turned_deg_{bed.pk}]").fill("-20")
    page.get_by_role("button", name="Keep these places").click()
    bed.refresh_from_db()
    assert bed.turned_deg == -20
