"""Logging where a pen went: once, however many people tap, and only what can be true."""

from django.urls import reverse

from rotation import actions
from rotation.day_sheet import place_key
from rotation.models import Stay
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BedFactory,
    CropFactory,
    PenFactory,
    PlantingFactory,
    StayFactory,
)
from tests.stories.morning import OFFSET_MM, day, small_bed


def test_done_ends_the_stay_and_begins_the_next(helper, garden, morning) -> None:
    morning.plans(morning.bed_2)
    answer = morning.done(helper, morning.bed_2, seen=morning.stay)
    assert "Pen A moved to Bed 2" in answer.content.decode()
    morning.stay.refresh_from_db()
    new = Stay.objects.standing().get(pen=morning.pen)
    assert morning.stay.end_day == TODAY
    assert (new.bed, new.first_day, new.logged_by) == (morning.bed_2, TODAY, helper.user)


def test_a_move_can_be_taken_back(helper, garden, morning) -> None:
    answer = morning.done(helper, morning.bed_2, seen=morning.stay)
    step = answer.context["undo_step"]()
    helper.post(reverse("undo", args=[garden.pk, step.pk]))
    assert Stay.objects.standing().get(pen=morning.pen) == morning.stay


def test_two_people_marking_one_move_make_one_stay(owner, helper, garden, morning) -> None:
    morning.done(helper, morning.bed_2, seen=morning.stay)
    answer = morning.done(owner, morning.bed_2, seen=morning.stay)
    assert "Pen A already stands on Bed 2: hal logged it." in answer.content.decode()
    assert morning.pen.stays.count() == 2


def test_the_database_lets_one_of_two_who_move_at_once(
    owner, helper, garden, morning, monkeypatch
) -> None:
    real, seen_by_second = actions._lasting, iter([None])
    morning.done(helper, morning.bed_2)
    # The second asked where the pen stands before the first had saved.
    monkeypatch.setattr(actions, "_lasting", lambda pen: next(seen_by_second, real(pen)))
    answer = morning.done(owner, small_bed(garden, "Bed 3"), on=day(0))
    assert "hal has moved Pen A to Bed 2 meanwhile." in answer.content.decode()
    assert Stay.objects.standing().get(pen=morning.pen).bed == morning.bed_2


def test_a_page_that_is_behind_moves_nothing(owner, helper, garden, morning) -> None:
    bed_3 = small_bed(garden, "Bed 3")
    morning.done(helper, bed_3, seen=morning.stay)
    answer = morning.done(owner, morning.bed_2, seen=morning.stay)
    assert "hal has moved Pen A to Bed 3 meanwhile." in answer.content.decode()
    assert Stay.objects.standing().get(pen=morning.pen).bed == bed_3


def test_a_second_move_on_one_day_replaces_the_first(helper, garden, morning) -> None:
    bed_3 = small_bed(garden, "Bed 3")
    morning.done(helper, morning.bed_2)
    morning.done(helper, bed_3)
    beds = [stay.bed.name for stay in morning.pen.stays.order_by("first_day")]
    assert beds == ["Bed 1", "Bed 3"]


def test_a_pen_carried_back_on_the_day_has_not_moved(helper, garden, morning) -> None:
    morning.done(helper, morning.bed_2)
    morning.done(helper, morning.bed_1)
    assert list(morning.pen.stays.all()) == [morning.stay]
    assert Stay.objects.standing().get(pen=morning.pen) == morning.stay


def test_a_pen_is_not_carried_back_onto_another(helper, garden, morning) -> None:
    morning.done(helper, morning.bed_2)
    morning.stands(PenFactory(garden=garden, name="Pen B"), morning.bed_1, TODAY)
    answer = morning.done(helper, morning.bed_1)
    assert "Pen B still stands there." in answer.content.decode()
    assert Stay.objects.standing().get(pen=morning.pen).bed == morning.bed_2


def test_a_move_may_be_logged_the_day_after(helper, garden, morning) -> None:
    answer = morning.done(helper, morning.bed_2, on=day(-1))
    assert "Pen A moved to Bed 2 on Thu 11 June" in answer.content.decode()
    assert Stay.objects.standing().get(pen=morning.pen).first_day == day(-1)


def test_a_move_before_the_pens_last_move_is_refused(helper, garden, morning) -> None:
    answer = morning.done(helper, morning.bed_2, on=day(-3))
    assert "Pen A was moved again on Wed 10 June." in answer.content.decode()
    assert morning.pen.stays.count() == 1


def test_a_move_to_come_cannot_be_logged(helper, garden, morning) -> None:
    answer = morning.done(helper, morning.bed_2, on=day(1))
    assert answer.status_code == 422
    assert "That day is still to come." in answer.content.decode()
    assert f'value="{day(1).isoformat()}"' in answer.content.decode()


def test_a_place_where_another_pen_stands_is_refused(helper, garden, morning) -> None:
    other = PenFactory(garden=garden, name="Pen B")
    morning.stands(other, morning.bed_2, day(-1))
    address = morning.address("move_elsewhere")
    sent = {"place": place_key(morning.bed_2.pk, OFFSET_MM), "on": TODAY.isoformat()}
    answer = helper.post(address, sent)
    assert answer.status_code == 422
    assert "Pen B still stands there." in answer.content.decode()


def test_a_pen_of_processed_birds_is_in_nobodys_way(helper, garden, morning) -> None:
    gone = BatchFactory(garden=garden, finished_on=day(-1))
    StayFactory(pen=PenFactory(garden=garden), batch=gone, bed=morning.bed_2, first_day=day(-4))
    morning.done(helper, morning.bed_2)
    assert Stay.objects.standing().get(pen=morning.pen).bed == morning.bed_2


def test_moved_somewhere_else_offers_the_places_that_fit(helper, garden, morning) -> None:
    BedFactory(garden=garden, name="Narrow", length_mm=1000, width_mm=500)
    PlantingFactory(bed=morning.bed_2, crop=CropFactory(garden=garden, name="lettuce"))
    text = helper.get(morning.address("move_elsewhere")).content.decode()
    assert "Bed 2, lettuce stands there" in text
    assert "Narrow" not in text
    assert "off the beds" in text


def test_what_was_done_counts_even_on_a_crop(helper, garden, morning) -> None:
    PlantingFactory(
        bed=morning.bed_2,
        crop=CropFactory(garden=garden, name="Lettuce"),
        first_harvest_on=day(20),
        ends_on=day(200),
    )
    answer = morning.done(helper, morning.bed_2)
    text = answer.content.decode()
    assert "Lettuce is standing there." in text
    assert "Do not harvest Lettuce in" in text
    assert Stay.objects.standing().get(pen=morning.pen).bed == morning.bed_2


def test_birds_come_out_of_the_brooder_once(owner, helper, garden, morning) -> None:
    morning.stay.delete()
    morning.done(helper, morning.bed_2)
    morning.done(owner, morning.bed_2)
    assert morning.pen.stays.count() == 1
