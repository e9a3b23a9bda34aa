"""Sizing a season: from the meat wanted to batches that the planner has planned."""

from datetime import date, timedelta

import pytest

from flocks.models import Batch
from garden.models import Garden, UndoStep
from pens.models import Pen
from rotation.changed_plan import days_off_in
from rotation.models import Plan, PlanRun, Sizing
from rotation.plan_runs import plan_run_ask, worker_alive
from rotation.planning import Effort, plan_again
from rotation.season_limits import Wish, a_week_later, a_week_less, outdoors
from rotation.season_sizing import SizingGround
from rotation.sizing import BatchSize, Judged
from rotation.sizing_actions import CannotMakeError, sizing_make
from rotation.sizing_rows import bird_of, sized_of, wish_of, wish_row
from rotation.sizing_runs import (
    GAVE_UP,
    LEAST_SECONDS,
    SEARCH_SECONDS,
    seconds_for,
    sizing_ask,
    sizing_claim,
    sizing_stop,
)
from rotation.sizing_work import NEVER_REACHED, sizing_work
from tests.conftest import TODAY
from tests.factories import BatchFactory, BatchPenFactory, BedFactory, PenFactory, PlantingFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def pen(garden) -> Pen:
    """Return the only pen of a garden of six small beds, a year's limit on each."""
    for number in range(6):
        BedFactory(garden=garden, name=f"Bed {number}", x_m=2.0 * number)
    return PenFactory(garden=garden, name="Pen A")


@pytest.fixture
def _quick(monkeypatch):
    monkeypatch.setattr("rotation.sizing_runs.LEAST_SECONDS", 0.8)
    monkeypatch.setattr("rotation.season_sizing.JUDGE_ROUNDS", 1)


def typed(pen: Pen, **changed: str) -> dict[str, object]:
    """Return what a grower types who wants 8 kg of young birds."""
    usual = {
        "wanted_kg": "8",
        "strain": "fast",
        "target_g": "1.5 kg",
        "pens": [str(pen.pk)],
        "brooder_days": "24",
        "off_days": "0",
    }
    return usual | changed


def wish(pen: Pen, **changed: object) -> Wish:
    """Return the same as the search is asked it."""
    usual = {
        "strain": "fast",
        "target_g": 1500.0,
        "brooder_days": 24,
        "pens": (pen.pk,),
        "wanted_kg": 8.0,
    }
    return Wish(**usual | changed)


def url(garden: Garden, end: str = "") -> str:
    """Return the page's address."""
    return f"/g/{garden.pk}/batches/season/{end}"


def sized(garden: Garden, user: object, asked: Wish) -> Sizing:
    """Return a season sized by a worker."""
    sizing_ask(garden=garden, wish=asked, asked_by=user)
    claimed = sizing_claim(worker="w")
    sizing_work(claimed, worker="w")
    claimed.refresh_from_db()
    return claimed


@pytest.mark.usefixtures("_quick")
def test_from_the_meat_wanted_to_batches_in_one_tap_and_back(garden, pen, helper):
    assert helper.post(url(garden), typed(pen)).status_code == 302
    page = helper.get(url(garden)).content.decode()
    assert "It fits." in page
    sizing = Sizing.objects.get()
    best = sized_of(sizing.result).best
    assert 8.0 <= best.meat_kg < 8.0 + 2 * bird_of(sizing.result).meat_kg
    key = f"o{sized_of(sizing.result).others.index(best)}"
    answer = helper.post(url(garden, f"{sizing.pk}/make/"), {"offer": key})
    assert answer.url == f"/g/{garden.pk}/plan/"
    assert sum(batch.chicks for batch in Batch.objects.all()) == best.chicks
    assert Plan.objects.first().stays.exists()
    helper.post(f"/g/{garden.pk}/undo/{UndoStep.objects.get().pk}/")
    assert not Batch.objects.exists()


@pytest.mark.usefixtures("_quick")
def test_what_is_proposed_can_be_planned(garden, pen, owner):
    sizing = sized(garden, owner.user, wish(pen, wanted_kg=None))
    answer = sized_of(sizing.result)
    sizing_make(
        garden=garden,
        user=owner.user,
        offer=answer.best,
        bird=bird_of(sizing.result),
        wish=wish_of(sizing.wish),
        sized_on=sizing.sized_on,
    )
    plan = plan_again(garden=garden, on=TODAY, effort=Effort(rounds=20))
    told, planned = answer.best.off_bed_days, days_off_in(list(plan.stays.all()), TODAY)
    assert abs(planned - told) <= len(answer.best.batches)


