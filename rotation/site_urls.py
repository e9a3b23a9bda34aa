"""Addresses of the top floor that lie outside any garden. Prefix: none."""

from django.urls import path

from rotation.views import health, in_out, leaving, messages

urlpatterns = [
    path("healthz", health.alive, name="healthz"),
    path("readyz", health.ready, name="readyz"),
    path("metrics", health.metrics, name="metrics"),
    path("gardens/bring-in/", in_out.bring_in, name="bring_in"),
    path("accounts/", leaving.own_account, name="own_account"),
    path("accounts/export/", leaving.own_export, name="own_export"),
    path("accounts/delete/", leaving.own_delete, name="own_delete"),
    path("calendar/<str:key>.ics", messages.calendar_feed, name="calendar_feed"),
    path("letters/<str:letter>/stop/", messages.reminder_stop, name="reminder_stop"),
]
