"""The Build place: pens drawn on their beds, and boards cut without waste."""

import pytest

from tests.factories import BedFactory, PenFactory

pytestmark = pytest.mark.django_db

FRAME = {
    "pieces": "3",
    "stocks": "2",
    "piece-0-name": "Rail",
    "piece-0-profile": "2x2",
    "piece-0-length_mm": "1200",
    "piece-0-count": "2",
    "piece-1-name": "Post",
    "piece-1-profile": "2 X 2",
    "piece-1-length_mm": "597",
    "piece-1-count": "2",
    "stock-0-profile": "2×2",
    "stock-0-length_mm": "2400",
    "stock-0-price": "4.10",
    "stock-1-profile": "2x2",
    "stock-1-length_mm": "3600",
    "stock-1-price": "6.60",
    "kerf_mm": "3",
    "trim_mm": "0",
}
"""1200 + 3 + 597 + 3 + 597 is 2400 to the millimetre; the second rail takes a board of its own."""


def build(garden) -> str:
    return f"/g/{garden.pk}/build/"


def test_a_pen_shows_its_places_and_its_room(garden, owner):
    BedFactory.create_batch(3, garden=garden, length_mm=3600, width_mm=1200)
    PenFactory(garden=garden, name="Pen A", length_mm=1780, width_mm=1180, floor_m2=1.88)

    page = owner.get(build(garden)).content.decode()

    assert "2 places" in page
    assert "10 mm at each side" in page
    # 20 kg/m² on 1.88 m² is 37.6 kg: fifteen birds of 2.4 kg.
    assert "15 birds of 2.4 kg" in page


def test_a_pen_that_fits_no_bed_says_by_how_much(garden, owner):
    BedFactory(garden=garden, length_mm=2400, width_mm=1200)
    PenFactory(garden=garden, length_mm=2395, width_mm=1300, floor_m2=3)

    page = " ".join(owner.get(build(garden)).content.decode().split())

    assert "15 mm too long and 120 mm too wide" in page


def test_an_empty_garden_says_what_to_do_first(garden, owner, viewer):
    assert f'href="/g/{garden.pk}/beds/new/"' in owner.get(build(garden)).content.decode()
    BedFactory(garden=garden)
    assert f'href="/g/{garden.pk}/build/pens/new/"' in owner.get(build(garden)).content.decode()
    assert "Add a pen" not in viewer.get(build(garden)).content.decode()


def test_two_hundred_beds_take_no_more_queries(garden, owner, django_assert_max_num_queries):
    BedFactory.create_batch(200, garden=garden)
    PenFactory.create_batch(5, garden=garden)

    # Session, user, membership, beds, pens, undo step.
    with django_assert_max_num_queries(7):
        page = owner.get(build(garden)).content
    assert len(page) < 60_000


def test_boards_are_cut_at_the_least_cost(garden, viewer):
    answer = viewer.get(f"{build(garden)}cut/", FRAME)

    page = " ".join(answer.content.decode().split())
    assert answer.status_code == 200
    assert "no way of cutting these pieces costs less" in page
    # Two boards of 2400 cost 8.20; one of 3600 and one of 2400 would cost 10.70.
    assert "2 boards, 8.20 in all" in page
    assert "used to its end" in page
    assert "1,197 mm" in page or "1197 mm" in page


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"piece-0-length_mm": "5 m"}, "The longest board of 2x2 gives 3600 mm."),
        ({"piece-0-length_mm": "3600", "trim_mm": "1"}, "The longest board of 2x2 gives 3599 mm."),
        ({"piece-0-profile": "1x4"}, "There is no board of 1x4"),
        ({"piece-0-count": "many"}, "Enter a whole number"),
        ({"piece-0-count": "501"}, "less than or equal to 500"),
        ({"stock-0-price": ""}, "Board 1, Price of one: Say what one costs"),
        ({"stock-0-price": "nan"}, "Enter a number"),
        ({"kerf_mm": "30"}, "at most 20 mm"),
        ({"trim_mm": ""}, "This field is required"),
        (
            {"stock-0-available": "1", "stock-1-available": "0"},
            "The boards of 2x2 on hand are not enough",
        ),
    ],
)
def test_a_mistake_is_told_and_kept(garden, owner, changed, told):
    answer = owner.get(f"{build(garden)}cut/", FRAME | changed)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert told in page
    assert 'value="597"' in page
    assert "How to cut each board" not in page


def test_a_piece_as_long_as_its_board_fits_to_the_sixteenth(garden, owner):
    garden.unit_system = "us"
    garden.save()
    # 95 15/16 in is 2436.8125 mm, which no hundredth of a millimetre hits.
    changed = {
        "piece-0-length_mm": "95 15/16",
        "piece-1-length_mm": "597 mm",
        "stock-0-length_mm": "7 ft 11 15/16 in",
        "stock-1-length_mm": "80",
        "kerf_mm": "1/8",
    }

    answer = owner.get(f"{build(garden)}cut/", FRAME | changed)

    assert answer.status_code == 200


def test_nothing_to_cut_is_told(garden, owner):
    empty = {name: value for name, value in FRAME.items() if not name.startswith("piece-")}

    answer = owner.get(f"{build(garden)}cut/", empty)

    assert answer.status_code == 422
    assert "Give at least one piece to cut." in answer.content.decode()


def test_more_lines_keep_what_was_typed_without_judging_it(garden, owner):
    answer = owner.get(f"{build(garden)}cut/", FRAME | {"more": "pieces", "piece-0-count": "a few"})

    form = answer.context["form"]
    assert answer.status_code == 200
    assert (len(form.pieces), len(form.stock)) == (7, 3)
    assert 'value="a few"' in answer.content.decode()
    assert form.faults == []


def test_lines_have_an_end(garden, owner):
    answer = owner.get(f"{build(garden)}cut/", {"more": "pieces", "pieces": "999"})

    assert len(answer.context["form"].pieces) == 40


def test_the_frame_of_a_pen_fills_the_form(garden, owner):
    pen = PenFactory(garden=garden, length_mm=1780, width_mm=1180, floor_m2=1.88)

    form = owner.get(f"{build(garden)}cut/?pen={pen.pk}").context["form"]

    lines = [
        (row["name"].value(), row["length_mm"].value(), row["count"].value()) for row in form.pieces
    ]
    assert lines[:3] == [("Rail", "1780 mm", 4), ("End rail", "1104 mm", 4), ("Post", "524 mm", 6)]
    assert [row["length_mm"].value() for row in form.stock] == ["2400 mm", "3000 mm", "3600 mm"]


@pytest.mark.parametrize("pen", ["0", "x", "٣", "9" * 30])
def test_a_pen_that_is_none_is_not_found(garden, owner, pen):
    assert owner.get(f"{build(garden)}cut/", {"pen": pen}).status_code == 404


def test_a_stranger_sees_no_pens(garden, stranger):
    assert stranger.get(build(garden)).status_code == 404
    assert stranger.get(f"{build(garden)}cut/").status_code == 404
