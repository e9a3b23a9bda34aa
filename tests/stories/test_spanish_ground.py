"""What the ground floor, the accounts and the phone's own words do for somebody who reads Spanish."""

import json
import re

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse

from garden.languages import language_of
from garden.models import Bed, Garden
from garden.script_words import SCRIPTS
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(owner: Client) -> Client:
    """Return the owner's browser, which shows Spanish."""
    owner.cookies["language"] = "es"
    return owner


def page(client: Client, name: str, *ids: int) -> str:
    """Return a page's text."""
    return client.get(reverse(name, args=ids)).content.decode()


def bed(length: str) -> dict[str, str]:
    """Return what is typed for one bed."""
    return {"name": "Norte", "count": "1", "kind": "raised", "length_mm": length, "width_mm": "120"}


def test_a_decimal_comma_is_read_and_written(owner, garden):
    owner.post(reverse("bed_new", args=[garden.pk]), bed("2,405 m") | {"x_m": "1,5", "y_m": "0"})
    made = Bed.objects.get(garden=garden)
    assert (made.length_mm, made.x_m) == (2405, 1.5)
    assert 'value="1,5' in page(owner, "bed_edit", garden.pk, made.pk)


def test_a_point_that_may_mark_thousands_is_asked_about_in_spanish(owner, garden):
    answer = owner.post(reverse("bed_new", args=[garden.pk]), bed("1.200 mm"))
    assert answer.status_code == 422
    assert "1.200 podría significar 1200 o 1,200" in answer.content.decode()


def test_one_and_several_have_forms_of_their_own(owner, garden):
    assert "<h2>1 persona</h2>" in page(owner, "people", garden.pk)
    garden.memberships.create(user=UserFactory(), role="helper")
    assert "<h2>2 personas</h2>" in page(owner, "people", garden.pk)


def test_a_garden_is_made_with_crops_in_its_makers_language(owner):
    data = {"name": "Huerto", "time_zone": "Europe/Madrid", "unit_system": "metric"}
    owner.post(reverse("garden_new"), data)
    crops = Garden.objects.get(name="Huerto").crops
    assert crops.get(reference="Carrot").name == "Zanahoria"
    assert len(set(crops.values_list("name", flat=True))) == crops.count()


def test_the_guide_is_searched_in_the_language_it_is_read_in(owner, garden):
    address = reverse("guide", args=[garden.pk])
    assert "sobre “<" in owner.get(address, {"q": "estiércol"}).content.decode()
    assert "Nada sobre" in owner.get(address, {"q": "droppings"}).content.decode()


def test_the_letter_of_a_forgotten_password_is_in_spanish(owner, mailoutbox):
    owner.user.email = "olive@example.org"
    owner.user.save()
    stranger = Client()
    stranger.cookies["language"] = "es"
    stranger.post(reverse("account_reset_password"), {"email": "olive@example.org"})
    assert "contraseña" in mail.outbox[-1].body


def test_kept_pages_of_another_language_are_another_readers(owner, garden):
    address = reverse("today", args=[garden.pk])
    spanish = owner.get(address)["Page-Of"]
    owner.cookies["language"] = "en-gb"
    assert spanish == f"{owner.user.pk} es"
    assert owner.get(address)["Page-Of"] == f"{owner.user.pk} en-gb"


def test_the_worker_speaks_the_pages_language_and_fetches_the_offline_page_in_it(owner):
    script = page(owner, "worker")
    assert "Sin se\\u00f1al. Esta p\\u00e1gina" in script
    assert '"/language/"' in script
    offline = re.search(r'NO_SIGNAL = "(.*)"', script)[1]
    # It is fetched without cookies.
    answer = Client().get(offline)
    assert answer["Content-Language"] == "es"
    assert "Sin señal" in answer.content.decode()
    assert page(Client(), "worker") != script
    assert 'data-worker="/worker.js?language=es"' in page(owner, "gardens")


def test_an_offline_page_in_no_known_language_is_in_the_readers(client):
    answer = client.get(reverse("offline"), {"language": "../tlh"})
    assert "No signal" in answer.content.decode()


def test_scripts_find_their_words_on_the_page(owner, garden):
    found = re.search(
        r'id="words-outbox" type="application/json">(.*?)</script>',
        page(owner, "today", garden.pk),
    )
    words = json.loads(found[1])
    assert words["kept"] == "Guardado"
    assert [form.count("{n}") for form in words["others"]] == [1, 1]
    assert words.keys() == SCRIPTS["outbox"]().keys()


def test_a_language_chosen_before_signing_in_stays_until_another_is_chosen():
    reader = UserFactory()
    reader.set_password("a long pass phrase")
    reader.save()
    words = {"login": reader.username, "password": "a long pass phrase"}
    phone, desk = Client(), Client()
    phone.post(reverse("language"), {"language": "es"})
    phone.post(reverse("account_login"), words)
    assert phone.cookies["language"].value == language_of(reader) == "es"
    desk.post(reverse("language"), {"language": "en-gb"})
    desk.post(reverse("account_login"), words)
    assert desk.cookies["language"].value == "es"
