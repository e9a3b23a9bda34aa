"""Photos: kept small and on disk, served to members alone, undone and swept away."""

import os
import time
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from PIL import Image

from garden import upload_limit
from garden.models import Garden, UndoStep
from rotation import photo_form
from rotation.models import Photo
from rotation.photo_actions import photos_sweep
from rotation.photo_files import SPARE_SECONDS, photo_path
from tests.conftest import TODAY
from tests.factories import BatchFactory


@pytest.fixture(autouse=True)
def folder(settings, tmp_path: Path) -> Path:
    """Keep the pictures of a test in a folder of its own."""
    settings.PHOTO_DIR = tmp_path / "photos"
    return settings.PHOTO_DIR


def jpeg(width: int = 60, height: int = 40, color: str = "olive") -> bytes:
    """Return a photo's file."""
    file = BytesIO()
    Image.new("RGB", (width, height), color).save(file, "JPEG")
    return file.getvalue()


def keep(
    client: Client, garden: Garden, content: bytes | None = None, **more: object
) -> HttpResponse:
    """Send a photo."""
    file = SimpleUploadedFile("../../etc/IMG 1.php", jpeg() if content is None else content)
    data = {"photo": file, "on": TODAY.isoformat()} | more
    return client.post(reverse("photo_new", args=[garden.pk]), data)


def picture(client: Client, photo: Photo, size: str = "large", **headers: str) -> HttpResponse:
    """Ask for a photo's picture."""
    return client.get(reverse(f"photo_{size}", args=[photo.garden_id, photo.pk]), headers=headers)


def undo_newest(client: Client, garden: Garden) -> None:
    """Press Undo on the last step."""
    client.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))


def test_a_photo_is_kept_under_a_name_nobody_can_guess_and_shown_to_members(
    helper, viewer, stranger, garden, folder
):
    batch = BatchFactory(garden=garden, name="Spring batch")
    answer = keep(helper, garden, words="Pale comb", batch=batch.pk)
    assert answer.status_code == 302
    photo = Photo.objects.get()
    assert (photo.batch, photo.words, photo.logged_by) == (batch, "Pale comb", helper.user)
    assert len(photo.name) == 32
    files = sorted(path.name for path in folder.glob("*/*"))
    assert files == [f"{photo.name}-large.jpg", f"{photo.name}-small.jpg"]
    assert all(path.stat().st_mode & 0o077 == 0 for path in folder.glob("*/*"))
    for size in ("large", "small"):
        shown = picture(viewer, photo, size)
        assert shown["Content-Type"] == "image/jpeg"
        assert shown["X-Content-Type-Options"] == "nosniff"
        assert Image.open(BytesIO(b"".join(shown.streaming_content))).format == "JPEG"
        assert picture(stranger, photo, size).status_code == 404
        assert picture(Client(), photo, size).status_code == 302
    page = viewer.get(reverse("photos", args=[garden.pk])).content.decode()
    assert "Pale comb" in page
    assert "Remove" not in page


def test_a_browser_may_show_its_copy_only_after_asking(helper, stranger, garden):
    keep(helper, garden)
    photo = Photo.objects.get()
    first = picture(helper, photo)
    assert first["Cache-Control"] == "private, no-cache"
    again = picture(helper, photo, **{"If-None-Match": first["ETag"]})
    assert again.status_code == 304
    assert picture(stranger, photo, **{"If-None-Match": first["ETag"]}).status_code == 404


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "The submitted file is empty."),
        (b"GIF89a and no photo", "This file is no photo."),
        (jpeg(900, 700)[:2000], "This photo is damaged"),
    ],
)
def test_a_file_that_is_no_photo_is_refused_beside_its_field(helper, garden, folder, content, said):
    answer = keep(helper, garden, content, words="What I typed")
    assert answer.status_code == 422
    text = answer.content.decode()
    assert said in text
    assert "What I typed" in text
    assert not Photo.objects.exists()
    assert not folder.exists()


def test_no_photo_at_all_and_a_day_to_come_are_refused(helper, garden):
    address = reverse("photo_new", args=[garden.pk])
    answer = helper.post(address, {"on": "2026-06-13"})
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Take or choose a photo." in text
    assert "This day has not come yet." in text


def test_a_file_beyond_every_limit_is_left_out_on_its_way_in(helper, garden, monkeypatch):
    monkeypatch.setattr(upload_limit, "MOST_BYTES", 1000)
    answer = keep(helper, garden, b"0" * 5000)
    assert answer.status_code == 422
    assert "too large" in answer.content.decode()


def test_a_garden_has_only_so_much_room(helper, garden, monkeypatch):
    monkeypatch.setattr(photo_form, "MOST_BYTES_OF_GARDEN", 2000)
    assert keep(helper, garden).status_code == 302
    answer = keep(helper, garden)
    assert answer.status_code == 422
    assert "all the room they may" in answer.content.decode()


