"""A table of weights from a spreadsheet: what is read, and what is told of each row that cannot be."""

from datetime import date

import pytest

from flocks.weights_import import weights_table

HATCHED, TODAY = date(2026, 5, 10), date(2026, 6, 12)


def read(text: str, system: str = "metric"):
    """Read a table about birds of the tenth of May."""
    return weights_table(text, system=system, hatch_on=HATCHED, today=TODAY)


def test_one_bird_a_row_becomes_one_weighing_a_day():
    table = read("Date,Weight\n2026-06-07,1340\n2026-06-07,1290\n2026-05-31,800\n")
    assert [(row.on.day, row.count, row.mean_g) for row in table.rows] == [
        (31, 1, 800),
        (7, 2, 1315),
    ]
    assert table.rows[1].weights_g == (1340, 1290)
    assert table.rows[1].lines == (2, 3)


@pytest.mark.parametrize(
    "text",
    [
        "day,birds,mean\n2026-06-07,5,1.34 kg\n",
        "day;birds;mean\n2026-06-07;5;1,34 kg\n",
        "Age (days)\tCount\tAverage (g)\n28\t5\t1340\n",
        "\ufeffday,birds,mean weight (g)\n2026-06-07, 5 ,1340\n\n",
        "day,weights\n2026-06-07,1340 1340 1340 1340 1340\n",
    ],
)
def test_the_same_weighing_in_many_hands(text):
    [row] = read(text).rows
    assert (row.on, row.count, row.mean_g) == (date(2026, 6, 7), 5, pytest.approx(1340))


def test_pounds_and_ounces_are_read():
    [row] = read("day,weight\n2026-06-07,1 lb 12 oz\n", "us").rows
    assert row.mean_g == pytest.approx(1.75 * 453.59237)
    [plain] = read("day,weight\n2026-06-07,3\n", "us").rows
    assert plain.mean_g == pytest.approx(3 * 453.59237)


def test_the_products_own_export_is_read_in_grams_in_any_garden():
    text = (
        "day,age_days,record,pen,birds,mean_weight_g,weights_g\n"
        "2026-06-07,28,weighing,Pen A,2,1315,1340 1290\n"
        "2026-06-07,28,feed,Pen A,,,\n"
    )
    table = read(text, "us")
    assert [(row.count, row.weights_g) for row in table.rows] == [(2, (1340, 1290))]
    assert table.faults == ()


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("2026-06-07,,0", "0 g is too light for a bird."),
        ("2026-06-07,,50 kg", "50.00 kg is too heavy: no meat chicken passes 12.00 kg."),
        ("2026-06-07,,", "A weight is missing."),
        ("2026-06-07,,heavy", "Give a weight"),
        ("2026-06-13,,1340", "Sat 13 June has not come yet."),
        ("2026-05-09,,1340", "These birds hatch on Sun 10 May."),
        ("07/06/2026,,1340", "Write the day as year-month-day, such as 2026-06-12."),
        (",,1340", "A day, or an age in whole days, is missing."),
        ("2026-06-07,0,1340", "Give the birds weighed as a number from 1 to 10000."),
        ("2026-06-07,-3,1340", "Give the birds weighed"),
        ("2026-06-07,x,1340", "Give the birds weighed"),
    ],
)
def test_a_row_that_cannot_be_is_told_and_the_others_are_read(row, reason):
    table = read(f"day,birds,mean\n2026-05-31,5,800\n{row}\n")
    [fault] = table.faults
    assert fault.line == 3
    assert reason in fault.reason
    assert [row.mean_g for row in table.rows] == [800]


def test_counts_and_weights_must_agree():
    [fault] = read("day,birds,weights\n2026-06-07,3,1340 1290\n").faults
    assert fault.reason == "3 birds, but 2 weights."


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Give a row of headings and at least one row"),
        ("day,weight\n", "Give a row of headings and at least one row"),
        ("weight\n1340\n", "A column “day”"),
        ("day,feed\n2026-06-07,3\n", "A column “weight”"),
        ("day,weight\n" + "2026-06-07,1340\n" * 5001, "at most 5000 rows"),
    ],
)
def test_what_is_no_table_is_told(text, reason):
    with pytest.raises(ValueError, match=reason):
        read(text)
