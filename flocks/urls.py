"""Addresses of the batches. Prefix: g/<garden_id>/. `batch_new` lives upstairs with the plan."""

from django.urls import path

from flocks.record_kinds import KINDS
from flocks.views import batches, records

batch_urls = [
    path("batches/", batches.batches, name="batches"),
    path("batches/<int:batch_id>/", batches.batch, name="batch"),
    path("batches/<int:batch_id>/edit/", batches.edit, name="batch_edit"),
    path("batches/<int:batch_id>/records.csv", batches.records_csv, name="batch_csv"),
]

# One set of addresses for each kind: batches/7/weighings/new/ is named weighing_new, and so on.
record_urls = [
    path(f"batches/<int:batch_id>/{kind.folder}/{end}", view, {"kind": kind}, f"{kind.key}_{name}")
    for kind in KINDS
    for name, end, view in (
        ("new", "new/", records.new),
        ("edit", f"<int:{kind.id_name}>/edit/", records.edit),
        ("remove", f"<int:{kind.id_name}>/remove/", records.remove),
    )
]

urlpatterns = [*batch_urls, *record_urls]
