"""Weights as a grower types them with the other hand on a bird."""

import pytest

from flocks.weight_list import MOST_WEIGHTS, weights_entry, weights_read

POUND_G = 453.59237


@pytest.mark.parametrize(
    "text",
    [
        "1340 1290 1405",
        "  1340  1290\t1405 ",
        "1340, 1290, 1405",
        "1340,1290,1405",
        "1340; 1290; 1405",
        "1340\n1290\n1405",
        "1340 g, 1290 g, 1405 g",
        "1.34 kg, 1.29 kg, 1.405 kg",
        "1340 1290, 1405",
    ],
)
def test_metric_lists(text):
    assert weights_read(text, "metric") == pytest.approx([1340, 1290, 1405])


@pytest.mark.parametrize(
    ("text", "pounds"),
    [
        ("3.1 2.9", [3.1, 2.9]),
        ("3,1 2,9", [3.1, 2.9]),
        ("3 lb 2 oz, 2 lb 15 oz", [3.125, 2.9375]),
        ("3 lb 2 oz", [3.125]),
    ],
)
def test_us_lists(text, pounds):
    assert weights_read(text, "us") == pytest.approx([pound * POUND_G for pound in pounds])


def test_an_empty_line_has_no_weights():
    assert weights_read("", "metric") == []
    assert weights_read(" , ", "metric") == []


@pytest.mark.parametrize("text", ["heavy", "1340 x 1290", "1340 -5"])
def test_what_cannot_be_read_is_asked_again(text):
    with pytest.raises(ValueError, match=r"Give a weight|such as|for example"):
        weights_read(text, "metric")


def test_a_list_has_an_end():
    with pytest.raises(ValueError, match=f"at most {MOST_WEIGHTS}"):
        weights_read("1340 " * (MOST_WEIGHTS + 1), "metric")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_is_written_reads_back(system):
    weights = [43.0, 790.0, 1340.0, 2705.0]
    assert weights_read(weights_entry(weights, system), system) == pytest.approx(weights, abs=0.5)
