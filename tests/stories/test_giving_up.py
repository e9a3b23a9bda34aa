"""A bed with a pen on it and a pen with birds in it are not given up."""

import pytest

from tests.factories import BatchFactory, BatchPenFactory, BedFactory, PenFactory, StayFactory

pytestmark = pytest.mark.django_db


def test_a_bed_is_kept_while_a_pen_stands_on_it(garden, owner):
    bed, pen = BedFactory(garden=garden, name="Bed 4"), PenFactory(garden=garden, name="Pen A")
    StayFactory(bed=bed, pen=pen)

    answer = owner.post(f"/g/{garden.pk}/beds/{bed.pk}/retire/", follow=True)

    assert "Pen A stands on Bed 4. Move it first." in answer.content.decode()
    assert garden.beds.in_use().exists()


def test_a_pen_is_kept_while_birds_belong_in_it(garden, owner):
    pen = PenFactory(garden=garden, name="Pen A")
    batch = BatchFactory(garden=garden, name="Spring")
    BatchPenFactory(batch=batch, pen=pen)

    answer = owner.post(f"/g/{garden.pk}/build/pens/{pen.pk}/retire/", follow=True)

    assert "Pen A belongs to Spring until it is finished." in answer.content.decode()
    assert garden.pens.in_use().exists()
