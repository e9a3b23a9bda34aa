"""Addresses of the top floor that lie outside any garden. Prefix: none."""

from django.urls import path

from rotation.views import in_out, messages

urlpatterns = [
    path("gardens/bring-in/", in_out.bring_in, name="bring_in"),
    path("calendar/<str:key>.ics", messages.calendar_feed, name="calendar_feed"),
    path("letters/<str:letter>/stop/", messages.reminder_stop, name="reminder_stop"),
]
