"""The list of batches, the page of one, changing it, and the file of its records."""

import csv
import json
import re
from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import escape

from flocks.forms import BatchForm
from flocks.models import Batch, BatchPen
from flocks.strains import built_in_strains, strain_sources
from garden.models import Garden, UndoStep
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    FeedRecordFactory,
    GardenFactory,
    LossFactory,
    NoteFactory,
    PenFactory,
    ProcessingFactory,
    WeighingFactory,
)


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return 20 birds in two pens, 33 days old, weighed, fed and missed once."""
    batch = BatchFactory(garden=garden, name="Spring batch", chicks=20)
    for name in ("Pen A", "Pen B"):
        BatchPenFactory(batch=batch, pen__name=name, birds=10)
    WeighingFactory(batch=batch)
    for age in range(0, 33, 4):
        FeedRecordFactory(batch=batch, on=batch.hatch_on + timedelta(days=age), mass_kg=2 + age / 4)
    LossFactory(batch=batch)
    NoteFactory(garden=garden, batch=batch)
    return batch


def page_of(client: Client, batch: Batch) -> str:
    """Return the batch's page as text, with its white space evened out."""
    response = client.get(reverse("batch", args=[batch.garden_id, batch.pk]))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def list_of(client: Client, garden: Garden) -> str:
    """Return the list of batches in the same way."""
    return " ".join(client.get(reverse("batches", args=[garden.pk])).content.decode().split())


def test_an_empty_garden_says_what_to_do_first(owner, viewer, garden):
    new = reverse("batch_new", args=[garden.pk])
    assert "No batch yet" in list_of(owner, garden)
    assert new in list_of(owner, garden)
    assert new not in list_of(viewer, garden)


def test_the_list_says_of_each_batch_what_matters(owner, garden, batch):
    BatchFactory(garden=garden, name="Chicks", hatch_on=TODAY - timedelta(days=5))
    BatchFactory(garden=garden, name="Autumn", hatch_on=TODAY + timedelta(days=40))
    first = BatchFactory(garden=garden, name="First try", finished_on=date(2026, 5, 30))
    ProcessingFactory(batch=first, count=10, dressed_kg=21.4)
    text = list_of(owner, garden)
    order = ["In the garden", "In the brooder", "Planned", "Finished"]
    assert sorted(order, key=text.index) == order
    assert re.search(
        r"Day 33, about 1\.\d\d kg, ready \w{3} \d+ June to \w{3} \d+ (June|July)\.", text
    )
    assert "19 of 20 birds, Pen A and Pen B. Wanted 2.40 kg." in text
    assert re.search(r"Day 5, about \d+ g, ready .* Out of the brooder Wed 1 July", text)
    assert re.search(r"Hatches Wed 22 July 2026, ready about \w{3} \d+", text)
    assert "Finished Sat 30 May 2026: 10 of 10 processed, 21.4 kg dressed." in text


def test_the_list_costs_the_same_for_many_batches(owner, garden, django_assert_max_num_queries):
    for n in range(6):
        BatchPenFactory(
            batch__garden=garden, batch__hatch_on=TODAY - timedelta(days=9 * n), pen__name=f"P{n}"
        )
    with django_assert_max_num_queries(12):
        list_of(owner, garden)


def test_the_page_gives_four_facts_and_says_when_they_are_ready(owner, batch):
    text = page_of(owner, batch)
    for fact in ("Average weight", "Against expected", "Birds", "Feed per kg gained"):
        assert f"<dt>{fact}</dt>" in text
    assert "19 <small>of 20</small>" in text
    assert re.search(
        r"They should average 2\.40 kg on \w{3} \d+ \w+; 8 times in 10 between .* and ", text
    )
    assert "Wash hands after birds" in text


@pytest.mark.parametrize("key", built_in_strains())
def test_every_expected_figure_says_what_it_rests_on(owner, batch, key):
    batch.strain = key
    batch.save()
    text = page_of(owner, batch).partition("Where these figures come from")[2]
    for figure, sources, mark in strain_sources(key):
        assert f"<b>{figure}:</b> {escape(', '.join(sources))} ({mark})." in text
        assert mark in {"published", "derived", "from memory"}
    assert len(strain_sources(key)) == 3


