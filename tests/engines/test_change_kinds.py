"""Lists of changes as JSON: what is written is read back, and what is no list of changes is refused."""

from datetime import date

import pytest

from garden.documents import DocumentError
from rotation.change_kinds import (
    MOST_CHANGES,
    Birds,
    Cleared,
    MoreBed,
    PartProcessed,
    Pens,
    Processed,
    Rule,
    Shift,
    as_json,
    read_changes,
)

ONE_OF_EACH = (
    Birds(batch=3, birds=8),
    Shift(batch=3, days=-7),
    Pens(batch=3, pens=[1, 2]),
    Rule(name="rest_days", value=20),
    MoreBed(kind_of_bed="turf", length_mm=3000.0, width_mm=1500.0, name="Strip"),
    Cleared(planting=5, on=date(2026, 7, 1)),
    PartProcessed(batch=3, on=date(2026, 7, 2), birds=4),
    Processed(batch=3, on=date(2026, 7, 3)),
)


def test_every_kind_is_read_back_as_it_was_written():
    written = as_json(ONE_OF_EACH)
    assert read_changes(written) == ONE_OF_EACH
    assert written[5] == {"kind": "clear", "planting": 5, "on": "2026-07-01"}


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        ("birds", "changes[0].kind: expected one of birds, shift, pens,"),
        ({}, "changes[0].kind: expected one of birds,"),
        ({"kind": "weather"}, "changes[0].kind: expected one of birds,"),
        ({"kind": ["birds"]}, "changes[0].kind: expected one of birds,"),
        ({"kind": "birds", "batch": 3}, "changes[0].birds: is missing"),
        (
            {"kind": "birds", "batch": 3, "birds": 8, "why": "rain"},
            "changes[0].why: is not a field of this document",
        ),
        ({"kind": "birds", "batch": "3", "birds": 8}, "changes[0].batch: expected a whole number"),
        ({"kind": "birds", "batch": 3, "birds": 0}, "changes[0].birds: expected a number >= 1"),
        ({"kind": "pens", "batch": 3, "pens": []}, "changes[0].pens: expected at least 1 entries"),
        (
            {"kind": "rule", "name": "name", "value": 3},
            "changes[0].name: expected 'rest_days', 'min_stay_days'",
        ),
        (
            {"kind": "rule", "name": "rest_days", "value": float("nan")},
            "changes[0].document: expected finite numbers",
        ),
        (
            {"kind": "process", "batch": 3, "on": "2026-02-30"},
            "changes[0].on: expected a day such as 2026-06-12",
        ),
        ({"kind": "process", "batch": 3, "on": 7}, "changes[0].on: "),
        (
            {"kind": "bed", "kind_of_bed": "pond", "length_mm": 3e3, "width_mm": 1e3, "name": "A"},
            "changes[0].kind_of_bed: expected 'raised', 'ground' or 'turf'",
        ),
        *(
            (
                {"kind": "bed", "kind_of_bed": "turf", "length_mm": 3e3, "width_mm": 1e3}
                | {"name": name},
                "changes[0].name: ",
            )
            for name in ("", "  ", "a\0b", "\ud800", "x" * 41)
        ),
    ],
)
def test_what_is_no_change_is_refused_in_a_sentence_that_names_the_field(entry, fault):
    with pytest.raises(DocumentError) as refused:
        read_changes([entry])
    assert refused.value.faults[0].startswith(fault)


def test_every_fault_of_a_list_is_told_with_its_place():
    with pytest.raises(DocumentError) as refused:
        read_changes([{"kind": "birds", "batch": 1, "birds": 5}, {"kind": "x"}, {"kind": "y"}])
    assert [fault[:10] for fault in refused.value.faults] == ["changes[1]", "changes[2]"]


@pytest.mark.parametrize("raw", [None, {}, "[]", [{}] * (MOST_CHANGES + 1)])
def test_only_a_list_of_sensible_length_is_a_list_of_changes(raw):
    with pytest.raises(DocumentError, match="expected a list of at most"):
        read_changes(raw)
