"""Addresses of the top floor: today, moves and chores, beds, plan. Prefix: g/<garden_id>/."""

from django.urls import path

from rotation.views import batch_new, beds, plan, today, undo

# Prefix: g/<garden_id>/
today_urls = [
    path("", today.today, name="today"),
    path("today/chores/", today.chore, name="chore_mark"),
    path("today/batches/<int:batch_id>/pens/<int:pen_id>/moved/", today.moved, name="move_done"),
    path(
        "today/batches/<int:batch_id>/pens/<int:pen_id>/elsewhere/",
        today.elsewhere,
        name="move_elsewhere",
    ),
    path("undo/<int:step_id>/", undo.undo, name="undo"),
]

batch_urls = [
    path("batches/new/", batch_new.batch_new, name="batch_new"),
]

bed_urls = [
    path("beds/", beds.beds, name="beds"),
    path("beds/<int:bed_id>/", beds.bed, name="bed"),
]

plan_urls = [
    path("plan/", plan.plan, name="plan"),
    path("plan/again/", plan.again, name="plan_again"),
]

urlpatterns = [*today_urls, *batch_urls, *bed_urls, *plan_urls]
