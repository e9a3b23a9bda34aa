"""Designing a pen: from the beds to a drawing, and from the drawing to a pen in the garden."""

import gzip

import pytest
from django.urls import reverse

from garden.models import Bed, UndoStep
from garden.undo import undo_step_take_back
from pens.models import Design, Pen
from tests.factories import BedFactory, DesignFactory, GardenFactory

pytestmark = pytest.mark.django_db


def page(garden, rest: str = "new/") -> str:
    return f"/g/{garden.pk}/build/designs/{rest}"


def of(design: Design, route: str, **ids: str) -> str:
    kwargs = {"garden_id": design.garden_id, "design_id": design.pk} | ids
    return reverse(route, kwargs=kwargs)


def shown(browser, garden) -> dict[str, object]:
    """Return what the empty form would send."""
    form = browser.get(page(garden)).context["form"]
    values = {name: form[name].value() for name in form.fields}
    return {
        name: value for name, value in values.items() if value is not None and value is not False
    }


@pytest.fixture
def bed(garden) -> Bed:
    return BedFactory(garden=garden, name="Bed 1", length_mm=2400, width_mm=1200)


def test_a_bed_and_a_name_are_enough_for_a_design(garden, owner, bed):
    answer = owner.post(page(garden), shown(owner, garden) | {"name": "Long", "birds": "12"})

    design = Design.objects.get()
    assert answer["Location"] == of(design, "design")
    # The bed's inside less the garden's 10 mm on each side.
    assert (design.length_mm, design.width_mm) == (2380, 1180)
    assert [row.name for row in design.beds.all()] == ["Bed 1"]
    told = owner.get(of(design, "design")).content.decode()
    assert "2380 mm by 1180 mm" in told
    assert "2 doors" in told
    assert "<svg" in told


def test_two_pens_along_a_bed_leave_three_gaps(garden, owner, bed):
    owner.post(page(garden), shown(owner, garden) | {"name": "Half", "along": "2"})
    assert Design.objects.get().length_mm == 1185


def test_several_beds_take_the_pen_of_the_smallest(garden, owner, bed):
    other = BedFactory(garden=garden, length_mm=3700, width_mm=900)
    owner.post(page(garden), shown(owner, garden) | {"name": "Both", "beds": [bed.pk, other.pk]})
    design = Design.objects.get()
    assert (design.length_mm, design.width_mm) == (2380, 880)


@pytest.mark.parametrize("typed", ['44 1/4"', "3' 8¼\"", "1.124 m", "1124"])
def test_a_length_is_read_however_it_is_written(garden, owner, bed, typed):
    values = shown(owner, garden) | {"name": "X", "width_mm": typed}
    owner.post(page(garden), values | {"length_mm": "1.8 m"})
    assert Design.objects.get().width_mm == 1124


@pytest.mark.parametrize(
    ("changed", "field", "told"),
    [
        ({"beds": []}, "length_mm", "Choose a bed above"),
        ({"length_mm": "900", "width_mm": "1200"}, "length_mm", "longer side"),
        ({"length_mm": "44 1/0"}, "length_mm", "Give a length"),
        ({"length_mm": "-3"}, "length_mm", "not below zero"),
        ({"length_mm": "12 m"}, "length_mm", "at most"),
        ({"height_mm": "10 cm"}, "height_mm", "at least 300 mm"),
        ({"door_gap_mm": "9"}, "door_gap_mm", "at most 5 mm"),
        ({"gust_m_s": "hurricane"}, "gust_m_s", "Give a wind speed"),
        ({"gust_m_s": "400 km/h"}, "gust_m_s", "at most 70 m/s"),
        ({"kerf_mm": "−1"}, "kerf_mm", "not below zero"),
        ({"birds": "-1"}, "birds", "greater than or equal to 0"),
        ({"profile": "plank"}, "profile", "Select a valid choice"),
        ({"strap": "45x70"}, "strap", "no thicker"),
        ({"name": "OLD"}, "name", "already has a pen design called “Old”"),
        ({"beds": ["999999"]}, "beds", "not one of the available choices"),
    ],
)
def test_a_mistake_is_told_beside_its_field_and_what_was_typed_stays(
    garden, owner, bed, changed, field, told
):
    DesignFactory(garden=garden, name="Old")
    answer = owner.post(page(garden), shown(owner, garden) | changed)

    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() == {field}
    assert told in str(answer.context["form"].errors[field])
    assert Design.objects.count() == 1


