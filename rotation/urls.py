"""Addresses of the top floor: today, moves and chores, beds, plan. Prefix: g/<garden_id>/."""

from django.urls import path

from rotation.views import (
    batch_new,
    bed_map,
    beds,
    board,
    closures,
    compare,
    eat,
    exports,
    heap,
    in_out,
    labels,
    leaving,
    ledger,
    messages,
    photos,
    plan,
    plan_holds,
    plan_progress,
    report,
    sizing,
    succession,
    today,
    undo,
    what_if,
    why,
    windows,
)

# Prefix: g/<garden_id>/
today_urls = [
    path("", today.today, name="today"),
    path("today/chores/", today.chore, name="chore_mark"),
    path("today/chores/<str:chore>/not-possible/", today.cannot, name="chore_cannot"),
    path("today/batches/<int:batch_id>/pens/<int:pen_id>/moved/", today.moved, name="move_done"),
    path(
        "today/batches/<int:batch_id>/pens/<int:pen_id>/elsewhere/",
        today.elsewhere,
        name="move_elsewhere",
    ),
    path("undo/<int:step_id>/", undo.undo, name="undo"),
    path("delete/", leaving.garden_delete_page, name="garden_delete"),
    path("photos/", photos.photos, name="photos"),
    path("photos/new/", photos.photo_new, name="photo_new"),
    *(
        path(f"photos/<int:photo_id>/{size}/", photos.photo, {"size": size}, f"photo_{size}")
        for size in ("large", "small")
    ),
    path("photos/<int:photo_id>/remove/", photos.remove, name="photo_remove"),
]

batch_urls = [
    path("batches/new/", batch_new.batch_new, name="batch_new"),
    path("batches/compare/", compare.compare, name="batch_compare"),
    path("batches/<int:batch_id>/report/", report.batch_report, name="batch_report"),
    path("batches/years/<int:year>/", report.year_summary, name="year_summary"),
    path("batches/season/", sizing.sizing, name="sizing"),
    path("batches/season/progress/", sizing.progress, name="sizing_progress"),
    path("batches/season/enough/", sizing.enough, name="sizing_enough"),
    path("batches/season/<int:sizing_id>/make/", sizing.make, name="sizing_make"),
]

bed_urls = [
    path("beds/", beds.beds, name="beds"),
    path("beds/map/", bed_map.bed_map, name="bed_map"),
    path("beds/eat/", eat.eat, name="eat"),
    path("beds/labels/", labels.labels, name="bed_labels"),
    path("beds/<int:bed_id>/label/", labels.label, name="bed_label"),
    path("beds/plantings/<int:planting_id>/early/", eat.early_new, name="early_harvest_new"),
    path("beds/early/<int:early_id>/remove/", eat.early_remove, name="early_harvest_remove"),
    path("beds/<int:bed_id>/", beds.bed, name="bed"),
    path("beds/<int:bed_id>/windows/", windows.windows, name="bed_windows"),
    path("beds/<int:bed_id>/next-crop/", succession.next_crop, name="next_crop"),
]

ledger_urls = [
    path("beds/<int:bed_id>/ledger/", ledger.bed, name="bed_ledger"),
    path("beds/droppings/<int:batch_id>/", ledger.droppings, name="droppings"),
    path("beds/compost/<int:heap_id>/", heap.heap, name="heap"),
    path("beds/compost/<int:heap_id>/off-bed/", heap.off_bed_put_on, name="heap_off_bed"),
    path("beds/compost/<int:heap_id>/lift/", heap.lift, name="heap_lift"),
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

in_out_urls = [
    path("in-and-out/", in_out.in_out, name="in_out"),
    path("in-and-out/tables.zip", in_out.tables, name="tables_out"),
    path("in-and-out/archive.json", in_out.archive, name="archive_out"),
    path("in-and-out/photos.zip", in_out.photos, name="photos_out"),
    path("in-and-out/made/", exports.ask, name="export_ask"),
    path("in-and-out/made/progress/", exports.progress, name="export_progress"),
    path("in-and-out/made/<int:export_id>/", exports.fetch, name="export_fetch"),
    path("in-and-out/made/<int:export_id>/stop/", exports.stop, name="export_stop"),
    path("sheets/day/", in_out.day_sheet_print, name="day_sheet_print"),
    path("sheets/week/", in_out.week_sheet_print, name="week_sheet_print"),
    path("messages/", messages.own_messages, name="own_messages"),
    path("messages/calendar/", messages.calendar_make, name="calendar_make"),
    path("messages/calendar/close/", messages.calendar_revoke, name="calendar_revoke"),
    path("messages/letter/", messages.reminder, name="reminder"),
]

urlpatterns = [
    *today_urls,
    *batch_urls,
    *bed_urls,
    *ledger_urls,
    *plan_urls,
    *board_urls,
    *in_out_urls,
]
