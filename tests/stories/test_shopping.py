"""In the shop: prices, the shed, ticks that are sent once or twice, tables to take elsewhere."""

import csv
from decimal import Decimal
from io import StringIO

import pytest
from django.urls import reverse

from garden.models import UndoStep
from garden.undo import undo_step_take_back
from pens.exports import csv_text
from pens.models import Design, Got, Price, ShedItem
from tests.factories import DesignFactory

pytestmark = pytest.mark.django_db


def of(design: Design, route: str, **ids: str) -> str:
    return reverse(route, kwargs={"garden_id": design.garden_id, "design_id": design.pk} | ids)


@pytest.fixture
def design(garden) -> Design:
    return DesignFactory(garden=garden, name="Long")


def lines(browser, design) -> dict[str, object]:
    listed = browser.get(of(design, "design_shop")).context["list"]
    return {line.key: line for group in listed.groups for line in group.lines}


def table(answer) -> list[list[str]]:
    return list(csv.reader(StringIO(answer.content.decode())))


def test_ticks_are_kept_and_a_tick_sent_twice_is_one_tick(design, helper):
    for _ in range(2):
        answer = helper.post(of(design, "design_tick"), {"now": ["hinge", "latch"]})
        assert answer.status_code == 204
    helper.post(of(design, "design_tick"), {"now": ["clip"], "not": ["latch"]})

    assert set(Got.objects.values_list("key", flat=True)) == {"hinge", "clip"}
    assert {key for key, line in lines(helper, design).items() if line.got} == {"hinge", "clip"}


def test_a_tick_of_something_that_is_not_on_the_list_is_dropped(design, helper):
    helper.post(of(design, "design_tick"), {"now": ["hinge", "gold bar"]})
    assert [row.key for row in Got.objects.all()] == ["hinge"]


def test_without_script_the_form_saves_all_ticks_at_once(design, helper):
    helper.post(of(design, "design_shop"), {"got": ["hinge", "latch"]})
    answer = helper.post(of(design, "design_shop"), {"got": ["latch", "clip"]})
    assert answer.status_code == 302
    assert set(Got.objects.values_list("key", flat=True)) == {"latch", "clip"}


def test_a_viewer_sees_the_list_and_ticks_nothing(design, viewer, stranger):
    assert b"disabled" in viewer.get(of(design, "design_shop")).content
    assert viewer.post(of(design, "design_tick"), {"now": ["hinge"]}).status_code == 403
    assert viewer.post(of(design, "design_shop"), {"got": ["hinge"]}).status_code == 403
    assert stranger.post(of(design, "design_tick"), {"now": ["hinge"]}).status_code == 404
    assert not Got.objects.exists()


def test_without_prices_the_list_says_so_and_with_some_it_counts_the_rest(design, owner):
    assert "No price is known yet" in owner.get(of(design, "design_shop")).content.decode()
    owner.post(of(design, "design_prices"), {"price:hinge": "1.60", "have:hinge": "1"})

    line = lines(owner, design)["hinge"]
    assert line.on_hand == 1
    assert line.cost == pytest.approx(1.60 * line.count)
    told = owner.get(of(design, "design_shop")).content.decode()
    assert "lines without one" in told
    assert "1 more in the shed" in told


def test_only_board_lengths_with_a_price_are_bought_once_one_is_told(design, owner):
    before = {key for key in lines(owner, design) if key.startswith("board-38x38")}
    owner.post(of(design, "design_prices"), {"price:board-38x38-3000": "4.10"})
    after = {key for key in lines(owner, design) if key.startswith("board-38x38")}
    assert after == {"board-38x38-3000"} != before


def test_offcuts_in_the_shed_are_used_first(design, owner):
    offcut = {"offcut-0-wood": "38x38", "offcut-0-length_mm": "1.2 m", "offcut-0-count": "2"}
    owner.post(of(design, "design_prices"), offcut)
    listed = owner.get(of(design, "design_shop")).context["list"]
    [line] = [line for line in listed.in_shed if line.key.startswith("board")]
    assert (line.key, line.on_hand) == ("board-38x38-1200-shed", 2)

    gone = {"offcut-0-wood": "38x38", "offcut-0-length_mm": "1200 mm", "offcut-0-count": "0"}
    owner.post(of(design, "design_prices"), gone)
    assert not ShedItem.objects.exists()