def test_no_saw_cut_at_all_is_taken(garden, owner, bed):
    owner.post(page(garden), shown(owner, garden) | {"name": "Knife", "kerf_mm": "0"})
    design = Design.objects.get()
    assert design.kerf_mm == 0
    assert owner.get(of(design, "design_print")).status_code == 200


def test_a_bed_smaller_than_two_framings_is_refused_beside_the_beds(garden, owner):
    tiny = BedFactory(garden=garden, name="Tiny", length_mm=400, width_mm=200)
    Bed.objects.filter(pk=tiny.pk).update(width_mm=70)
    answer = owner.post(page(garden), shown(owner, garden) | {"name": "X", "beds": [tiny.pk]})
    assert "Tiny is too small" in str(answer.context["form"].errors["beds"])


def test_a_bed_too_small_for_any_pen_says_what_it_leaves(garden, owner):
    BedFactory(garden=garden, length_mm=400, width_mm=250)
    answer = owner.post(page(garden), shown(owner, garden) | {"name": "X"})
    assert "too little for a pen" in str(answer.context["form"].errors["width_mm"])


def test_a_design_is_changed_and_the_change_taken_back(garden, owner, bed):
    design = DesignFactory(garden=garden, name="Long")
    design.beds.add(bed)
    form = owner.get(of(design, "design_edit")).context["form"]
    values = {name: form[name].value() for name in form.fields}
    values = {
        name: value for name, value in values.items() if value is not None and value is not False
    }
    assert owner.post(of(design, "design_edit"), values | {"height_mm": "700"}).status_code == 302
    design.refresh_from_db()
    assert (design.height_mm, design.length_mm) == (700, 2380)

    undo_step_take_back(step=UndoStep.objects.latest("pk"))
    design.refresh_from_db()
    assert design.height_mm == 610
    assert list(design.beds.all()) == [bed]


def test_one_tap_puts_the_pen_in_the_garden_with_its_weight_and_floor(garden, owner, bed):
    design = DesignFactory(garden=garden, name="Long")
    owner.post(of(design, "design_build"))
    owner.post(of(design, "design_build"))

    first, second = Pen.objects.order_by("pk")
    assert (first.name, second.name) == ("Long", "Long 2")
    assert (first.length_mm, first.width_mm) == (2380, 1180)
    assert first.floor_m2 == pytest.approx(2.304 * 1.104, abs=1e-4)
    assert 15 < first.mass_kg < 50
    assert first.design == design
    assert "about" in owner.get(f"/g/{garden.pk}/build/").content.decode()


def test_removing_a_design_keeps_its_pens_and_can_be_undone(garden, owner, bed):
    design = DesignFactory(garden=garden, name="Long")
    design.beds.add(bed)
    owner.post(of(design, "design_build"))
    owner.post(of(design, "design_tick"), {"now": ["hinge"]})

    owner.post(of(design, "design_remove"))
    assert not Design.objects.exists()
    assert Pen.objects.get().design is None

    undo_step_take_back(step=UndoStep.objects.latest("pk"))
    design = Design.objects.get()
    assert Pen.objects.get().design == design
    assert list(design.beds.all()) == [bed]
    assert [row.key for row in design.got.all()] == ["hinge"]


def test_the_page_tells_how_long_the_birds_have_room(garden, owner, bed):
    many = DesignFactory(garden=garden, birds=24, strain="fast")
    # 24 birds on 2.54 m² at 20 kg/m²: 2120 g each, between the 5th (1923 g) and the 6th week.
    assert "to the end of <b>week 5</b>" in owner.get(of(many, "design")).content.decode()
    crowd = DesignFactory(garden=garden, birds=499, strain="fast")
    assert "too many for its floor" in owner.get(of(crowd, "design")).content.decode()
    few = DesignFactory(garden=garden, birds=2, strain="slow")
    assert "for all 12 weeks" in owner.get(of(few, "design")).content.decode()


