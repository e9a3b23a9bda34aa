"""What every view with a form shares: the posted data, and 422 for a form that came back wrong."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

UNPROCESSABLE = 422


def posted(request: HttpRequest) -> QueryDict | None:
    """Return what was posted, or None for a form that is only looked at."""
    return request.POST if request.method == "POST" else None


def form_page(
    request: HttpRequest, template: str, form: forms.BaseForm, **context: Any
) -> HttpResponse:
    """Draw a page round a form; a form with faults keeps what was typed and answers 422."""
    status = UNPROCESSABLE if form.is_bound and form.errors else 200
    response = render(request, template, {"form": form, **context}, status=status)
    # What answers an outbox reads the faults from here.
    response.form = form
    return response