@pytest.mark.usefixtures("_quick")
def test_a_second_tap_does_not_make_the_batches_twice(garden, pen, owner):
    sizing = sized(garden, owner.user, wish(pen))
    for _ in range(2):
        answer = owner.post(url(garden, f"{sizing.pk}/make/"), {"offer": "o0"}, follow=True)
    assert "has one of the pens then" in answer.content.decode()
    assert Batch.objects.count() == len(sized_of(sizing.result).others[0].batches)


@pytest.mark.usefixtures("_quick")
def test_a_pen_given_up_or_a_day_gone_by_is_told(garden, pen, owner, settings):
    sizing = sized(garden, owner.user, wish(pen))
    make = {
        "garden": garden,
        "user": owner.user,
        "offer": sized_of(sizing.result).best,
        "bird": bird_of(sizing.result),
        "wish": wish(pen),
        "sized_on": sizing.sized_on,
    }
    settings.PRETEND_TODAY = TODAY + timedelta(days=360)
    with pytest.raises(CannotMakeError, match="were to hatch"):
        sizing_make(**make)
    settings.PRETEND_TODAY = TODAY
    pen.retired_on = TODAY
    pen.save()
    with pytest.raises(CannotMakeError, match="given up"):
        sizing_make(**make)
    assert not Batch.objects.exists()


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"wanted_birds": "9"}, "wanted_birds", "not both"),
        ({"wanted_kg": "many"}, "wanted_kg", "Give a weight"),
        ({"outdoors_from": "20 April"}, "outdoors_until", "both days"),
        ({"outdoors_from": "31 February", "outdoors_until": "1 May"}, "outdoors_from", "day"),
        ({"away_1_from": "2026-07-01"}, "away_1_until", "both days"),
        (
            {"away_2_from": "2026-07-09", "away_2_until": "2026-07-01"},
            "away_2_until",
            "not before the first",
        ),
        ({"budget": "100"}, "chick_price", "needs a price"),
        ({"in_freezer_kg": "3"}, "freezer", "whole room"),
        ({"freezer": "nan"}, "freezer", "Enter a number"),
        ({"birds_at_once": "0"}, "birds_at_once", "greater than or equal to 1"),
        ({"brooder_days": "3"}, "brooder_days", "greater than or equal to 10"),
        ({"pens": ["999999"]}, "pens", "not one of the available"),
        ({"target_g": "9000 kg"}, "target_g", "at most"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(garden, pen, helper, changed, field, said):
    answer = helper.post(url(garden), typed(pen) | changed)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert not Sizing.objects.exists()


def test_pens_of_another_garden_are_no_choice(garden, pen, helper):
    answer = helper.post(url(garden), typed(pen, pens=[str(PenFactory().pk)]))
    assert answer.status_code == 422


def test_a_viewer_reads_and_asks_nothing_and_a_garden_without_pens_is_led_to_one(garden, viewer):
    assert "First, a pen" in viewer.get(url(garden)).content.decode()
    assert viewer.post(url(garden), {}).status_code == 403


def test_where_a_worker_lives_the_page_waits_and_tells_how_far(garden, pen, helper, viewer):
    worker_alive(name="w")
    helper.post(url(garden), typed(pen))
    assert "Waiting for the planner" in helper.get(url(garden)).content.decode()
    line = viewer.get(url(garden, "progress/"), headers={"HX-Request": "true"})
    assert "<progress" in line.content.decode()
    assert "Good enough" not in line.content.decode()
    Sizing.objects.update(finished_at="2026-06-12T10:00Z", fault="x")
    ended = viewer.get(url(garden, "progress/"), headers={"HX-Request": "true"})
    assert ended.headers["HX-Refresh"] == "true"


def test_asking_again_takes_the_place_of_the_search_under_way(garden, pen, owner):
    first = sizing_ask(garden=garden, wish=wish(pen), asked_by=owner.user)
    claimed = sizing_claim(worker="w")
    second = sizing_ask(garden=garden, wish=wish(pen, wanted_kg=5.0), asked_by=owner.user)
    sizing_work(claimed, worker="w")
    assert not Sizing.objects.filter(pk=first.pk).exists()
    second.refresh_from_db()
    assert (second.finished_at, second.result) == (None, {})


@pytest.mark.usefixtures("_quick")
def test_a_plan_asked_for_meanwhile_is_not_kept_waiting(garden, pen, owner):
    sizing_ask(garden=garden, wish=wish(pen), asked_by=owner.user)
    waited = []

    def beat() -> bool:
        if not waited:
            waited.append(plan_run_ask(garden=garden, because="something was changed"))
        return False

    sizing_work(sizing_claim(worker="w"), worker="w", beat=beat)
    assert PlanRun.objects.filter(pk=waited[0].pk).exists()
    assert Sizing.objects.get().finished_at


def test_a_worker_that_ends_gives_the_search_back_and_a_dead_one_loses_it(garden, pen, owner):
    sizing_ask(garden=garden, wish=wish(pen), asked_by=owner.user)
    sizing_work(sizing_claim(worker="w"), worker="w", beat=lambda: True)
    again = Sizing.objects.get()
    assert (again.claimed_by, again.tries, again.finished_at) == ("", 0, None)
    for _ in range(3):
        assert sizing_claim(worker="w")
        Sizing.objects.update(alive_at="2026-06-12T00:00Z")
    assert sizing_claim(worker="w") is None
    assert Sizing.objects.get().fault == GAVE_UP


def test_good_enough_ends_a_search_with_what_was_found(garden, pen, owner, monkeypatch):
    monkeypatch.setattr("rotation.sizing_runs.LEAST_SECONDS", 60.0)
    sizing_ask(garden=garden, wish=wish(pen), asked_by=owner.user)
    assert sizing_stop(garden=garden)
    sizing_work(sizing_claim(worker="w"), worker="w")
    assert Sizing.objects.get().finished_at
    assert not sizing_stop(garden=garden)


def test_birds_that_never_weigh_so_much_are_told(garden, pen, owner):
    sizing = sized(garden, owner.user, wish(pen, strain="any", target_g=8000.0))
    assert sizing.fault == NEVER_REACHED
    assert NEVER_REACHED in owner.get(url(garden)).content.decode()


@pytest.mark.usefixtures("_quick")
def test_a_wish_for_more_than_the_garden_carries_names_what_holds_it_back(garden, pen, owner):
    sizing = sized(garden, owner.user, wish(pen, wanted_kg=500.0, birds_at_once=5))
    answer = sized_of(sizing.result)
    assert not answer.meets_wish
    assert all(batch.chicks <= 5 for batch in answer.best.batches)
    assert {each.key for each in answer.loosened} <= {"bed", "pen", "birds"}
    assert "Less than was wanted" in owner.get(url(garden)).content.decode()


def test_batches_under_way_take_their_pen_their_brooder_and_their_share_of_the_wish(garden, pen):
    hatch_on = TODAY + timedelta(days=5)
    batch = BatchFactory(garden=garden, chicks=4, hatch_on=hatch_on)
    BatchPenFactory(batch=batch, pen=pen)
    limits = SizingGround(garden, TODAY, wish(pen, wanted_kg=20.0)).limits
    assert limits.brooder_taken == ((5, 29),)
    assert limits.pens[0].taken == ((29, 54),)
    assert limits.birds_there[4:6] == (0, 4)
    [(day, kg)] = limits.coming_kg
    assert day == 54
    assert limits.wanted_kg == pytest.approx(20.0 - kg)


def test_days_outdoors_run_between_two_days_of_the_year_also_across_new_year():
    on = date(2026, 6, 12)
    north = outdoors(on, "04-20", "10-30")
    assert north[0]
    assert north[(date(2026, 10, 30) - on).days]
    assert not north[(date(2026, 10, 31) - on).days]
    assert north[(date(2027, 4, 20) - on).days]
    south = outdoors(on, "10-01", "04-15")
    assert not south[0]
    assert south[(date(2027, 1, 1) - on).days]
    assert all(outdoors(on, "", ""))
    assert a_week_later("12-28", on) == "01-04"


def test_a_week_less_away_shortens_the_longest_time():
    short = date(2026, 7, 1), date(2026, 7, 3)
    long = date(2026, 8, 1), date(2026, 8, 14)
    assert a_week_less([long, short]) == [short, (date(2026, 8, 1), date(2026, 8, 7))]
    assert a_week_less([short]) == []


def test_a_wish_comes_back_from_its_row_as_it_went_in(pen):
    asked = wish(pen, away=((TODAY, TODAY),), budget=12.5)
    assert wish_of(wish_row(asked)) == asked


def test_small_gardens_are_searched_for_seconds_and_large_ones_for_less_than_a_minute():
    assert (seconds_for(1), seconds_for(1000)) == (LEAST_SECONDS, SEARCH_SECONDS)


def test_nitrogen_on_beds_is_only_what_falls_there_and_bare_ground_is_tried_apart(garden):
    bed = BedFactory(garden=garden)
    PlantingFactory(
        bed=bed, starts_on=TODAY, first_harvest_on=TODAY, ends_on=TODAY + timedelta(days=400)
    )
    ground = SizingGround(garden, TODAY, wish(PenFactory(garden=garden)))
    batch = [BatchSize(20, 4, ground.wish.pens)]
    outdoors_days = ground.bird.end_age - ground.bird.out_age
    assert ground.setting.judge(batch) == Judged(outdoors_days, 0.0)
    assert ground.setting.walk.room_g == 0
    bare = ground.looser()["bare"]()
    judged = bare.judge(batch)
    assert judged.off_bed_days < outdoors_days
    assert 0 < judged.nitrogen_g <= bare.walk.room_g
