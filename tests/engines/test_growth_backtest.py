"""The backtest: its flocks, the guesses it beats, and the promise that holds in its table."""

from __future__ import annotations

from io import StringIO
from itertools import pairwise
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from flocks.backtest.baselines import log_linear, naive_proportion, unpooled_gompertz
from flocks.backtest.judging import (
    cases,
    feed_cases,
    learnt_from_others,
    single_birds,
    weight_at,
)
from flocks.backtest.table import by_span, markdown, row, to_one_day
from flocks.backtest.trials import Flock, broilers, chicks
from flocks.curve import GrowthCurve
from flocks.strains import built_in_strains

DATA = Path(__file__).parents[1] / "data"


@pytest.fixture(scope="module")
def flocks() -> tuple[Flock, ...]:
    return broilers(DATA)


@pytest.fixture(scope="module")
def to_35(flocks: tuple[Flock, ...]) -> list:
    """The pens of each trial, strain and sex, ten birds weighed to day 21 and forecast to day 35."""
    pens = [flock for flock in flocks if flock.trial.startswith("pens")]
    return list(cases(pens, count=10, first_age=21, draws=2))


class TestTrials:
    def test_all_pens_and_trials_are_read(self, flocks: tuple[Flock, ...]) -> None:
        assert sum(flock.trial.startswith("pens") for flock in flocks) == 12
        assert len(flocks) == 12 + 78
        assert len({flock.trial for flock in flocks}) == 20
        assert len(chicks(DATA)) == 45

    def test_weights_and_feed_rise_in_every_flock(self, flocks: tuple[Flock, ...]) -> None:
        for flock in flocks:
            for figures in (flock.weights_g, flock.feed_g):
                assert all(a[0] < b[0] and a[1] < b[1] for a, b in pairwise(figures)), flock.name

    def test_birds_weighed_one_by_one_are_near_their_flock_s_mean(
        self, flocks: tuple[Flock, ...]
    ) -> None:
        days = [(flock, day) for flock in flocks for day in flock.singles if day.age in (21, 35)]

        assert sum(day.birds for flock in flocks for day in flock.singles) == 864
        for flock, day in days:
            assert day.mean_g == pytest.approx(dict(flock.weights_g)[day.age], rel=0.15), flock.name

    def test_every_strain_picked_is_built_in(self, flocks: tuple[Flock, ...]) -> None:
        assert {flock.strain for flock in flocks} <= set(built_in_strains())


class TestBaselines:
    def test_proportion_doubles_with_the_age(self) -> None:
        assert naive_proportion([(0, 40), (14, 400)], 28) == 800

    def test_a_power_of_age_is_met_by_the_line_through_logarithms(self) -> None:
        weighed = [(age, 2.0 * (age + 1) ** 1.9) for age in (7, 21)]

        assert log_linear(weighed, 35) == pytest.approx(2.0 * 36**1.9)
        assert log_linear([(7, 160)], 21) == 160

    def test_a_curve_alone_is_found_from_many_weighings(self) -> None:
        truth = GrowthCurve(40, 5600, 0.042, 36.5)
        weighed = [(age, float(truth.weight_g(age))) for age in (14, 21, 28, 35, 42, 49)]

        assert unpooled_gompertz(weighed, 56) == pytest.approx(truth.weight_g(56), rel=0.01)