def test_every_bed_is_told_both_ways_round_with_its_gaps(garden, owner, bed):
    square = BedFactory(garden=garden, name="Square", length_mm=2400, width_mm=2400)
    small = BedFactory(garden=garden, name="Small", length_mm=1000, width_mm=900)
    told = owner.get(of(DesignFactory(garden=garden), "design")).context["page"].fits
    rows = {fit.beds: [row.places for row in fit.rows] for fit in told}
    assert rows == {("Bed 1",): [1, 0], (square.name,): [1, 2], (small.name,): [0, 0]}


def test_choose_for_me_proposes_sizes_that_can_be_designed(garden, owner, bed):
    place = f"/g/{garden.pk}/build/choose/"
    asked = {"birds": "10", "mass_g": "2.4 kg", "by": "weight", "doors": "lids"}
    chosen = owner.get(place, asked).context["chosen"]
    assert chosen.enough
    [size] = chosen.sizes
    assert (size.length_mm, size.width_mm) in ((2380, 1180), (1185, 1180))
    form = owner.get(f"{page(garden)}?length_mm={size.length_mm}&width_mm={size.width_mm}")
    assert form.context["form"]["length_mm"].value() == f"{size.length_mm} mm"


def test_choose_for_me_answers_bad_figures_and_a_garden_without_beds(garden, owner):
    place = f"/g/{garden.pk}/build/choose/"
    wrong = owner.get(place, {"birds": "0", "mass_g": "heavy", "by": "weight", "doors": "lids"})
    assert wrong.status_code == 422
    assert wrong.context["form"].errors.keys() == {"birds", "mass_g"}
    asked = {"birds": "10", "mass_g": "2400", "by": "cost", "doors": "sides"}
    assert "no beds yet" in owner.get(place, asked).content.decode()


@pytest.mark.parametrize("name", ["plan", "front", "side", "taken-apart", "door-1"])
def test_each_drawing_is_sent_as_a_file(garden, owner, name):
    answer = owner.get(of(DesignFactory(garden=garden), "design_svg", name=name))
    assert answer["Content-Type"] == "image/svg+xml"
    assert answer.content.startswith(b"<?xml")
    assert "attachment" in answer["Content-Disposition"]


def test_a_drawing_that_there_is_not_is_not_found(garden, owner):
    place = of(DesignFactory(garden=garden), "design_svg", name="door-9")
    assert owner.get(place).status_code == 404


def test_a_name_cannot_break_out_of_a_drawing(garden, owner):
    bed = BedFactory(garden=garden, name='"><script>alert(1)</script>')
    design = DesignFactory(garden=garden)
    design.beds.add(bed)
    assert b"<script>alert" not in owner.get(of(design, "design")).content


def test_only_owners_design_and_everybody_may_look(garden, owner, helper, viewer, stranger):
    design = DesignFactory(garden=garden)
    for browser, look, change in ((helper, 200, 403), (viewer, 200, 403), (stranger, 404, 404)):
        assert browser.get(of(design, "design")).status_code == look
        assert browser.get(of(design, "design_steps")).status_code == look
        assert browser.get(page(garden)).status_code == change
        assert browser.post(of(design, "design_build")).status_code == change
    assert not Pen.objects.exists()


def test_beds_of_another_garden_cannot_be_chosen(garden, owner, bed):
    foreign = BedFactory(garden=GardenFactory())
    answer = owner.post(page(garden), shown(owner, garden) | {"beds": [foreign.pk]})
    assert answer.context["form"].errors.keys() == {"beds"}


@pytest.mark.parametrize("route", ["design", "design_steps", "design_print", "design_prices"])
def test_a_design_that_can_no_longer_be_built_says_why(garden, owner, route):
    design = DesignFactory(garden=garden, profile="45x70", strap="25x38", height_mm=300)
    told = owner.get(of(design, route), follow=True).content.decode()
    assert "This design cannot be built: A pen of this wood is at least 300 mm high" not in told
    Design.objects.update(profile="38x89")
    told = owner.get(of(design, route), follow=True).content.decode()
    assert "This design cannot be built: A pen of this wood is at least 356 mm high." in told


