"""Beds, plantings, feed and past batches read in from tables: a look first, faults by row, one step to undo."""

import csv
import re
from datetime import timedelta
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from flocks.models import Batch, FeedRecord, Loss, Note, Processing
from garden.models import Bed, Garden, Planting, UndoStep
from garden.undo import undo_step_take_back
from tests.conftest import TODAY
from tests.factories import (
    BatchPenFactory,
    BedFactory,
    CropFactory,
    FeedRecordFactory,
    NoteFactory,
    PenFactory,
    PlantingFactory,
)


def send(client: Client, name: str, *ids: int, **data: object) -> HttpResponse:
    """Send a table to one of the pages."""
    return client.post(reverse(name, args=ids), data)


def plain(answer: HttpResponse) -> str:
    """Return a page's text with single spaces."""
    return " ".join(answer.content.decode().split())


def confirm(client: Client, name: str, *ids: int, text: str) -> HttpResponse:
    """Look a table over and add what the page then offers."""
    look = send(client, name, *ids, text=text).content.decode()
    kept = re.search(r'<textarea name="text" hidden>(.*?)</textarea>', look, re.DOTALL)
    assert kept, plain(send(client, name, *ids, text=text))
    return send(client, name, *ids, text=text, confirm="1")


BEDS = """Name;Kind;Length;Width;Height;Lies across
North bed;raised;2.4 m;1200 mm;30 cm;no
South bed;ground;8 ft;4 ft;;yes
Grass;turf;11 m;120;;
Bad;swamp;200;100;;
Bad;raised;100;200;;
north BED;raised;200;100;;
Narrow;raised;200;ten;;
"""


def test_beds_are_looked_over_then_added_beside_each_other_and_taken_back(owner, garden):
    look = send(owner, "beds_import", garden.pk, text=BEDS)
    text = plain(look)
    assert look.status_code == 200
    assert "3 beds to add. 4 rows cannot be read and will be left out." in text
    assert "Row 5, “Bad, swamp, 200, 100”: Kind: write raised, ground or turf." in text
    assert "Give the longer side as the length." in text
    assert "A bed of this name stands further up in the table." in text
    assert "Give a length, for example" in text
    assert not Bed.objects.exists()

    done = confirm(owner, "beds_import", garden.pk, text=BEDS)
    assert done.url == reverse("beds", args=[garden.pk])
    north, south, grass = Bed.objects.order_by("pk")
    assert (north.length_mm, north.width_mm, north.height_mm) == (2400, 1200, 300)
    assert (south.kind, south.lies_across, south.length_mm) == ("ground", True, 2438.4)
    assert grass.kind == "turf"
    assert len({(bed.x_m, bed.y_m) for bed in (north, south, grass)}) == 3
    step = UndoStep.objects.get()
    assert step.said == "Read in: 3 beds"
    undo_step_take_back(step=step)
    assert not Bed.objects.exists()


def test_beds_take_an_owner(helper, viewer, stranger, garden):
    for client, status in ((helper, 403), (viewer, 403), (stranger, 404)):
        assert send(client, "beds_import", garden.pk, text=BEDS).status_code == status
        assert client.get(reverse("beds_import", args=[garden.pk])).status_code == status


def test_a_garden_of_feet_reads_plain_numbers_as_feet_and_mm_as_mm(owner, garden):
    Garden.objects.update(unit_system="us")
    confirm(owner, "beds_import", garden.pk, text="name,length,width\nA,8,4\n")
    confirm(owner, "beds_import", garden.pk, text="name,length_mm,width_mm\nB,2400,1200\n")
    feet, metres = Bed.objects.order_by("name")
    assert (feet.length_mm, metres.length_mm) == (pytest.approx(2438.4), 2400)