def test_a_full_disk_is_told_and_leaves_nothing_behind(helper, garden, folder):
    folder.parent.mkdir(exist_ok=True)
    folder.write_text("in the way")
    answer = keep(helper, garden)
    assert answer.status_code == 422
    assert "no room for it on the server" in answer.content.decode()
    assert not Photo.objects.exists()


def test_another_gardens_batch_is_no_choice(helper, garden):
    assert keep(helper, garden, batch=BatchFactory().pk).status_code == 422


def test_a_photo_is_taken_back_and_its_files_go_when_nobody_can_want_them(helper, garden):
    keep(helper, garden)
    photo = Photo.objects.get()
    path = photo_path(photo.name, "large")
    undo_newest(helper, garden)
    assert not Photo.objects.exists()
    keep(helper, garden)
    assert path.exists()
    long_ago = time.time() - SPARE_SECONDS - 1
    os.utime(path, (long_ago, long_ago))
    assert photos_sweep() == 1
    assert not path.exists()
    assert not photo_path(photo.name, "small").exists()
    assert all(photo_path(row.name, "large").exists() for row in Photo.objects.all())


def test_a_removed_photo_comes_back_with_its_picture(helper, garden):
    keep(helper, garden)
    photo = Photo.objects.get()
    long_ago = time.time() - SPARE_SECONDS - 1
    for size in ("large", "small"):
        os.utime(photo_path(photo.name, size), (long_ago, long_ago))
    helper.post(reverse("photo_remove", args=[garden.pk, photo.pk]))
    assert not Photo.objects.exists()
    keep(helper, garden)
    assert photos_sweep() == 0
    helper.post(reverse("undo", args=[garden.pk, UndoStep.objects.order_by("pk")[1].pk]))
    assert picture(helper, Photo.objects.get(pk=photo.pk)).status_code == 200


def test_a_viewer_keeps_none_and_a_garden_without_says_how(viewer, garden):
    assert keep(viewer, garden).status_code == 403
    assert "No photos yet" in viewer.get(reverse("photos", args=[garden.pk])).content.decode()


def test_photos_go_with_the_archive_and_come_back_to_the_byte(helper, owner, garden, folder):
    for words, color in (("Comb", "red"), ("Droppings", "brown")):
        keep(helper, garden, jpeg(color=color), words=words)
    before = [photo_path(each.name, "large").read_bytes() for each in Photo.objects.order_by("pk")]
    archive = owner.get(reverse("archive_out", args=[garden.pk])).content
    zipped = b"".join(owner.get(reverse("photos_out", args=[garden.pk])).streaming_content)
    assert {
        "2026-06-12" in name and name.endswith(".jpg")
        for name in ZipFile(BytesIO(zipped)).namelist()
    } == {True}
    sent = {
        "file": SimpleUploadedFile("garden.json", archive),
        "photos": SimpleUploadedFile("photos.zip", zipped),
    }
    page = owner.post(reverse("bring_in"), sent, follow=True).content.decode()
    assert "Photos: 2." in page
    twins = Photo.objects.exclude(garden=garden).order_by("pk")
    assert [photo_path(each.name, "large").read_bytes() for each in twins] == before
    assert [each.words for each in twins] == ["Comb", "Droppings"]
    assert picture(owner, twins[0]).status_code == 200


def test_a_file_of_photos_that_is_none_brings_no_garden(owner, garden):
    archive = owner.get(reverse("archive_out", args=[garden.pk])).content
    sent = {
        "file": SimpleUploadedFile("garden.json", archive),
        "photos": SimpleUploadedFile("photos.zip", b"PK\x03\x04 and no more"),
    }
    answer = owner.post(reverse("bring_in"), sent)
    assert (answer.status_code, Garden.objects.count()) == (422, 1)
    assert "This is no zip file of photos." in answer.content.decode()


def test_a_batch_shows_its_newest_photos_and_no_others(helper, stranger, garden):
    batch = BatchFactory(garden=garden)
    for number in range(4):
        keep(helper, garden, words=f"Photo {number}", batch=batch.pk)
    keep(helper, garden, words="Of no batch")
    address = f"{reverse('photos', args=[garden.pk])}?batch={batch.pk}"
    beside = helper.get(address, headers={"HX-Request": "true"}).content.decode()
    assert [f"Photo {number}" in beside for number in range(4)] == [False, True, True, True]
    whole = helper.get(address).content.decode()
    assert "Photo 0" in whole
    assert "Of no batch" not in whole + beside
    assert (
        f"photos/?batch={batch.pk}"
        in helper.get(reverse("batch", args=[garden.pk, batch.pk])).content.decode()
    )
    theirs = BatchFactory().pk
    assert helper.get(f"{reverse('photos', args=[garden.pk])}?batch={theirs}").status_code == 404


def test_the_page_takes_few_queries(helper, garden, django_assert_max_num_queries):
    for number in range(5):
        keep(helper, garden, words=f"Photo {number}", batch=BatchFactory(garden=garden).pk)
    with django_assert_max_num_queries(9):
        helper.get(reverse("photos", args=[garden.pk]))