@pytest.mark.parametrize("name", ["design", "design_steps", "design_shop", "design_print"])
def test_a_page_of_a_long_pen_is_light(garden, owner, name, django_assert_max_num_queries):
    BedFactory.create_batch(12, garden=garden, length_mm=4800)
    design = DesignFactory(garden=garden, length_mm=4780, has_roost=True, birds=12, skids=True)
    with django_assert_max_num_queries(12):
        answer = owner.get(of(design, name))
    assert len(gzip.compress(answer.content)) < 60_000


# ---------------------------------------------------------------------------------------------
# The shop's wire, the beds' walls, and who lifts it


def test_the_wire_of_the_shop_is_told_once_for_a_garden(garden, owner, bed):
    told = {"roll_widths_mm": "1 m; 500", "roll_lengths_mm": "5 m, 10 m", "mesh": "half-inch-16"}
    owner.post(page(garden), shown(owner, garden) | told | {"name": "Long"})
    design = Design.objects.get()
    assert (design.roll_widths_mm, design.roll_lengths_mm) == ([500, 1000], [5000, 10_000])
    listed = owner.get(of(design, "design_shop")).content.decode()
    assert "16 gauge" in listed
    assert "610 mm" not in listed

    form = owner.get(page(garden)).context["form"]
    assert form["roll_widths_mm"].value() == "500 mm; 1000 mm"
    assert form["mesh"].value() == "half-inch-16"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("", "This field is required"),
        ("610; wide", "Give a length"),
        ("610; 20", "at least"),
        ("; ".join(["610 mm"] * 9), "at most 8"),
    ],
)
def test_rolls_that_cannot_be_are_told_beside_the_field(garden, owner, bed, typed, told):
    answer = owner.post(page(garden), shown(owner, garden) | {"roll_widths_mm": typed})
    form = answer.context["form"]
    assert answer.status_code == 422
    assert told in " ".join(form.errors["roll_widths_mm"])
    assert form["roll_widths_mm"].value() == typed


def test_thicker_walls_make_a_larger_pen_over_them(garden, owner, bed):
    for number, wall in enumerate(("38 mm", "100 mm")):
        told = {"name": f"Over {number}", "standing": "over", "wall_mm": wall}
        owner.post(page(garden), shown(owner, garden) | told)
    thin, thick = Design.objects.order_by("pk")
    assert thick.length_mm - thin.length_mm == 2 * (100 - 38)
    assert "which are 100 mm thick" in owner.get(of(thick, "design")).content.decode()


def test_one_person_and_two_are_told_apart_with_what_would_be_lighter(garden, owner, bed):
    text = owner.get(of(DesignFactory(garden=garden, birds=12), "design")).content.decode()
    words = " ".join(text.split())
    # The pen is 118 cm wide: hands 79 cm from the ankles, beyond the equation's 63.
    assert "<b>One person, all of it:</b>" in words
    assert "not recommended at all" in words
    assert "hands are 79 cm from the ankles" in words
    assert "<b>Two people, one at each end:</b>" in words
    assert "Two pens along the bed, half as long" in words
    assert "Sized for 12 birds" in words


def test_what_cannot_be_reached_is_told_with_its_cure(garden, owner, bed):
    far = DesignFactory(garden=garden, width_mm=1240)
    page = owner.get(of(far, "design")).context["page"]
    text = " ".join(owner.get(of(far, "design")).content.decode().split())
    assert "Not every point is within reach" in text
    assert f"a pen {page.cures.width_mm} mm wide" in text
    assert f"at least {page.cures.hook_mm} mm long" in text

    # The cure is right, and so is the hook.
    far.width_mm = page.cures.width_mm
    far.save()
    cured = owner.get(of(far, "design")).context["page"]
    assert (cured.pen.reach.covered, cured.cures) == (True, None)
    assert page.pen.reach.most_mm <= page.pen.reach.reach_mm + page.cures.hook_mm


def test_two_hundred_beds_alike_are_one_line(garden, owner, django_assert_max_num_queries):
    BedFactory.create_batch(200, garden=garden, length_mm=2400, width_mm=1200)
    design = DesignFactory(garden=garden)
    with django_assert_max_num_queries(9):
        text = owner.get(of(design, "design")).content.decode()
    assert "200 beds</summary>" in text
    assert len(text) < 80_000