def test_the_beds_that_were_fetched_can_be_read_in_elsewhere(owner, stranger, garden):
    BedFactory(garden=garden, name="=1+1", length_mm=3000, x_m=2.5, y_m=1.0, lies_across=True)
    zipped = owner.get(reverse("tables_out", args=[garden.pk])).content
    text = ZipFile(BytesIO(zipped)).read("bed.csv").decode("utf-8-sig")
    elsewhere = stranger.user.memberships.get().garden
    confirm(stranger, "beds_import", elsewhere.pk, text=text)
    bed = elsewhere.beds.get()
    assert (bed.name, bed.length_mm, bed.x_m, bed.lies_across) == ("=1+1", 3000, 2.5, True)


def test_plantings_find_bed_and_crop_by_name_and_are_added_once(helper, garden):
    bed = BedFactory(garden=garden, name="Bed 1")
    BedFactory(garden=garden, name="Grass", kind="turf")
    CropFactory(garden=garden, name="Leek", days_to_harvest=100, harvest_days=20)
    text = (
        "bed,crop,planted,first harvest,clear again\n"
        "bed 1,LEEK,2026-04-01,,\n"
        "Bed 1,Leek,2026-07-20,2026-11-01,2026-12-01\n"
        "Bed 9,Leek,2026-04-01,,\n"
        "Grass,Leek,2026-04-01,,\n"
        "Bed 1,Kale of old,2026-04-01,,\n"
        "Bed 1,Leek,1 April,,\n"
        "Bed 1,Leek,2026-04-01,2026-03-01,\n"
    )
    look = plain(send(helper, "plantings_import", garden.pk, text=text))
    assert "2 plantings to add. 5 rows cannot be read" in look
    assert "Row 4, “Bed 9, Leek, 2026-04-01”: There is no bed called “Bed 9”" in look
    assert "There is no crop called “Kale of old” in this garden." in look
    assert "The first harvest cannot come before the planting." in look
    confirm(helper, "plantings_import", garden.pk, text=text)
    first, second = Planting.objects.filter(bed=bed)
    assert (first.first_harvest_on - first.starts_on).days == 100
    assert (first.ends_on - first.first_harvest_on).days == 20
    assert second.ends_on.isoformat() == "2026-12-01"
    again = plain(send(helper, "plantings_import", garden.pk, text=text, confirm="1"))
    assert "Nothing new to add." in again
    assert again.count("already here") == 2
    assert Planting.objects.count() == 2


def test_feed_by_day_or_age_is_read_in_for_a_batch_and_its_own_export_too(helper, owner, garden):
    batch = BatchPenFactory(batch__garden=garden, pen__name="Pen A").batch
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden, name="Pen B"))
    FeedRecordFactory(batch=batch, on=batch.hatch_on, mass_kg=1.5)
    text = (
        "age,feed,pen\n0,1.5,\n3,2 lb,pen b\n4,1.2,Pen Z\n4,-3,\n900,1,\n"
        f"{(TODAY - batch.hatch_on).days + 1},1,\n"
    )
    look = plain(send(helper, "feed_import", garden.pk, batch.pk, text=text))
    assert "1 feed record to add. 4 rows cannot be read" in look
    assert "has no pen called “Pen Z”" in look
    assert "This day has not come yet." in look
    confirm(helper, "feed_import", garden.pk, batch.pk, text=text)
    new = FeedRecord.objects.latest("pk")
    assert (new.on, new.pen.name, new.logged_by) == (
        batch.hatch_on + timedelta(days=3), "Pen B", helper.user,
    )  # fmt: skip
    assert new.mass_kg == pytest.approx(0.907, abs=0.001)
    exported = owner.get(reverse("batch_csv", args=[garden.pk, batch.pk])).content.decode()
    again = plain(send(helper, "feed_import", garden.pk, batch.pk, text=exported))
    assert "Nothing new to add." in again
    assert "cannot be read" not in again