def test_another_board_length_can_be_named_with_its_price(design, owner):
    board = {"board-wood": "38x38", "board-length_mm": "2.7 m", "board-price": "3.75"}
    owner.post(of(design, "design_prices"), board)
    assert Price.objects.get().amount == Decimal("3.75")
    assert "board-38x38-2700" in lines(owner, design)


def test_prices_are_taken_back_like_anything_else(design, owner):
    owner.post(of(design, "design_prices"), {"price:hinge": "1.60"})
    owner.post(of(design, "design_prices"), {"price:hinge": "", "price:latch": "1"})
    assert [row.key for row in Price.objects.all()] == ["latch"]
    undo_step_take_back(step=UndoStep.objects.latest("pk"))
    assert [(row.key, row.amount) for row in Price.objects.all()] == [("hinge", Decimal("1.6"))]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"price:hinge": "-1"}, "greater than or equal to 0"),
        ({"price:hinge": "cheap"}, "Enter a number"),
        ({"have:hinge": "1.5"}, "Enter a whole number"),
        ({"offcut-0-wood": "38x38", "offcut-0-length_mm": "long"}, "Give a length"),
        ({"board-wood": "38x38", "board-length_mm": "3 m"}, "required"),
    ],
)
def test_a_bad_price_or_length_is_told_and_nothing_is_saved(design, owner, typed, told):
    answer = owner.post(of(design, "design_prices"), typed | {"price:latch": "1"})
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not Price.objects.exists()


def test_pieces_longer_than_any_board_are_named_and_a_longer_board_cures_it(garden, owner):
    design = DesignFactory(garden=garden, length_mm=5200, name="Very long")
    told = owner.get(of(design, "design_shop")).content.decode()
    assert "Base rail A of 5200 mm is longer than any board of 38x38" in told
    assert "Base rail A" in owner.get(of(design, "design_print")).content.decode()

    board = {"board-wood": "38x38", "board-length_mm": "5.4 m", "board-price": "9"}
    owner.post(of(design, "design_prices"), board)
    assert "board-38x38-5400" in lines(owner, design)


def test_the_cut_list_goes_out_as_a_table(design, owner):
    rows = table(owner.get(of(design, "design_csv", which="cuts")))
    assert rows[0][:6] == ["letter", "piece", "wood", "how many", "length mm", "length in"]
    assert rows[1][:6] == ["A", "Base rail", "38 × 38 planed", "2", "2380", "93 11/16"]
    pieces = sum(int(row[3]) for row in rows[1:])
    assert pieces == sum(
        line.count for line in owner.get(of(design, "design")).context["page"].pen.cut_list
    )


def test_the_buying_list_goes_out_as_a_table(design, owner):
    Price.objects.create(garden=design.garden, key="hinge", amount=Decimal("1.6"))
    rows = {row[0]: row[1:] for row in table(owner.get(of(design, "design_csv", which="buying")))}
    assert rows["Hinges, doors, screws with them"] == ["4", "0", "1.6", "6.4"]
    assert owner.get(of(design, "design_csv", which="neither")).status_code == 404


@pytest.mark.parametrize(
    "text", ["=1+1", "+cmd", "-2", "@SUM(A1)", "\t=1", "  =1", "＝1+1", "\r=1"]
)
def test_a_spreadsheet_runs_nothing_that_a_table_holds(text):
    [_, [cell]] = csv.reader(StringIO(csv_text(["name"], [[text]])))
    assert cell.startswith("'")


def test_numbers_stay_numbers_in_a_table():
    [_, cells] = csv.reader(StringIO(csv_text(["a", "b", "c", "d"], [[-2, 1.5, None, "Bed 1"]])))
    assert cells == ["-2", "1.5", "", "Bed 1"]


def test_what_is_bought_covers_the_cut_list_and_ten_percent_of_screws(design, owner):
    page = owner.get(of(design, "design_print")).context
    wanted = sum(line.length_mm * line.count for line in page["pen"].cut_list)
    bought = sum(row.length_mm * row.count for row in page["sheet"].purchases)
    assert bought >= wanted
    letters = {cut.split(" × ")[1] for bar in page["sheet"].bars for cut in bar.words.split(", ")}
    assert letters == {line.letter for line in page["pen"].cut_list}
    for line in page["pen"].hardware:
        if line.kind == "screw":
            assert line.count * 1.1 <= line.buy < line.count * 1.1 + 1
