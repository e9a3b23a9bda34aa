"""A person's account, what is kept about them, and deleting it or a garden for good."""

import json

from allauth.account.decorators import reauthentication_required
from django.contrib import messages
from django.contrib.auth import logout
from django.core.exceptions import ValidationError
from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from garden.access import ruled_garden_for
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from rotation.leaving import account_delete, garden_delete, gardens_alone
from rotation.leaving_forms import TypedNameForm
from rotation.middleware import MENDED_ALREADY
from rotation.own_export import own_export as everything_about


@require_GET
def own_account(request: HttpRequest) -> HttpResponse:
    """Show what can be done about one's account."""
    return render(request, "rotation/own_account.html")


@require_GET
def own_export(request: HttpRequest) -> HttpResponse:
    """Send all that is kept about the reader as one file."""
    text = json.dumps(
        everything_about(request.user), cls=DjangoJSONEncoder, ensure_ascii=False, indent=1
    )
    answer = HttpResponse(text, content_type="application/json")
    answer["Content-Disposition"] = 'attachment; filename="account.json"'
    answer["Cache-Control"] = "private, no-store"
    return answer


@require_http_methods(["GET", "POST"])
@reauthentication_required
def own_delete(request: HttpRequest) -> HttpResponse:
    """Delete the reader's account, once its name is typed."""
    name = request.user.get_username()
    form = TypedNameForm(posted(request), name=name, label=_("Type your username to delete it"))
    if form.is_valid():
        user = request.user
        try:
            account_delete(user=user)
        except ValidationError as refusal:
            form.add_error(None, refusal)
        else:
            logout(request)
            messages.success(request, _("Your account is deleted."))
            return redirect("account_login")
    context = {"alone": gardens_alone(request.user)}
    return form_page(request, "rotation/own_delete.html", form, **context)


@require_http_methods(["GET", "POST"])
def garden_delete_page(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Delete a garden, once its name is typed."""
    garden = ruled_garden_for(request, garden_id)
    name = garden.name
    form = TypedNameForm(posted(request), name=name, label=_("Type the garden’s name to delete it"))
    setattr(request, MENDED_ALREADY, True)
    if form.is_valid():
        garden_delete(garden=garden)
        messages.success(request, _("{name} is deleted.").format(name=name))
        return redirect("gardens")
    return form_page(request, "rotation/garden_delete.html", form)
