"""The reference crops: complete, honestly marked, and in line with published guides."""

import pytest

from garden.crops_reference import (
    KG_HA_PER_LB_ACRE,
    CropReference,
    crop_table,
    removal_table,
)
from garden.harvest_interval import Contact
from garden.provenance import Mark, Provenance

# University of Maryland Extension, Traunfeld, Fertilizing Vegetables, part 5: printed classes
MARYLAND_CLASSES = {
    "Tomato, staked": "heavy",
    "Pepper": "heavy",
    "Potato": "heavy",
    "Broccoli": "heavy",
    "Beet": "heavy",
    "Spinach": "heavy",
    "Okra": "heavy",
    "Onion, dry": "heavy",
    "Sweet corn": "heavy",
    "Asparagus": "medium to heavy",
    "Lettuce, leaf": "medium to heavy",
    "Cabbage": "medium",
    "Kale or collards": "medium",
    "Sweet potato": "medium",
    "Muskmelon": "medium",
    "Carrot": "light to medium",
    "Leek": "light to medium",
    "Snap bean, bush": "light to medium",
    "Radish": "light",
}


def provenances(crop: CropReference) -> list[Provenance]:
    return [value for value in vars(crop).values() if isinstance(value, Provenance)]


def test_the_table_is_whole() -> None:
    crops = crop_table()

    assert len(crops) >= 40
    for name, crop in crops.items():
        assert crop.name == name
        assert crop.family.endswith("aceae")
        assert 0 <= crop.nitrogen_kg_ha <= 200
        assert 20 <= crop.days_to_harvest_min <= crop.days_to_harvest_max <= 1500
        assert 7 <= crop.harvest_days <= 120
        assert len(provenances(crop)) == 10
        assert crop.content.least_g > 0
        assert 0.1 <= crop.yield_kg_m2 <= 15
        assert 40 <= crop.spacing_mm <= 1000


def test_nothing_recalled_is_passed_off_as_a_citation() -> None:
    for crop in crop_table().values():
        for provenance in provenances(crop):
            assert len(provenance.source) > 10
            recalled = provenance.source.startswith("recalled: ")
            assert recalled == (provenance.mark is Mark.FROM_MEMORY), crop.name


def test_no_crop_is_preset_as_never_eaten_raw() -> None:
    """Only the grower knows the kitchen."""
    assert {crop.contact for crop in crop_table().values()} == {Contact.TOUCHES, Contact.CLEAR}


@pytest.mark.parametrize(
    ("name", "contact"),
    [
        # 7 CFR 205.203(c)(1)(ii): roots, leaves and anything splashed has contact with soil
        ("Carrot", "touches"),
        ("Lettuce, leaf", "touches"),
        ("Strawberry", "touches"),
        ("Broccoli", "touches"),  # arguable, so the longer wait
        ("Cucumber, on the ground", "touches"),
        # (iii): held clear on stakes, a trellis or a stalk
        ("Cucumber, trellised", "clear"),
        ("Tomato, staked", "clear"),
        ("Sweet corn", "clear"),
    ],
)
def test_contact_follows_how_the_crop_grows(name: str, contact: str) -> None:
    assert crop_table()[name].contact == contact


@pytest.mark.parametrize(("name", "printed"), MARYLAND_CLASSES.items())
def test_feeder_classes_are_maryland_s(name: str, printed: str) -> None:
    crop = crop_table()[name]

    assert crop.feeder == printed
    assert crop.feeder_from.mark is Mark.PUBLISHED


@pytest.mark.parametrize(
    ("name", "rate_kg_ha"),
    [
        # University of Maryland Extension, Traunfeld, part 2: heavy feeders 3 lb per 1000 ft²
        ("Tomato, staked", 146),
        ("Beet", 146),
        ("Broccoli", 146),
        # the same, general rate for vegetables: 2 lb per 1000 ft²
        ("Carrot", 98),
        ("Muskmelon", 98),
    ],
)
def test_needs_lie_near_the_garden_rates(name: str, rate_kg_ha: float) -> None:
    """The recalled needs are for commercial yields; a quarter either way is the same advice."""
    assert crop_table()[name].nitrogen_kg_ha == pytest.approx(rate_kg_ha, rel=0.25)


@pytest.mark.parametrize("name", ["Snap bean, bush", "Snap bean, pole", "Pea, trellised"])
def test_beans_and_peas_are_given_nothing(name: str) -> None:
    """Colorado State University Extension 7.247: avoid nitrogen for beans and peas."""
    assert crop_table()[name].nitrogen_kg_ha == 0


def test_a_need_covers_what_its_harvest_takes() -> None:
    """New England guide, table 4, at commercial yields; celery alone takes up to an eighth more."""
    for name, removal in removal_table().items():
        crop = crop_table()[name]
        if crop.nitrogen_kg_ha > 0 and name != "Cucumber, on the ground":  # printed 112 to 224
            assert crop.nitrogen_kg_ha >= removal.nitrogen_kg_ha * 7 / 8, name


def test_cauliflower_s_need_lies_within_dutch_trials() -> None:
    """Everaarts 2000, Scientia Horticulturae 83:173: the crop takes up 170 to 250 kg/ha."""
    assert 170 <= crop_table()["Cauliflower"].nitrogen_kg_ha <= 250


