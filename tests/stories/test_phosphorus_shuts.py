"""A bed whose soil test is high in phosphorus: the plan keeps off it and says so."""

import pytest

from rotation.facts import facts_of
from rotation.why.shut import shut_places
from rotation.why.shut_words import Kind
from tests.conftest import TODAY
from tests.factories import SoilTestFactory
from tests.stories.small_gardens import flock, planned
from tests.stories.small_plans import bed as one_place_bed

pytestmark = pytest.mark.django_db


def kinds(garden, plan):
    facts = facts_of(garden, TODAY)
    [run] = facts.runs
    row = plan.stays.filter(bed=None).first()
    stays = list(plan.stays.select_related("pen", "bed", "batch"))
    return [
        (place.kind, place.words)
        for place in shut_places(facts, stays, run, row.first_day, row.end_day)
    ]


def test_a_very_high_test_shuts_a_bed_and_the_words_name_phosphorus(garden):
    SoilTestFactory(bed=one_place_bed(garden, "Bed 6"), phosphorus_mg_kg=140.0)
    flock(garden, birds=4, days=2)
    plan = planned(garden)

    assert not plan.stays.exclude(bed=None).exists()
    [(kind, words)] = kinds(garden, plan)
    assert kind is Kind.PHOSPHORUS
    assert words.startswith("0 g of nitrogen room left, for the soil test is high in phosphorus")


def test_without_the_cap_the_same_bed_takes_the_birds(garden):
    SoilTestFactory(bed=one_place_bed(garden, "Bed 6"), phosphorus_mg_kg=140.0)
    garden.phosphorus_cap = False
    garden.save()
    flock(garden, birds=4, days=2)

    assert planned(garden).stays.exclude(bed=None).exists()
