"""Waste learnt from finished batches, and the phases of a diet as days."""

from datetime import date, timedelta
from math import exp, log

import pytest

from flocks.feed import PURCHASE_WASTE_SHARE
from flocks.feed_phases import phase_spans
from flocks.feed_waste import waste_learnt
from flocks.forecasting import diet_of, draft_forecast

HATCHED = date(2026, 5, 10)


def test_without_batches_it_is_the_usual_share():
    waste = waste_learnt([])
    assert waste.share == pytest.approx(PURCHASE_WASTE_SHARE)
    assert (waste.batches, waste.own_share) == (0, None)


def test_the_usual_share_counts_as_one_batch():
    waste = waste_learnt([1.30, 1.30, 1.30])
    assert waste.share == pytest.approx(exp((log(1.12) + 3 * log(1.30)) / 4) - 1)
    assert (waste.batches, waste.own_share) == (3, pytest.approx(0.30))


def test_more_batches_make_it_surer():
    assert waste_learnt([1.1] * 5).log_sd < waste_learnt([1.1]).log_sd < waste_learnt([]).log_sd


@pytest.mark.parametrize("ratio", [0.3, 2.5])
def test_a_log_that_cannot_be_whole_teaches_nothing(ratio):
    assert waste_learnt([ratio]) == waste_learnt([])


def test_phases_follow_each_other_up_to_processing():
    forecast = draft_forecast("fast", HATCHED, target_g=2400)
    end_day = HATCHED + timedelta(days=49)
    spans = phase_spans(diet_of("fast"), forecast, end_day)
    # NRC 1994 as printed in the Merck Veterinary Manual: 23 % to 3 weeks, 20 % to 6, then 18 %.
    told = [
        (span.phase.name, span.protein_percent, (span.first_day - HATCHED).days) for span in spans
    ]
    assert [(name, round(percent), day) for name, percent, day in told] == [
        ("starter", 23, 0),
        ("grower", 20, 21),
        ("finisher", 18, 42),
    ]
    assert [span.end_day for span in spans] == [*(span.first_day for span in spans[1:]), end_day]
    assert sum(span.eaten_per_bird_kg for span in spans) == pytest.approx(
        forecast.feed_kg(1, HATCHED, end_day)
    )


def test_birds_processed_young_never_get_the_last_feed():
    forecast = draft_forecast("fast", HATCHED, target_g=1300)
    spans = phase_spans(diet_of("fast"), forecast, HATCHED + timedelta(days=30))
    assert [span.phase.name for span in spans] == ["starter", "grower"]
    assert spans[-1].mixes_until == HATCHED + timedelta(days=25)
    assert spans[0].is_on(HATCHED)
    assert not spans[0].is_on(HATCHED + timedelta(days=21))
