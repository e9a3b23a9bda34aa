"""Nitrogen in the litter of published pens and houses against the mass balance, ammonia allowed for."""

import pytest

from flocks.excretion import nitrogen_excreted_g
from flocks.feed import DietPhase
from flocks.forecasting import diet_of, draft_forecast
from flocks.growth import forecast
from flocks.strains import built_in_strains
from garden.compost import carbon_to_nitrogen
from tests.conftest import TODAY

# Ross x Ross 708 males in floor pens to day 33, ten pens a diet: protein of starter (to day 14), grower (to 25)
# and finisher [%], nitrogen eaten and found in the litter [g a bird], and the latter for each kilogram of gain.
# PMC10912913, table 10 (litter nitrogen of day 33 less that of the fresh litter).
PENS = {
    "control": ((23.23, 20.69, 19.13), 79.22, 21.42, 10.87),
    "valine": ((22.31, 19.95, 18.58), 81.47, 21.70, 10.57),
    "glycine": ((22.44, 19.95, 18.58), 79.40, 20.86, 10.31),
    "isoleucine": ((21.95, 19.52, 18.28), 80.36, 21.23, 10.47),
    "arginine": ((21.23, 18.95, 17.80), 76.81, 20.31, 10.24),
    "tryptophan": ((19.81, 17.31, 16.87), 70.21, 18.00, 9.27),
}


def _by_balance_g(pen: tuple) -> float:
    _, eaten_g, litter_g, litter_g_kg = pen
    gain_g = 1000 * litter_g / litter_g_kg
    # Nitrogen eaten as if it were feed of which all is nitrogen: 6.25 parts of protein each.
    return float(nitrogen_excreted_g(eaten_g, gain_g, 6.25))


@pytest.mark.parametrize("name", ["control", "valine", "glycine", "isoleucine", "arginine"])
def test_litter_nitrogen_of_pens_is_the_balance_less_a_little_ammonia(name: str) -> None:
    """On fresh litter and to day 33 little ammonia goes: a house to day 42 loses 11 to 14 % (below)."""
    litter_g = PENS[name][2]

    assert 0.86 <= litter_g / _by_balance_g(PENS[name]) <= 1.06


def test_birds_on_very_little_protein_keep_less_than_we_say() -> None:
    """The leanest diet of the trial, 3 points of protein below the usual, is told 23 % too low.

    Its birds kept 27 g of nitrogen a kilogram of gain and not 29. Nobody sells such feed in bags.
    """
    litter_g = PENS["tryptophan"][2]

    assert _by_balance_g(PENS["tryptophan"]) == pytest.approx(0.77 * litter_g, rel=0.02)


def test_the_usual_bird_of_that_trial_is_fed_less_than_ours() -> None:
    """Males of 2 kg at day 33 took 1.25 g of feed a gram of gain; ours, kept in a garden, take 1.5.

    So on the trial's diet our bird leaves more than the trial's, and all of the difference is feed.
    """
    (starter, grower, finisher), eaten_g, litter_g, litter_g_kg = PENS["control"]
    diet = [DietPhase(0, starter / 100), DietPhase(15, grower / 100), DietPhase(26, finisher / 100)]
    ours = forecast(built_in_strains()["fast"], diet=diet, ages=range(50))
    gain_g = 1000 * litter_g / litter_g_kg
    end = int(ours.flock_mean_g.median.searchsorted(gain_g + 42))
    feed_g, left_g = (
        band.median[end] for band in (ours.feed_per_bird_g, ours.nitrogen_excreted_per_bird_g)
    )

    trial_feed_g = eaten_g * 6.25 / 0.203  # the diets' mean by what is eaten of each
    assert trial_feed_g / gain_g == pytest.approx(1.24, abs=0.02)
    assert 1.4 <= feed_g / gain_g <= 1.6
    more_fed_g = (feed_g - trial_feed_g) * 0.20 / 6.25
    assert left_g - _by_balance_g(PENS["control"]) == pytest.approx(more_fed_g, rel=0.25)


