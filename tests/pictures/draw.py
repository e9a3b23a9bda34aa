"""Draw the README's picture: the demo garden on a midsummer day, in a real Chromium.

Run by `make picture`. The demo is made from one seed for one date, so only a change of the product
changes the picture.
"""

import base64
import os
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parents[2]
PICTURE = Path(__file__).with_name("morning.png")
ADDRESS = "127.0.0.1:8765"
MIDSUMMER = "2026-06-12"
STARTS_WITHIN_S = 60


def main() -> None:
    """Take two screens of the demo garden and put them side by side."""
    with demo_server() as password:
        _draw(password)


@contextmanager
def demo_server() -> Iterator[str]:
    """Serve a demo garden from a folder of its own; yield its password."""
    with tempfile.TemporaryDirectory() as folder:
        environment = os.environ | {"VAR_DIR": folder, "DEBUG": "1", "PRETEND_TODAY": MIDSUMMER}
        environment.pop("DATABASE_URL", None)

        def manage(*words: str) -> list[str]:
            return [sys.executable, "manage.py", *words]

        subprocess.run(manage("migrate", "--verbosity=0"), cwd=ROOT, env=environment, check=True)
        subprocess.run(manage("demo"), cwd=ROOT, env=environment, check=True)
        server = subprocess.Popen(
            manage("runserver", ADDRESS, "--noreload"), cwd=ROOT, env=environment
        )
        try:
            _wait()
            yield (Path(folder) / "demo_password").read_text()
        finally:
            server.terminate()
            server.wait()


def _wait() -> None:
    deadline = time.monotonic() + STARTS_WITHIN_S
    while time.monotonic() < deadline:
        try:
            urllib.request.urlopen(f"http://{ADDRESS}/health/").close()
        except urllib.error.URLError:
            time.sleep(0.2)
        else:
            return
    raise TimeoutError("the server did not start")


def _draw(password: str) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
        )
        phone = _screen(browser, password, "", (390, 844))
        desk = _screen(browser, password, "plan/", (1180, 844))
        page = browser.new_page(viewport={"width": 1660, "height": 904})
        shots = "".join(_framed(shot) for shot in (phone, desk))
        page.set_content(
            f'<body style="margin:30px;display:flex;gap:30px;background:#e8ecee">{shots}</body>'
        )
        page.screenshot(path=PICTURE)
        browser.close()


def _framed(shot: bytes) -> str:
    data = base64.b64encode(shot).decode()
    return f'<img style="border:1px solid #6b7a82" src="data:image/png;base64,{data}">'


def _screen(browser: Browser, password: str, place: str, size: tuple[int, int]) -> bytes:
    page = signed_in(browser, password, size)
    page.goto(page.url + place)
    return page.screenshot()


def signed_in(browser: Browser, password: str, size: tuple[int, int]) -> Page:
    """Open the demo garden's Today in a window of its own."""
    page = browser.new_context(viewport={"width": size[0], "height": size[1]}).new_page()
    page.goto(f"http://{ADDRESS}/accounts/login/")
    page.locator("#id_login").fill("demo")
    page.locator("#id_password").fill(password)
    page.get_by_role("main").get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url("**/g/*/")
    return page


if __name__ == "__main__":
    main()
