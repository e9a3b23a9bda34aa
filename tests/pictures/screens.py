"""Draw the main pages of the demo garden in three modes and two sizes, and the guide's few pictures.

Run by `make pictures`. The screens go to `var/pictures/`, to be looked at and never committed; the guide's,
small ones of a phone by day, to `static/guide/`, from where its pages show them.
"""

import io
import os
import shutil
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.pictures.draw import ADDRESS, ROOT, demo_server, signed_in

MODES = ("day", "dark", "sun")
SIZES = {"phone": (390, 844), "desk": (1280, 800)}
PLACES = {
    "today": "", "beds": "beds/", "map": "beds/map/", "batches": "batches/", "plan": "plan/",
    "build": "build/", "weather": "weather/", "settings": "settings/",
}  # fmt: skip
IN_GUIDE = ("today", "beds", "plan")
GUIDE_SIZE = (390, 600)
GUIDE = ROOT / "static" / "guide"
QUALITY = 60
"""Of the guide's pictures, in WebP's own measure: words stay sharp, and each weighs under 30 kB."""


def main() -> None:
    """Draw everything."""
    folder = Path(os.environ.get("VAR_DIR", ROOT / "var")) / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    with demo_server() as password, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
        )
        page = signed_in(browser, password, GUIDE_SIZE)
        draw_guide(page, page.url)
        for size_name, size in SIZES.items():
            page = signed_in(browser, password, size)
            root = page.url
            for mode in MODES:
                page.context.add_cookies(
                    [{"name": "mode", "value": mode, "url": f"http://{ADDRESS}/"}]
                )
                for name, place in PLACES.items():
                    page.goto(root + place)
                    stretch(page, *size)
                    path = folder / f"{name}-{mode}-{size_name}.png"
                    page.screenshot(path=path)
                    page.set_viewport_size({"width": size[0], "height": size[1]})
        browser.close()


def stretch(page: Page, width: int, least: int) -> None:
    """Make the window as high as the page, so that the bar stands at its foot and covers nothing."""
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": width, "height": max(height, least)})


def draw_guide(page: Page, root: str) -> None:
    """Take the guide's pictures of a phone by day, without the bar that floats over them."""
    page.context.add_cookies([{"name": "mode", "value": "day", "url": root}])
    GUIDE.mkdir(exist_ok=True)
    for name in IN_GUIDE:
        page.goto(root + PLACES[name])
        page.evaluate("document.querySelector('nav.places').hidden = true")
        shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        shot.save(GUIDE / f"{name}.webp", quality=QUALITY, method=6)


if __name__ == "__main__":
    main()