def test_the_page_stays_within_its_queries(owner, batch, django_assert_max_num_queries):
    with django_assert_max_num_queries(12):
        page_of(owner, batch)


def test_drawing_table_and_figure_show_one_weighing(owner, batch):
    text = page_of(owner, batch)
    assert text.count('<circle class="point"') == 2  # one on the chart, one in its key
    assert "21, Sun 31 May</th><td" in text
    source = re.search(r'<script id="weight" type="application/json">(.*?)</script>', text)
    traces = {trace.get("name"): trace for trace in json.loads(source[1])["data"]}
    assert (traces["Weighed"]["x"], traces["Weighed"]["y"]) == ([21.0], [0.8])


def test_birds_never_weighed_are_not_said_to_be_on_course(owner, garden):
    text = page_of(owner, BatchFactory(garden=garden))
    assert "not weighed" in text
    assert "Weighed" not in text


def test_us_gardens_read_pounds(owner, batch):
    Garden.objects.update(unit_system="us")
    text = page_of(owner, batch)
    assert "Feed per lb gained" in text
    assert "average 5 lb 4.5 oz" in text
    shown = re.sub(r"<script.*?</script>", "", text).replace("sets 33 kg/m² for houses", "")
    assert " kg" not in shown


def test_too_many_birds_are_told_with_a_cure(owner, garden):
    share = BatchPenFactory(batch__garden=garden, batch__chicks=15, pen__name="Pen A")
    text = page_of(owner, share.batch)
    assert re.search(r"Pen A gets too tight on \w{3} \d+ June</strong>, over 20\.0 kg/m²", text)
    # Day 48 at about 3 kg: 20 kg/m² on 1.2 m² hold 8 of them.
    fits = int(re.search(r"(\d+) birds? fit to the end", text)[1])
    assert fits in (7, 8, 9)
    assert f"Move {15 - fits} of its 15 birds to another pen" in text


def test_birds_with_room_get_no_such_caution(owner, garden):
    text = page_of(owner, BatchPenFactory(batch__garden=garden, batch__chicks=4).batch)
    assert "too tight" not in text
    assert "Under 20.0 kg/m² to the end." in text


def test_in_the_brooder_warmth_and_fire_come_first(owner, garden):
    chicks = BatchFactory(garden=garden, hatch_on=TODAY - timedelta(days=3))
    text = page_of(owner, chicks)
    assert "Keep 33 °C to 35 °C" in text  # Clauer, Penn State and Virginia Tech: 92-95 °F in week 1
    assert "Fire." in text
    assert "On hot days" not in text


def test_a_batch_not_hatched_yet_cannot_be_weighed(owner, garden):
    later = BatchFactory(garden=garden, hatch_on=TODAY + timedelta(days=20))
    text = page_of(owner, later)
    assert "Log a weighing" not in text
    assert "They will eat" in text


def test_a_batch_kept_past_its_day_is_told(owner, garden):
    late = BatchFactory(garden=garden, hatch_on=TODAY - timedelta(days=60))
    assert "Processing was to be Mon 1 June." in page_of(owner, late)
    assert "processing was to be Mon 1 June" in list_of(owner, garden)


def test_a_finished_batch_is_summed_up(owner, garden):
    done = BatchFactory(garden=garden, chicks=12, hatch_on=date(2026, 3, 1))
    LossFactory(batch=done, on=date(2026, 3, 5))
    FeedRecordFactory(batch=done, on=date(2026, 3, 2), mass_kg=59.0)
    ProcessingFactory(batch=done, on=date(2026, 4, 25), count=11, live_mean_g=2722, dressed_kg=21.4)
    Batch.objects.update(finished_on=date(2026, 4, 25))
    text = page_of(owner, done)
    # 59 kg over 11 birds that gained 2722 − 40 g each: 59 / 29.5 = 2.00.
    assert "2.00 <small>kg</small>" in text
    assert "21.4 kg</dd>" in text
    assert "1 <small>8 %</small>" in text
    assert "2.76 kg for each kilogram dressed" in text
    assert "today</text>" not in text
    assert "Log a weighing" not in text


def test_a_viewer_sees_the_page_without_buttons(viewer, batch):
    text = page_of(viewer, batch)
    assert "Export CSV" in text
    for word in ("Log a weighing", "Change batch", ">Change<", "Write a note"):
        assert word not in text
    edit = reverse("batch_edit", args=[batch.garden_id, batch.pk])
    assert viewer.get(edit).status_code == viewer.post(edit).status_code == 403