class TestJudging:
    def test_a_weight_is_read_off_along_the_strain_s_curve(self) -> None:
        curve = built_in_strains()["fast"].curve
        kept = {age: 1.1 * float(curve.weight_g(age)) for age in (14, 28, 41, 70)}
        flock = Flock("t", "f", "fast", 50, ((0, 40.0), *kept.items()))

        assert weight_at(flock, 28) == pytest.approx(kept[28])
        assert weight_at(flock, 35) == pytest.approx(1.1 * curve.weight_g(35))
        # Before the first weighing, after the last and in a long gap nothing is known.
        assert [weight_at(flock, age) for age in (7, 55, 80)] == [None] * 3

    def test_a_day_is_forecast_from_each_weighing_before_it(self) -> None:
        weights = tuple((age, 40.0 + 2 * age**1.95) for age in (0, 14, 21, 28, 35))
        flock = Flock("t", "f", "fast", 50, weights)
        told = list(cases([flock], first_age=14, to_age=35))

        assert [(case.last_age, case.age) for case in told] == [(14, 35), (21, 35), (28, 35)]
        assert [line[0] for line in to_one_day(told, "every bird")] == [
            f"weighed to day {age}, forecast to day 35, every bird" for age in (14, 21, 28)
        ]

    def test_ten_birds_stray_from_their_flock_as_ten_do(self, flocks: tuple[Flock, ...]) -> None:
        drawn = list(cases(flocks[:12], count=10, first_age=21, draws=4))
        again = list(cases(flocks[:12], count=10, first_age=21, draws=4))
        whole = {
            (c.flock.trial, c.flock.name): c.median_g for c in cases(flocks[:12], first_age=21)
        }
        off = [case.median_g / whole[case.flock.trial, case.flock.name] - 1 for case in drawn]

        assert [case.median_g for case in drawn] == [case.median_g for case in again]
        # Birds differ by 11 %, ten of them by 3.5 %; the prior takes up some of that.
        assert 0.02 < (sum(x * x for x in off) / len(off)) ** 0.5 < 0.05

    def test_forecasts_of_all_birds_are_nearer_than_those_of_ten(
        self, flocks: tuple[Flock, ...]
    ) -> None:
        ten, all_birds = (
            list(cases(flocks[:12], first_age=21, **how)) for how in ({"count": 10, "draws": 4}, {})
        )

        assert sum(c.error for c in all_birds) / 12 < sum(c.error for c in ten) / 48

    def test_two_weeks_ahead_the_model_beats_every_guess(self, to_35: list) -> None:
        errors = [case.error for case in to_35]
        mean = sum(errors) / len(errors)

        assert len(to_35) == 24
        # What is asked of flocks that nobody tuned to, weighed to day 22 and forecast to day 35.
        assert mean <= 0.058
        for guess in ("naive proportion", "unpooled Gompertz"):
            off = [abs(case.guesses_g[guess] / case.truth_g - 1) for case in to_35]
            assert mean < 0.6 * sum(off) / len(off)

    def test_the_date_is_within_a_day_and_a_half(self, to_35: list) -> None:
        assert sum(abs(case.date_off_days) for case in to_35) / len(to_35) <= 1.5

    def test_intervals_hold_flocks_and_single_birds_about_as_often_as_they_say(
        self, to_35: list, flocks: tuple[Flock, ...]
    ) -> None:
        birds = list(single_birds([flock for flock in flocks if flock.singles]))
        others = [f for f in flocks if f.trial in ("kjps-48-1-13", "s13028-023-00704-y")]
        pooled = [*to_35, *cases(others, count=10, first_age=21, to_age=35)]

        for told in (pooled, birds):
            assert 0.65 <= sum(case.held(0.8) for case in told) / len(told) <= 0.95
        assert len(birds) == 432

    @pytest.mark.parametrize("share", [0.75, 1.25])
    def test_a_flock_far_off_its_strain_is_followed(
        self, flocks: tuple[Flock, ...], share: float
    ) -> None:
        off = [flock.scaled(share) for flock in flocks[:12]]
        told = list(cases(off, count=10, first_age=21))

        assert len(told) == 12
        assert sum(case.error for case in told) / len(told) < 0.11
        assert sum(case.held(0.8) for case in told) / len(told) >= 0.65

    def test_feed_is_told_from_weighings_and_better_with_records(
        self, flocks: tuple[Flock, ...]
    ) -> None:
        some = [flock for flock in flocks if flock.strain != "any"][::2]
        alone, logged, ahead = (
            [case.error for case in feed_cases(some, unrecorded=unrecorded)]
            for unrecorded in (None, 0, 1)
        )

        assert sum(alone) / len(alone) <= 0.08
        assert sum(logged) / len(logged) <= 0.03
        assert sum(ahead) / len(ahead) <= 0.07

    def test_a_strain_learnt_from_others_holds_nothing_of_the_trial_left_out(
        self, flocks: tuple[Flock, ...]
    ) -> None:
        trial = "PMC7597689"
        kept = [flock for flock in flocks if flock.trial in (trial, "jast-66-6-1203")]
        alone = [flock for flock in kept if flock.trial != trial]

        assert learnt_from_others(kept, trial, "fast") == learnt_from_others(alone, trial, "fast")
        assert learnt_from_others(kept[:9], trial, "fast") == built_in_strains()["fast"]


def test_single_chicks_of_layer_type_are_followed_by_the_widest_strain() -> None:
    kept = [
        Flock(
            c.trial, c.name, c.strain, 1, tuple(w for w in c.weights_g if w[0] <= 14 or w[0] == 21)
        )
        for c in chicks(DATA)
    ]
    told = list(cases(kept, first_age=14))

    assert sum(case.error for case in told) / len(told) <= 0.145
    assert 0.65 <= sum(case.held(0.8) for case in told) / len(told) <= 0.95


def test_the_table_has_a_row_for_each_span_and_the_same_columns(to_35: list) -> None:
    rows = [*by_span(to_35), row("all", to_35)]
    lines = markdown(rows).splitlines()

    assert [line.count("|") for line in lines] == [11] * len(lines)
    assert lines[2].startswith("| weighed to day 21-22")
    assert rows[0][1:] == rows[1][1:]


def test_the_command_prints_the_table() -> None:
    told = StringIO()
    call_command("backtest_growth", quick=True, stdout=told)

    assert "| feed eaten, with feed records to the day |" in told.getvalue()


def test_a_folder_without_the_data_is_told(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"cannot read .*broiler_"):
        call_command("backtest_growth", data=tmp_path)
