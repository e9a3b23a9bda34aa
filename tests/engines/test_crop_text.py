"""A crop's figures in the garden's units."""

import pytest

from garden.crop_text import (
    content_words,
    load_words,
    loads_words,
    need_words,
    spacing_words,
    yield_words,
)
from garden.npk import Npk


@pytest.mark.parametrize(
    ("kg_ha", "metric", "us"),
    [
        # University of Maryland: 2 lb on 1,000 sq ft is 98 kg/ha, 3 lb is 146
        (97.6, "98 kg/ha", "2.0 lb/1,000 sq ft"),
        (146.5, "146 kg/ha", "3.0 lb/1,000 sq ft"),
        (0.0, "0 kg/ha", "0.0 lb/1,000 sq ft"),
    ],
)
def test_loads_are_written_in_both_systems(kg_ha: float, metric: str, us: str) -> None:
    assert load_words(kg_ha, "metric") == metric
    assert load_words(kg_ha, "us") == us


def test_a_need_is_told_for_a_square_of_the_bed_too() -> None:
    assert need_words(180.0, "metric") == "180 kg/ha, 18 g/m²"
    # 18 g/m² x 0.0929 m²
    assert need_words(180.0, "us") == "3.7 lb/1,000 sq ft, 1.7 g/sq ft"


def test_a_harvest_and_what_it_holds() -> None:
    assert yield_words(4.48, "metric") == "4.48 kg/m²"
    assert yield_words(4.882, "us") == "1.00 lb/sq ft"
    content = Npk(3.125, 0.33, 2.6)
    assert content_words(content, "metric") == "N 3.12, P 0.33, K 2.60 g in 1 kg"
    assert content_words(content, "us") == "N 0.312, P 0.033, K 0.260 lb in 100 lb"
    assert loads_words(Npk(140.0, 15.0, 116.0), "metric") == "N 140, P 15, K 116 kg/ha"
    assert loads_words(Npk(48.8, 4.9, 97.6), "us") == "N 1.0, P 0.1, K 2.0 lb/1,000 sq ft"


def test_a_spacing_is_in_centimetres_or_inches() -> None:
    assert spacing_words(450, "metric") == "45 cm each way"
    assert spacing_words(304.8, "us") == "1 ft each way"
    assert spacing_words(None, "us") == "not known"