PAST = """name,hatched,chicks,strain,processed,birds processed,live weight,dressed weight
Autumn 2024,2024-08-01,20,fast,2024-09-20,18,2.5 kg,33 kg
Spring 2025,2025-03-01,12,,2025-04-25,,,
Never,2025-03-01,12,dodo,2025-04-25,,,
Not over,2026-05-01,12,fast,2026-08-01,,,
Too many,2025-03-01,12,fast,2025-04-25,13,,
Heavy,2025-03-01,2,fast,2025-04-25,2,2 kg,5 kg
"""


def test_past_batches_come_with_what_was_processed_and_lost(helper, owner, garden):
    look = plain(send(helper, "past_batches_import", garden.pk, text=PAST))
    assert "2 past batches to add. 4 rows cannot be read" in look
    assert "This day has not come yet: the batch is not over." in look
    assert "More than the chicks there were." in look
    assert "That is more than the birds weighed alive." in look
    assert "dodo is not one of the available choices" in look
    confirm(helper, "past_batches_import", garden.pk, text=PAST)
    autumn, spring = Batch.objects.order_by("hatch_on")
    done = Processing.objects.get(batch=autumn)
    assert (done.count, done.live_mean_g, done.dressed_kg) == (18, 2500, 33)
    assert Loss.objects.get(batch=autumn).count == 2
    assert autumn.finished_on == autumn.processing_on == done.on
    assert Processing.objects.get(batch=spring).count == 12
    assert not Loss.objects.filter(batch=spring).exists()
    for place in ("batches", "batch_compare"):
        assert owner.get(reverse(place, args=[garden.pk])).status_code == 200
    assert owner.get(reverse("batch", args=[garden.pk, autumn.pk])).status_code == 200
    again = plain(send(helper, "past_batches_import", garden.pk, text=PAST))
    assert "This garden already has a batch of that name." in again
    undo_step_take_back(step=UndoStep.objects.get(said="Read in: 2 past batches"))
    assert not Batch.objects.exists()


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ({"text": ""}, "Give a row of headings and at least one row of beds."),
        ({"text": "name,length\nA,2"}, "A column “width” is missing in the first row."),
        ({"text": "name,length,width\n" + "A,2,1\n" * 1001}, "Give at most 1000 rows at once."),
        ({"file": SimpleUploadedFile("a.csv", b"\xff\xfen\x00")}, "Save the file as CSV in UTF-8"),
        ({"file": SimpleUploadedFile("a.csv", b"a" * 1_000_001)}, "larger than a megabyte"),
        ({"text": 'name,length,width\n"' + "A" * 200_000}, "longer than any cell should be"),
    ],
)
def test_what_is_no_table_is_told_beside_the_field(owner, garden, data, reason):
    answer = send(owner, "beds_import", garden.pk, **data)
    assert answer.status_code == 422
    assert reason in plain(answer)


def test_everything_comes_out_as_tables_and_no_cell_runs_as_a_formula(viewer, stranger, garden):
    planting = PlantingFactory(bed__garden=garden, bed__name="Bed ü")
    NoteFactory(garden=garden, text='=HYPERLINK("x")', logged_by=viewer.user)
    NoteFactory(text="Of another garden")
    address = reverse("tables_out", args=[garden.pk])
    assert stranger.get(address).status_code == 404
    zipped = ZipFile(BytesIO(viewer.get(address).content))
    assert zipped.testzip() is None
    assert {"bed.csv", "planting.csv", "note.csv", "READ ME.txt"} <= set(zipped.namelist())
    assert len(set(zipped.namelist())) == len(zipped.namelist())
    rows = list(csv.DictReader(StringIO(zipped.read("planting.csv").decode("utf-8-sig"))))
    assert [(row["bed"], row["bed_id"]) for row in rows] == [("Bed ü", str(planting.bed_id))]
    notes = zipped.read("note.csv").decode("utf-8-sig")
    assert "Of another garden" not in notes
    [note] = csv.DictReader(StringIO(notes))
    assert (note["text"], note["logged_by"]) == ('\'=HYPERLINK("x")', "vera")
    assert Note.objects.count() == 2