@pytest.mark.parametrize(
    ("ammonia_g", "share", "manure_g"),
    [
        # Wiedemann and others 2016, Animal Production Science 56:1404, abstract: ammonia of a bird of 42
        # days over litter 47 mm deep, and as nitrogen for each part of manure nitrogen; 67 mm deep
        (11.9, 0.14, 70),
        (11.7, 0.11, 88),
    ],
)
def test_houses_leave_more_manure_nitrogen_than_the_handbook(
    ammonia_g: float, share: float, manure_g: float
) -> None:
    """Commercial houses on feed of 21 % protein left 70 to 88 g by day 42, and the handbook says 53.

    The feed was told for the second trial of the paper; its first did not say. Ours leaves 60 to 75 g.
    """
    assert ammonia_g * 14.007 / 17.031 / share == pytest.approx(manure_g, rel=0.01)
    ours = draft_forecast("fast", TODAY, target_g=2400).nitrogen_g.median[:42].sum()
    assert 53 < 0.85 * ours < manure_g
    assert ours == pytest.approx(70, rel=0.12)


def test_our_phases_hold_no_more_protein_than_trials_feed() -> None:
    """Protein eaten of each part of feed to day 35: ours against control programmes of published trials.

    Van Harn and others 2019 (PMC6748714): 21.6, 20.8 and 19.8 % from days 0, 11 and 25 on (the last day as
    in the breeder's phases); the control above: 23.2, 20.7 and 19.1 %.
    """
    feed_g = draft_forecast("fast", TODAY, target_g=2400).feed_g.median[:35]

    def mean(diet: list[tuple[int, float]]) -> float:
        shares = [max(p for p in diet if p[0] <= age)[1] for age in range(35)]
        return float((feed_g * shares).sum() / feed_g.sum())

    ours = mean([(int(phase.from_day), phase.crude_protein) for phase in diet_of("fast")])
    assert ours == pytest.approx(mean([(0, 0.216), (11, 0.208), (25, 0.198)]), abs=0.01)
    assert ours == pytest.approx(mean([(0, 0.2323), (15, 0.2069), (26, 0.1913)]), abs=0.012)


def test_worked_compost_mix_by_moisture() -> None:
    """Cornell's general formula, as copied with its example by Jerry's Plants Online, calculating moisture.

    10 kg of grass clippings at 77 % and leaves at 35 % make 60 % with
    Q2 = (10 x 60 - 10 x 77) / (35 - 60) = 6.8 kg of leaves.
    """
    leaves_kg = (10 * 60 - 10 * 77) / (35 - 60)
    water_kg = 10 * 0.77 + leaves_kg * 0.35

    assert leaves_kg == pytest.approx(6.8)
    assert water_kg / (10 + leaves_kg) == pytest.approx(0.60)


def test_worked_compost_mix_of_litter_and_straw() -> None:
    """North Carolina Cooperative Extension, as copied by Alken-Murray: litter at 7.5 to 1, straw at 130.

    A mix of 20 to 1 wants A x 7.5 + (1 - A) x 130 = 20: A = 110 / 122.5 = 0.90 of litter, 0.11 of straw for
    each part of it. The example averages ratios as if both held as much nitrogen; with the nitrogen of
    each counted, as ours does, so little straw leaves the mix far below 20.
    """
    share = 110 / 122.5
    assert share == pytest.approx(0.90, abs=0.005)
    assert (1 - share) / share == pytest.approx(0.11, abs=0.005)

    litter_n, straw_n = 0.03, 0.0035  # usual shares of nitrogen, dry
    carbon = share * litter_n * 7.5 + (1 - share) * straw_n * 130
    nitrogen = share * litter_n + (1 - share) * straw_n
    assert carbon_to_nitrogen(carbon, nitrogen) == pytest.approx(9.1, abs=0.2)
