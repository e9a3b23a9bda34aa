"""A morning without signal: nothing lost, nothing doubled, nobody's entries sent as another's."""

import re
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from PIL import Image
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page, Route, expect

from flocks.models import FeedRecord, Loss, Note, Weighing
from garden.models import Garden, TakenEntry
from rotation.models import ChoreMark, Photo, Stay
from tests.browser.conftest import sign_in
from tests.conftest import TODAY
from tests.factories import DesignFactory, MembershipFactory, UserFactory

KEPT = "[data-outbox-told]"


@pytest.fixture(autouse=True)
def quiet(troubles: list[str], settings, tmp_path: Path):
    """Forget what the console says of requests without signal, and of sign-ins that are over."""
    settings.PHOTO_DIR = tmp_path / "photos"
    yield
    lost = ("Failed to load resource", "net::ERR", "htmx:sendError")
    assert [said for said in troubles if not any(word in said for word in lost)] == []


def with_worker(open_page: Callable[..., Page]) -> Page:
    """Open a page that may have a service worker.

    The browser's own sync is left out: it runs the worker outside of what a page's lost signal is played to.
    """
    page = open_page(service_workers="allow")
    page.add_init_script(
        """Object.defineProperty(self.ServiceWorkerRegistration?.prototype ?? {}, "sync", {get() {}});"""
    )
    return page


def open_log(page: Page, name: str) -> None:
    """Open one of the forms under "Log something else"."""
    page.locator(".quick summary", has_text=name).first.click()


def lose_a_bird(page: Page) -> None:
    open_log(page, "Loss")
    page.get_by_role("button", name="Log the loss").click()


def give_feed(page: Page, kilograms: str) -> None:
    open_log(page, "Feed")
    page.get_by_label("Feed given (kg)").fill(kilograms)
    page.get_by_role("button", name="Log the feed").click()


def write_note(page: Page, words: str) -> None:
    open_log(page, "Note")
    page.get_by_label("Note", exact=True).fill(words)
    page.get_by_role("button", name="Log the note").click()


def session_ends(page: Page) -> None:
    """Forget who is signed in, as time does; the cookie against forged posts outlives a session by far."""
    page.context.clear_cookies(name=django_settings.SESSION_COOKIE_NAME)


def until(page: Page, condition: str) -> None:
    """Wait until an expression is true; the page's own policy forbids the driver to wait for it there."""
    for _ in range(300):
        with suppress(PlaywrightError):  # the page may be on its way to another
            if page.evaluate(condition):
                return
        page.wait_for_timeout(100)
    raise AssertionError(f"never true: {condition}")


def all_sent(page: Page) -> None:
    """Wait until nothing waits any more; the panel alone is hidden, too, before the page has looked."""
    until(page, "Outbox.all().then((all) => all.length === 0)")
    expect(page.locator("#outbox")).to_be_hidden(timeout=30_000)


def ready_for_the_garden(page: Page) -> None:
    """Wait until the worker keeps this page."""
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    until(
        page,
        """async () => {
          const pages = await caches.open("pages");
          return Boolean(await pages.match(location.href, {ignoreVary: true}));
        }""",
    )
    # The page that brought the worker may go on without it; the next one is the worker's.
    with suppress(PlaywrightError):  # or is on its way already
        page.reload()
    until(page, "navigator.serviceWorker.controller !== null")
    page.wait_for_load_state("networkidle")


