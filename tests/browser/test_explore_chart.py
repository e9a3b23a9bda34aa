"""The chart to explore: drawn only when asked for, under the page's own security policy."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from garden.models import Garden
from tests.browser.conftest import sign_in


def test_a_chart_is_explored_without_breaking_the_policy(
    open_page: Callable[..., Page], back_lot: Garden, size: dict[str, int], troubles: list[str]
):
    page = open_page(size)
    sign_in(page)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"/g/{back_lot.pk}/batches/{back_lot.batches.get().pk}/")
    weight = page.locator("[data-chart=weight]")
    assert not any("plotly" in address for address in asked)

    weight.get_by_role("button", name="Explore chart").click()
    expect(weight.locator(".explored .scatterlayer .point")).to_have_count(3)
    expect(weight.get_by_text("Numbers as a table")).to_be_visible()
    assert sum("plotly" in address for address in asked) == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert troubles == []


def test_without_script_the_drawing_and_its_table_are_all_there_is(
    open_page: Callable[..., Page], back_lot: Garden
):
    page = open_page(script=False)
    sign_in(page)
    page.goto(f"/g/{back_lot.pk}/batches/{back_lot.batches.get().pk}/")
    weight = page.locator("[data-chart=weight]")
    expect(weight.get_by_role("img")).to_be_visible()
    expect(weight.get_by_text("Numbers as a table")).to_be_visible()
    expect(page.get_by_role("button", name="Explore chart")).to_have_count(0)