@pytest.mark.parametrize(
    ("name", "nitrogen_lb_acre", "phosphate_lb_acre"),
    [
        # New England Vegetable Management Guide, Removal of Nutrients from the Soil, table 4
        ("Cabbage", 125, 30),
        ("Carrot", 80, 20),  # roots
        ("Celery", 195, 80),
        ("Lettuce, head", 75, 35),
        ("Onion, dry", 110, 20),  # bulbs
    ],
)
def test_removals_are_new_england_s(
    name: str, nitrogen_lb_acre: float, phosphate_lb_acre: float
) -> None:
    removal = removal_table()[name]

    assert removal.nitrogen_kg_ha == pytest.approx(nitrogen_lb_acre * KG_HA_PER_LB_ACRE)
    phosphate_kg_ha = removal.phosphorus_kg_ha * 141.94 / (2 * 30.97)  # molar masses, P2O5 to P
    assert phosphate_kg_ha == pytest.approx(phosphate_lb_acre * KG_HA_PER_LB_ACRE, rel=0.001)


def test_a_kilogram_of_cabbage_takes_three_grams_of_nitrogen() -> None:
    """125 lb in 20 short tons (New England guide, table 4) is 3.125 g/kg."""
    cabbage = removal_table()["Cabbage"]

    assert cabbage.nitrogen_g(harvest_kg=1.0) == pytest.approx(3.125)
    assert cabbage.phosphorus_g(harvest_kg=1.0) == pytest.approx(0.75 / 2.29, rel=0.001)


def test_a_limit_s_worth_of_droppings_brings_two_to_five_harvests_of_phosphate() -> None:
    """At 170 kg N/ha about 117 kg P2O5/ha: handbook ratio 37 g P2O5 to 53 g N (as recalled)."""
    brought_kg_ha = 170 * 37 / 53
    taken_kg_ha = [
        removal_table()[name].phosphorus_kg_ha * 2.29
        for name in ("Cabbage", "Carrot", "Lettuce, head", "Cucumber, on the ground")
    ]

    assert brought_kg_ha == pytest.approx(117, abs=2)
    for taken in taken_kg_ha:
        assert 1.9 < brought_kg_ha / taken < 5.5


@pytest.mark.parametrize(
    ("name", "protein_g", "phosphorus_mg", "potassium_mg"),
    [
        # USDA National Nutrient Database for Standard Reference, raw, per 100 g
        ("Tomato, staked", 0.88, 24, 237),
        ("Potato", 2.05, 57, 425),
        ("Spinach", 2.86, 49, 558),
        ("Garlic", 6.36, 153, 401),
        ("Pea, trellised", 5.42, 108, 244),
        ("Strawberry", 0.67, 24, 153),
        ("Sweet corn", 3.27, 89, 270),
    ],
)
def test_contents_are_the_food_table_s(
    name: str, protein_g: float, phosphorus_mg: float, potassium_mg: float
) -> None:
    crop = crop_table()[name]

    assert crop.content_from.mark is Mark.PUBLISHED
    assert crop.content.nitrogen_g == pytest.approx(protein_g * 10 / 6.25, abs=0.006)
    assert crop.content.phosphorus_g == pytest.approx(phosphorus_mg / 100, abs=0.001)
    assert crop.content.potassium_g == pytest.approx(potassium_mg / 100, abs=0.001)


@pytest.mark.parametrize(
    ("name", "short_tons_acre", "nitrogen_lb", "phosphate_lb", "potash_lb"),
    [
        # New England Vegetable Management Guide, Removal of Nutrients from the Soil, table 4
        ("Cabbage", 20, 125, 30, 130),
        ("Carrot", 25, 80, 20, 200),
        ("Celery", 50, 195, 80, 435),
        ("Onion, dry", 20, 110, 20, 110),
    ],
)
def test_a_measured_removal_goes_before_the_food_table(
    name: str, short_tons_acre: float, nitrogen_lb: float, phosphate_lb: float, potash_lb: float
) -> None:
    removal = crop_table()[name].removal_kg_ha

    assert crop_table()[name].yield_kg_m2 == pytest.approx(short_tons_acre * 0.2242, abs=0.01)
    assert removal.nitrogen_g == pytest.approx(nitrogen_lb * 1.1209, rel=0.003)
    assert removal.phosphorus_g == pytest.approx(phosphate_lb * 1.1209 / 2.29, rel=0.003)
    assert removal.potassium_g == pytest.approx(potash_lb * 1.1209 / 1.205, rel=0.003)


@pytest.mark.parametrize(
    ("name", "inches"),
    # Kansas State Master Gardeners, plant spacing for intensive vegetable gardening
    [("Carrot", 3), ("Cabbage", 12), ("Spinach", 4), ("Pea, trellised", 2), ("Chard", 6)],
)
def test_spacings_are_kansas_s(name: str, inches: float) -> None:
    assert crop_table()[name].spacing_mm == pytest.approx(inches * 25.4, abs=0.5)


def test_only_legumes_leave_nitrogen_from_the_air() -> None:
    for crop in crop_table().values():
        assert (crop.fixed_kg_ha > 0) == (crop.family == "Fabaceae"), crop.name
    # North Platte Natural Resources District, after the University of Nebraska: dry edible beans about
    # 40 lb N an acre
    assert crop_table()["Dry bean"].fixed_kg_ha == pytest.approx(40 * 1.1209, rel=0.01)