def test_a_stranger_finds_nothing(stranger, owner, batch):
    for name in ("batch", "batch_edit", "batch_csv"):
        assert stranger.get(reverse(name, args=[batch.garden_id, batch.pk])).status_code == 404
    own = stranger.user.memberships.get().garden
    assert stranger.get(reverse("batch", args=[own.pk, batch.pk])).status_code == 404


def form_data(**changes: object) -> dict[str, object]:
    """Return what the form of a batch posts."""
    usual = {
        "name": "Spring batch",
        "hatch_on": "2026-05-10",
        "chicks": "20",
        "strain": "fast",
        "target_g": "2.4 kg",
        "leaves_brooder_on": "2026-06-03",
        "processing_on": "2026-06-28",
    }
    return usual | changes


def edit(client: Client, batch: Batch, **changes: object) -> object:
    """Post the form of a batch and return the answer."""
    data = {"pens": list(batch.pens.values_list("pk", flat=True))} | form_data(**changes)
    return client.post(reverse("batch_edit", args=[batch.garden_id, batch.pk]), data)


def test_a_helper_changes_the_weight_wanted_and_takes_it_back(helper, batch):
    assert edit(helper, batch, target_g="2700").status_code == 302
    batch.refresh_from_db()
    assert batch.target_g == 2700
    step = UndoStep.objects.latest("pk")
    assert step.said == "Spring batch changed"
    helper.post(reverse("undo", args=[batch.garden_id, step.pk]))
    batch.refresh_from_db()
    assert batch.target_g == 2400


def test_shares_stay_while_pens_and_chicks_do(helper, batch):
    BatchPen.objects.filter(pen__name="Pen A").update(birds=13)
    BatchPen.objects.filter(pen__name="Pen B").update(birds=7)
    edit(helper, batch, name="Renamed")
    assert sorted(batch.shares.values_list("birds", flat=True)) == [7, 13]


def test_another_pen_means_sharing_anew_by_the_floor(helper, garden, batch):
    small = PenFactory(garden=garden, floor_m2=0.6)
    pens = [batch.pens.first().pk, small.pk]
    assert edit(helper, batch, pens=pens, chicks="25").status_code == 302
    assert list(batch.shares.order_by("pk").values_list("birds", flat=True)) == [17, 8]
    helper.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))
    assert sorted(batch.shares.values_list("birds", "pen__name")) == [(10, "Pen A"), (10, "Pen B")]


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"leaves_brooder_on": "2026-05-10"}, "Chicks leave the brooder after they hatch."),
        ({"processing_on": "2026-06-03"}, "Processing comes after the birds have left"),
        ({"processing_on": "2029-06-03"}, "Give a day within two years of today."),
        ({"hatch_on": "2026-05-13"}, "Something was logged on Sun 10 May."),
        ({"chicks": "0"}, "At least 1: so many are logged as lost or processed."),
        ({"chicks": "1"}, "There are fewer chicks than pens."),
        ({"target_g": "a lot"}, "Give a weight"),
        ({"target_g": "20 kg"}, "Give a weight of at most 8.00 kg."),
        ({"strain": "dodo"}, "Select a valid choice"),
        ({"name": "Other"}, "This garden already has a batch of that name."),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(helper, garden, batch, changes, reason):
    BatchFactory(garden=garden, name="Other")
    response = edit(helper, batch, **changes)
    assert response.status_code == 422
    text = response.content.decode()
    assert reason in text
    [(_, typed)] = changes.items()
    assert typed in text  # what was typed is kept
    batch.refresh_from_db()
    assert batch.name == "Spring batch"


def test_birds_already_gone_cannot_be_forgotten(helper, batch):
    LossFactory(batch=batch, count=7)
    response = edit(helper, batch, chicks="5")
    assert "At least 8: so many are logged as lost or processed." in response.content.decode()


def test_pens_of_another_garden_are_not_to_be_had(helper, batch):
    foreign = PenFactory(garden=GardenFactory())
    assert edit(helper, batch, pens=[foreign.pk]).status_code == 422
    assert foreign not in batch.pens.all()


