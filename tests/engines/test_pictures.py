"""A photo is judged by its content, made small, and keeps nothing of where it was taken."""

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from garden.icons import ICON_SIZES_PX, icon_png, icon_svg
from rotation.pictures import (
    BROKEN,
    LARGE_PX,
    MOST_BYTES,
    NO_PHOTO,
    SMALL_PX,
    PictureError,
    picture_of,
    too_large,
    too_many_points,
)

ORIENTATION, GPS, MAKE = 0x0112, 0x8825, 0x010F
LATITUDE = 2


def written(image: Image.Image, kind: str = "JPEG", **more: object) -> BytesIO:
    """Return an image as a file."""
    file = BytesIO()
    image.save(file, kind, **more)
    file.seek(0)
    return file


def taken_in_the_garden() -> BytesIO:
    """Return a wide photo held upright, with the place where it was taken."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # turn it clockwise to see it as it was taken
    exif[MAKE] = "A phone"
    exif.get_ifd(GPS)[LATITUDE] = (53.0, 20.0, 59.0)
    return written(Image.new("RGB", (2400, 1200), "green"), exif=exif)


def test_the_place_is_in_the_file_that_comes_and_not_in_the_one_that_is_kept():
    came = taken_in_the_garden()
    assert Image.open(came).getexif().get_ifd(GPS)
    came.seek(0)
    kept = picture_of(came)
    for content in (kept.large, kept.small):
        image = Image.open(BytesIO(content))
        assert dict(image.getexif()) == {}
        assert b"Exif" not in content
        assert b"A phone" not in content


def test_it_is_small_and_stands_upright():
    kept = picture_of(taken_in_the_garden())
    assert (kept.width_px, kept.height_px) == (LARGE_PX // 2, LARGE_PX)
    assert max(Image.open(BytesIO(kept.small)).size) == SMALL_PX


def test_a_small_photo_is_not_blown_up():
    kept = picture_of(written(Image.new("RGB", (100, 80))))
    assert (kept.width_px, kept.height_px) == (100, 80)


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "L", "1", "CMYK"])
def test_any_kind_of_points_is_read(mode):
    kind = "JPEG" if mode == "CMYK" else "PNG"
    assert picture_of(written(Image.new(mode, (40, 30)), kind)).width_px == 40


def test_what_can_be_seen_through_is_white():
    kept = picture_of(written(Image.new("RGBA", (40, 30), (255, 0, 0, 0)), "PNG"))
    assert Image.open(BytesIO(kept.large)).getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize(
    "content",
    [b"", b"not a photo", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.7", b"MZ" * 60],
)
def test_what_is_no_photo_is_refused_by_its_content(content):
    with pytest.raises(PictureError, match="no photo"):
        picture_of(BytesIO(content))
    assert "JPEG" in NO_PHOTO


def test_a_kind_that_is_not_asked_for_is_no_photo():
    for kind in ("GIF", "BMP", "TIFF"):
        with pytest.raises(PictureError, match="no photo"):
            picture_of(written(Image.new("RGB", (40, 30)), kind))


def test_a_photo_that_was_cut_off_is_told_as_such():
    image = Image.effect_noise((800, 600), 80)
    content = written(image).getvalue()
    with pytest.raises(PictureError) as told:
        picture_of(BytesIO(content[: len(content) // 2]))
    assert str(told.value) == BROKEN


def test_a_file_that_unpacks_to_a_flood_is_refused_before_it_is_unpacked():
    # 100 million points of one colour in a PNG of some hundred kilobytes.
    bomb = written(Image.new("1", (10_000, 10_000)), "PNG", compress_level=9)
    assert len(bomb.getvalue()) < 100_000
    with pytest.raises(PictureError) as told:
        picture_of(bomb)
    assert str(told.value) == too_many_points()


def test_a_file_over_the_limit_is_refused_unread():
    file = BytesIO(b"\xff\xd8" + b"0" * MOST_BYTES)
    with pytest.raises(PictureError) as told:
        picture_of(file)
    assert str(told.value) == too_large()
    assert file.tell() == MOST_BYTES + 1


def test_the_icons_in_the_tree_are_the_ones_that_are_drawn():
    folder = Path(__file__).parents[2] / "static"
    assert (folder / "icon.svg").read_text() == icon_svg()
    for side in ICON_SIZES_PX:
        held = Image.open(folder / f"icon-{side}.png").convert("RGB")
        drawn = Image.open(BytesIO(icon_png(side))).convert("RGB")
        assert held.size == (side, side)
        assert held.tobytes() == drawn.tobytes()