def test_three_things_logged_without_signal_are_each_there_once(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    before = FeedRecord.objects.count()
    page.context.set_offline(True)
    lose_a_bird(page)
    expect(page.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    give_feed(page, "1.5")
    write_note(page, "Pale droppings")
    expect(page.locator(KEPT)).to_have_text("3 kept on this phone until there is signal.")
    assert Loss.objects.count() == Note.objects.count() == 0

    page.reload()
    expect(page.locator(".kept-line")).to_contain_text("No signal. This page is as it was at")
    expect(page.locator(KEPT)).to_have_text("3 kept on this phone until there is signal.")

    page.context.set_offline(False)
    all_sent(page)
    page.reload()
    expect(page.locator(".kept-line")).to_be_hidden()
    assert Loss.objects.count() == Note.objects.count() == 1
    assert FeedRecord.objects.count() == before + 1
    assert Note.objects.get().text == "Pale droppings"
    assert TakenEntry.objects.count() == 3


def test_two_birds_lost_one_after_the_other_are_two(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    sign_in(page)
    page.context.set_offline(True)
    lose_a_bird(page)
    lose_a_bird(page)
    expect(page.locator(KEPT)).to_have_text("2 kept on this phone until there is signal.")
    page.context.set_offline(False)
    all_sent(page)
    assert Loss.objects.count() == 2


def test_a_page_killed_between_sending_and_answer_doubles_nothing(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    sign_in(page)
    context = page.context

    def answer_is_lost(route: Route) -> None:
        if route.request.method == "POST":
            route.fetch()
            page.close()
        else:
            route.continue_()

    page.route("**/losses/new/", answer_is_lost)
    open_log(page, "Loss")
    with page.expect_event("close"):
        page.get_by_role("button", name="Log the loss").click(no_wait_after=True)
    assert Loss.objects.count() == 1

    again = context.new_page()
    again.goto(f"/g/{back_lot.pk}/")
    all_sent(again)
    assert Loss.objects.count() == 1
    assert TakenEntry.objects.count() == 1


def test_a_page_killed_without_signal_loses_nothing(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    context = page.context
    context.set_offline(True)
    give_feed(page, "1.25")
    expect(page.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    page.close()
    again = context.new_page()
    again.goto("/")
    expect(again.locator(".kept-line")).to_be_visible()
    expect(again.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    context.set_offline(False)
    all_sent(again)
    assert FeedRecord.objects.filter(mass_kg=1.25).count() == 1


def test_moves_and_ticks_wait_too_and_are_marked_as_kept(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    page.context.set_offline(True)
    page.locator(".now .button.main").click()
    expect(page.locator(".now .button.main")).to_have_text("Kept")
    page.locator(".rail button.tick").first.click()
    expect(page.locator(KEPT)).to_have_text("2 kept on this phone until there is signal.")
    page.reload()
    expect(page.locator(".now .button.main")).to_have_text("Kept")
    page.context.set_offline(False)
    all_sent(page)
    assert Stay.objects.filter(first_day=TODAY).count() == 1
    assert ChoreMark.objects.count() + FeedRecord.objects.filter(on=TODAY).count() == 1


def test_what_is_not_possible_waits_with_its_reason(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    page.context.set_offline(True)
    page.locator(".cannot summary").click()
    page.get_by_role("button", name="Too wet or too windy").click()
    expect(page.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    page.reload()
    page.locator("#outbox summary").click()
    expect(page.locator("#outbox")).to_contain_text("Not possible: Move Pen A")
    page.context.set_offline(False)
    all_sent(page)
    mark = ChoreMark.objects.get()
    assert (mark.mark, mark.reason) == ("cannot", "Too wet or too windy")


def test_another_persons_entries_wait_for_their_maker(
    back_lot: Garden, open_page: Callable[..., Page]
):
    MembershipFactory(garden=back_lot, user=UserFactory(username="hal"), role="helper")
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    page.context.set_offline(True)
    write_note(page, "Written by Olive")
    expect(page.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    session_ends(page)  # her entry is still here
    page.context.set_offline(False)
    sign_in(page, "hal")
    told = "1 entry waits here for another person to sign in."
    expect(page.locator(KEPT)).to_have_text(told)
    assert page.get_by_text("Written by Olive").count() == 0
    write_note(page, "Written by Hal")
    expect(page.locator("#undo")).to_contain_text("Written by Hal")
    expect(page.locator(KEPT)).to_have_text(told)
    assert [(note.text, note.logged_by.username) for note in Note.objects.all()] == [
        ("Written by Hal", "hal")
    ]
    session_ends(page)
    sign_in(page)
    all_sent(page)
    assert {(note.text, note.logged_by.username) for note in Note.objects.all()} == {
        ("Written by Hal", "hal"),
        ("Written by Olive", "olive"),
    }


def test_after_a_session_is_over_what_is_logged_waits_for_a_sign_in(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    sign_in(page)
    session_ends(page)
    lose_a_bird(page)
    expect(page.locator(KEPT)).to_have_text("1 kept on this phone. Sign in to send.")
    assert Loss.objects.count() == 0
    page.locator("#outbox summary").click()
    page.get_by_role("link", name="Sign in to send").click()
    sign_in(page)
    all_sent(page)
    assert Loss.objects.get().logged_by.username == "olive"


def test_two_phones_that_log_the_same_move_make_one(
    back_lot: Garden, open_page: Callable[..., Page]
):
    MembershipFactory(garden=back_lot, user=UserFactory(username="hal"), role="helper")
    one, two = open_page(), open_page()
    sign_in(one)
    sign_in(two, "hal")
    two.context.set_offline(True)
    two.locator(".now .button.main").click()
    expect(two.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    one.locator(".now .button.main").click()
    expect(one.locator("#undo")).to_contain_text("moved to")
    two.context.set_offline(False)
    expect(two.get_by_text(re.compile("Pen A already stands .*olive logged it"))).to_be_visible(
        timeout=30_000
    )
    assert Stay.objects.filter(first_day=TODAY).count() == 1


def test_what_the_server_refuses_stays_with_its_reason_to_be_mended_or_dropped(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    sign_in(page)
    page.context.set_offline(True)
    give_feed(page, "a bag")
    write_note(page, "Dropped later")
    page.context.set_offline(False)
    expect(page.locator(KEPT)).to_have_text("1 could not be logged.", timeout=30_000)
    page.wait_for_load_state("networkidle")  # the page shows the note that was sent
    page.locator("#outbox summary").click()
    expect(page.locator("#outbox .wrong")).to_contain_text("Feed given (kg): Give a weight")
    page.get_by_role("link", name="Mend it").click()
    field = page.get_by_label("Feed given (kg)")
    expect(field).to_have_value("a bag")
    field.fill("2.75")
    page.get_by_role("button", name="Log the feed").click()
    all_sent(page)
    assert FeedRecord.objects.filter(mass_kg=2.75).count() == 1


def test_a_kept_entry_is_dropped_before_it_is_sent(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    sign_in(page)
    page.context.set_offline(True)
    lose_a_bird(page)
    page.locator("#outbox summary").click()
    page.get_by_role("button", name=re.compile("Drop it: Loss")).click()
    all_sent(page)
    page.context.set_offline(False)
    page.reload()
    assert Loss.objects.count() == 0


def test_a_phone_without_room_says_so_and_keeps_what_was_typed(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    page.add_init_script(
        """IDBObjectStore.prototype.put = function () {
          throw new DOMException("no room", "QuotaExceededError");
        };"""
    )
    sign_in(page)
    page.context.set_offline(True)
    write_note(page, "Not lost")
    expect(page.get_by_role("alert")).to_contain_text("This phone’s storage is full")
    expect(page.get_by_label("Note", exact=True)).to_have_value("Not lost")
    page.context.set_offline(False)
    page.get_by_role("button", name="Log the note").click()
    expect(page.locator("#undo")).to_contain_text("Not lost")
    assert Note.objects.count() == 1


def test_a_photo_is_made_small_on_the_phone_and_waits_like_the_rest(
    back_lot: Garden, open_page: Callable[..., Page]
):
    page = open_page()
    sign_in(page)
    file = BytesIO()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[2] = (53.0, 20.0, 59.0)
    Image.effect_noise((3000, 2000), 60).convert("RGB").save(file, "JPEG", quality=95, exif=exif)
    page.context.set_offline(True)
    open_log(page, "Photo")
    page.get_by_label("Photo", exact=True).set_input_files(
        {"name": "IMG_1.JPG", "mimeType": "image/jpeg", "buffer": file.getvalue()}
    )
    page.get_by_label("What it shows").fill("Comb")
    page.get_by_role("button", name="Keep the photo").click()
    expect(page.locator(KEPT)).to_have_text("1 kept on this phone until there is signal.")
    kept = page.evaluate(
        """async () => {
          const [entry] = await Outbox.all();
          const blob = entry.fields.find(([name]) => name === "photo")[1];
          return [blob.size, blob.type];
        }"""
    )
    assert kept[0] < len(file.getvalue()) / 2
    assert kept[1] == "image/jpeg"
    page.context.set_offline(False)
    all_sent(page)
    photo = Photo.objects.get()
    assert (photo.words, photo.width_px) == ("Comb", 1600)
    page.goto(f"/g/{back_lot.pk}/photos/")
    assert page.locator(".photos img").evaluate(
        "image => image.decode().then(() => image.naturalWidth)"
    )


def test_today_and_the_shop_list_open_without_signal_and_say_how_old_they_are(
    back_lot: Garden, open_page: Callable[..., Page]
):
    design = DesignFactory(garden=back_lot, name="Long")
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    shop = f"/g/{back_lot.pk}/build/designs/{design.pk}/shop/"
    page.goto(shop)
    page.goto(f"/g/{back_lot.pk}/settings/")
    page.context.set_offline(True)
    for address in ("/", shop):
        page.goto(address)
        expect(page.locator(".kept-line")).to_contain_text("No signal. This page is as it was at")
    expect(page.get_by_label("Hinges")).to_be_visible()
    page.get_by_label("Hinges").check()
    expect(page.get_by_text("1 kept on this phone until there is signal.")).to_be_visible()
    page.goto(f"/g/{back_lot.pk}/settings/")
    expect(page.get_by_role("heading", name="No signal")).to_be_visible()


def test_signing_out_takes_the_kept_pages_away(back_lot: Garden, open_page: Callable[..., Page]):
    page = with_worker(open_page)
    sign_in(page)
    ready_for_the_garden(page)
    page.goto("/accounts/logout/")
    page.get_by_role("main").get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/accounts/login/**")
    kept = "caches.open('pages').then((pages) => pages.keys()).then((keys) => keys.length)"
    assert page.evaluate(kept) == 0
    page.context.set_offline(True)
    page.goto(f"/g/{back_lot.pk}/")
    expect(page.get_by_role("heading", name="No signal")).to_be_visible()


def test_a_page_kept_since_yesterday_logs_for_the_day_it_is_now(
    back_lot: Garden, open_page: Callable[..., Page], settings
):
    page = open_page()
    settings.PRETEND_TODAY = TODAY - timedelta(days=1)
    sign_in(page)
    settings.PRETEND_TODAY = TODAY
    # The phone's clock goes on by a day while the page lies open.
    page.evaluate("{ const now = Date.now; Date.now = () => now() + 86400000; }")
    open_log(page, "Weight")
    page.get_by_label("Each bird’s weight (g)").fill("1290 1330")
    page.get_by_role("button", name="Log the weight").click()
    expect(page.locator("#undo")).to_contain_text("1.31 kg")
    assert Weighing.objects.latest("pk").on == TODAY


def test_nothing_moves_when_the_page_is_drawn(back_lot: Garden, open_page: Callable[..., Page]):
    page = open_page()
    sign_in(page)
    page.add_init_script(
        """self.moved = 0;
        new PerformanceObserver((list) => {
          for (const entry of list.getEntries()) if (!entry.hadRecentInput) self.moved += entry.value;
        }).observe({type: "layout-shift", buffered: true});"""
    )
    page.evaluate(
        """Outbox.put({key: "1", user: "0", address: "/", fields: [], at: 0, words: "x", mend: ""})"""
    )
    page.reload()
    expect(page.locator("#outbox")).to_be_visible()
    assert page.evaluate("self.moved") == 0