def draft(garden: Garden, **changes: object) -> BatchForm:
    """Return the form of a new batch, filled in."""
    blank = {"leaves_brooder_on": "", "processing_on": ""}
    return BatchForm(form_data(**blank, **{"name": "New"} | changes), garden=garden)


def test_blank_days_are_what_is_usual(garden, batch):
    pen = PenFactory(garden=garden)
    form = draft(garden, hatch_on="2026-06-20", pens=[pen.pk])
    assert form.is_valid(), form.errors.as_data()
    assert form.cleaned_data["leaves_brooder_on"] == date(2026, 7, 14)
    # A fast bird reaches 2.4 kg at about 41 days (Poultry CRC table: 2.5 kg at 42).
    assert abs((form.cleaned_data["processing_on"] - date(2026, 7, 31)).days) <= 2


def test_a_weight_they_never_reach_is_told(garden):
    form = draft(garden, strain="label", target_g="8 kg", pens=[PenFactory(garden=garden).pk])
    assert not form.is_valid()
    assert form.errors["target_g"] == ["Such birds do not reach this weight in 150 days."]


def test_game_hens_are_not_processed_before_they_leave_the_brooder(garden):
    form = draft(garden, target_g="400", pens=[PenFactory(garden=garden).pk])
    assert form.is_valid(), form.errors.as_data()
    assert form.cleaned_data["processing_on"] == form.cleaned_data["leaves_brooder_on"] + timedelta(
        days=1
    )


@pytest.mark.parametrize(
    ("hatch_on", "free"),
    [
        ("2026-05-10", False),
        ("2026-06-03", False),  # leaves on 27 June, the day before the others go
        ("2026-06-04", True),  # leaves on the day the others go
    ],
)
def test_a_pen_takes_one_batch_at_a_time(garden, batch, hatch_on, free):
    form = draft(garden, hatch_on=hatch_on, pens=[batch.pens.first().pk])
    assert form.is_valid() == free
    if not free:
        told = "Pen A: used by Spring batch from Wed 3 June to Sun 28 June."
        assert form.errors["pens"] == [told]


def test_birds_past_their_day_keep_their_pen_until_they_are_gone(garden):
    share = BatchPenFactory(batch__garden=garden, batch__hatch_on=TODAY - timedelta(days=60))
    days = {"hatch_on": "2026-06-01", "leaves_brooder_on": TODAY.isoformat()}
    days["processing_on"] = "2026-07-20"
    assert not BatchForm(
        form_data(name="New", pens=[share.pen_id], **days), garden=garden
    ).is_valid()
    Batch.objects.update(finished_on=TODAY - timedelta(days=1))
    assert BatchForm(form_data(name="New", pens=[share.pen_id], **days), garden=garden).is_valid()


def test_the_file_has_every_record_in_si_units(viewer, batch):
    WeighingFactory(batch=batch, on=TODAY, count=2, mean_g=1500, weights_g=[1400, 1600])
    NoteFactory(garden=batch.garden, batch=batch, text="=1+1", on=TODAY)
    response = viewer.get(reverse("batch_csv", args=[batch.garden_id, batch.pk]))
    assert response["Content-Disposition"] == 'attachment; filename="spring-batch.csv"'
    rows = list(csv.DictReader(response.content.decode().splitlines()))
    assert len(rows) == 1 + 9 + 1 + 1 + 2
    weighed = next(row for row in rows if row["weights_g"])
    assert (weighed["day"], weighed["age_days"], weighed["birds"]) == ("2026-06-12", "33", "2")
    assert (weighed["mean_weight_g"], weighed["weights_g"]) == ("1500", "1400 1600")
    # A spreadsheet must not calculate what somebody wrote.
    assert rows[-1]["note"] == "'=1+1" or rows[-2]["note"] == "'=1+1"


def test_hens_kept_for_years_still_have_a_page(owner, garden):
    old = BatchPenFactory(batch__garden=garden, batch__hatch_on=TODAY - timedelta(days=900)).batch
    WeighingFactory(batch=old, on=TODAY - timedelta(days=1), mean_g=4000)
    FeedRecordFactory(batch=old, on=TODAY - timedelta(days=1))
    text = page_of(owner, old)
    assert "Processing was to be" in text
    assert text.count('class="bar-open"') == 22 + 1  # weeks up to 150 days, and the key
