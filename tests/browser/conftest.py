"""A real Chromium against a real server, at phone and desk size, with and without script."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import timedelta

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from playwright.sync_api import Error as PlaywrightError

from flocks.models import Batch
from garden.models import Garden
from rotation.planning import Effort, plan_again
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    FeedRecordFactory,
    MembershipFactory,
    PenFactory,
    PlantingFactory,
    StayFactory,
    UserFactory,
    WeighingFactory,
)

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 800}
PASSWORD = "a long pass phrase"
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip

# Playwright runs an event loop in this thread, which Django would take for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in this folder, so that none is run without being asked for."""
    for item in items:
        if "/browser/" in str(item.path):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start the machine's Chromium; without one skip, but never where CI is set."""
    path = (
        shutil.which("chromium")
        or shutil.which("chromium-browser")
        or shutil.which("google-chrome")
    )
    if path is None and os.environ.get("CI"):
        pytest.fail("CI has no Chromium, and browser tests are never skipped there")
    if path is None:
        pytest.skip("no Chromium on this machine")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=QUIET)
        yield browser
        browser.close()


@pytest.fixture(params=[PHONE, DESK], ids=["phone", "desk"])
def size(request: pytest.FixtureRequest) -> dict[str, int]:
    """Run a test at both sizes."""
    return request.param


@pytest.fixture(params=[True, False], ids=["script", "no script"])
def script(request: pytest.FixtureRequest) -> bool:
    """Run a test with and without JavaScript."""
    return request.param


@pytest.fixture
def troubles() -> list[str]:
    """Collect what a page complains of: errors in script, refusals by the security policy, lost files."""
    return []


@pytest.fixture
def open_page(
    chromium: Browser, live_server: object, troubles: list[str]
) -> Iterator[Callable[..., Page]]:
    """Return a function that opens a page at a size, with or without script."""
    contexts: list[BrowserContext] = []

    def opened(size: dict[str, int] = PHONE, *, script: bool = True, **options: object) -> Page:
        context = chromium.new_context(
            viewport=size,
            java_script_enabled=script,
            base_url=live_server.url,
            # A stored page in place of a slow answer would be news to most tests.
            **{"service_workers": "block"} | options,
        )
        context.set_default_timeout(30_000)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda said: _note(troubles, said))
        page.on("pageerror", lambda error: troubles.append(str(error)))
        return page

    yield opened
    for context in contexts:
        for page in context.pages:
            # what is still being sent would be written into a database that is being emptied
            with suppress(PlaywrightError):
                page.wait_for_load_state("networkidle", timeout=5_000)
        context.close()


def _note(troubles: list[str], said: object) -> None:
    # An answer of 422 is how a form comes back with its faults, and htmx tells when a newer request
    # replaces an older one; Chromium's console shows both as errors.
    expected = "422" in said.text or said.text.startswith(("htmx:sendAbort", "htmx:afterRequest"))
    if said.type == "error" and not expected:
        troubles.append(said.text)


def sign_in(page: Page, username: str = "olive") -> None:
    """Sign in through the form, as a grower does."""
    page.goto("/accounts/login/")
    page.get_by_label("Username or e-mail").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("main").get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url("**/g/*/")


@pytest.fixture
def back_lot(transactional_db: None) -> Garden:
    """Return Olive's garden: six beds, one planted, a flock of 33 days whose pen must move today."""
    membership = MembershipFactory(user=UserFactory(username="olive"), garden__name="Back lot")
    garden = membership.garden
    beds = [
        BedFactory(garden=garden, name=f"Bed {n}", x_m=1 + 2 * (n % 3), y_m=1 + 4 * (n // 3))
        for n in range(6)
    ]
    lettuce = CropFactory(garden=garden, name="Lettuce, leaf")
    PlantingFactory(bed=beds[5], crop=lettuce, starts_on=TODAY - timedelta(days=20))
    batch = flock_of(garden)
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=beds[0], offset_mm=20, stretch_mm=1170,
        first_day=TODAY - timedelta(days=7),
    )  # fmt: skip
    plan_again(garden=garden, on=TODAY, effort=Effort(rounds=20))
    return garden


def flock_of(garden: Garden) -> Batch:
    """Return three birds of 33 days in one pen, weighed three times and fed."""
    batch = BatchFactory(
        garden=garden, name="Summer batch", chicks=3, hatch_on=TODAY - timedelta(days=33),
        leaves_brooder_on=TODAY - timedelta(days=7), processing_on=TODAY + timedelta(days=16),
    )  # fmt: skip
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden, name="Pen A"))
    for age, grams in ((14, 410), (21, 800), (28, 1290)):
        WeighingFactory(batch=batch, on=batch.hatch_on + timedelta(days=age), count=3, mean_g=grams)
    for age in range(0, 33, 3):
        FeedRecordFactory(
            batch=batch, on=batch.hatch_on + timedelta(days=age), mass_kg=0.1 + age / 30
        )
    return batch
