"""Addresses of the top floor: today, moves and chores, beds, plan. Prefix: g/<garden_id>/."""

from django.urls import path

from rotation.views import (
    batch_new,
    beds,
    board,
    closures,
    plan,
    plan_holds,
    plan_progress,
    today,
    undo,
    what_if,
    why,
)

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
    path("plan/holds/", plan_holds.plan_holds, name="plan_holds"),
    path("plan/what-ifs/", what_if.what_ifs, name="what_ifs"),
    path("plan/what-ifs/new/", what_if.what_if_new, name="what_if_new"),
    path("plan/what-ifs/try/", what_if.what_if_try, name="what_if_try"),
    path("plan/what-ifs/<int:what_if_id>/", what_if.what_if, name="what_if"),
    path("plan/what-ifs/<int:what_if_id>/plan/", what_if.what_if_worked, name="what_if_worked"),
    path("plan/what-ifs/<int:what_if_id>/drop/", what_if.what_if_dropped, name="what_if_drop"),
    path("plan/what-ifs/<int:what_if_id>/accept/", what_if.what_if_accepted, name="what_if_accept"),
    path("plan/progress/", plan_progress.progress, name="plan_progress"),
    path("plan/enough/", plan_progress.enough, name="plan_enough"),
    path("plan/cures/", why.cures, name="plan_cures"),
    path("plan/stays/<int:planned_id>/why/", why.why, name="why"),
]

board_urls = [
    path("plan/stays/<int:planned_id>/", board.stay, name="stay_change"),
    path("plan/stays/<int:planned_id>/judge/", board.judge, name="stay_judge"),
    path("plan/stays/<int:planned_id>/swap/", board.swap, name="stay_swap"),
    path("plan/locks/<int:pin_id>/", board.pin, name="pin_change"),
    path("plan/locks/<int:pin_id>/unlock/", board.unlock, name="pin_remove"),
    path("plan/closures/new/", closures.new, name="closure_new"),
    path("plan/closures/<int:closure_id>/", closures.edit, name="closure_edit"),
    path("plan/closures/<int:closure_id>/remove/", closures.remove, name="closure_remove"),
]

urlpatterns = [*today_urls, *batch_urls, *bed_urls, *plan_urls, *board_urls]
