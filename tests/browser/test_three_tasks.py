"""The three tasks that the product stands on: phone and desk, with and without script."""

import re
from datetime import timedelta

from playwright.sync_api import expect

from flocks.models import Batch, Weighing
from rotation.models import Plan, Stay
from tests.browser.conftest import sign_in
from tests.conftest import TODAY


def test_logging_a_batch_shows_first_what_the_garden_makes_of_it(
    back_lot, open_page, size, script, troubles
):
    page = open_page(size, script=script)
    sign_in(page)
    page.get_by_role("link", name="Batches").click()
    page.get_by_role("link", name=re.compile("Log a (new )?batch")).first.click()
    page.get_by_label("Name").fill("Autumn batch")
    page.get_by_label("Hatched on").fill((TODAY + timedelta(days=10)).isoformat())
    page.get_by_label("Chicks").fill("30")
    if not script:
        page.get_by_role("button", name="Work it out first").click()
    trial = page.locator("#trial")
    expect(trial).to_contain_text("This garden is too small for this batch")
    expect(trial).to_contain_text("Birds on the floor, week by week")
    expect(trial).to_contain_text(re.compile(r"\d+ bags? of"))
    if not script:
        page.get_by_role("button", name="Show what would make it fit").click()
    cure = page.locator("#cures li").filter(has_text="instead of 30")
    expect(cure).to_contain_text("no day off the beds", timeout=30_000)
    cure.get_by_role("button", name="Use this").click()
    expect(page.get_by_label("Chicks")).not_to_have_value("30")
    expect(page.locator("#trial")).to_contain_text("It fits.")
    assert not Batch.objects.filter(name="Autumn batch").exists()
    page.get_by_role("button", name="Save this batch").click()
    page.wait_for_url("**/plan/")
    batch = Batch.objects.get(name="Autumn batch")
    assert batch.garden == back_lot
    assert Plan.objects.first().stays.filter(batch=batch).exists()
    assert troubles == []


def test_todays_move_is_seen_done_and_taken_back(back_lot, open_page, size, script, troubles):
    page = open_page(size, script=script)
    sign_in(page)
    heading = page.get_by_role("heading", name=re.compile(r"Move Pen A to Bed \d"))
    expect(heading).to_be_visible()
    told = heading.inner_text().removeprefix("Move Pen A to ")
    before = Stay.objects.get(end_day=None)
    page.get_by_role("button", name="Done", exact=True).click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    now = Stay.objects.get(end_day=None)
    assert now.bed.name == told
    assert (now.first_day, Stay.objects.get(pk=before.pk).end_day) == (TODAY, TODAY)
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("heading", name=f"Move Pen A to {told}")).to_be_visible()
    assert Stay.objects.get(end_day=None) == before
    assert troubles == []


def test_two_tabs_marking_the_same_move_make_one_move(back_lot, open_page):
    first, second = open_page(), open_page()
    for tab in (first, second):
        sign_in(tab)
        expect(tab.get_by_role("heading", name=re.compile("Move Pen A"))).to_be_visible()
    first.get_by_role("button", name="Done", exact=True).click()
    expect(first.get_by_role("button", name="Undo")).to_be_visible()
    second.get_by_role("button", name="Done", exact=True).click()
    expect(second.get_by_text(re.compile("already", re.IGNORECASE)).first).to_be_visible()
    assert Stay.objects.filter(first_day=TODAY).count() == 1


def test_the_forecast_is_read_and_moves_with_a_weighing(
    back_lot, open_page, size, script, troubles
):
    page = open_page(size, script=script)
    sign_in(page)
    page.get_by_role("link", name="Batches").click()
    page.get_by_role("link", name="Summer batch").first.click()
    expect(page.get_by_text("8 times in 10").first).to_be_visible()
    expect(page.locator("svg.chart").first).to_be_visible()
    promised = page.locator("p", has_text="They should average").inner_text()
    page.get_by_text("Numbers as a table").first.click()
    expect(page.get_by_role("table").first).to_be_visible()
    page.get_by_role("link", name="Log a weighing").click()
    page.get_by_label(re.compile("each bird", re.IGNORECASE)).fill("1900 1950 1880")
    page.get_by_role("button", name=re.compile("Log|Save")).click()
    expect(page.locator("#undo")).to_be_visible()
    assert Weighing.objects.get(on=TODAY).weights_g == [1900, 1950, 1880]
    page.get_by_role("link", name="Batches").click()
    page.get_by_role("link", name="Summer batch").first.click()
    expect(page.locator("p", has_text="They should average")).not_to_have_text(promised)
    assert troubles == []
