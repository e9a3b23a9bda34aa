"""Addresses of the batches. Prefix: g/<garden_id>/. `batch_new` lives upstairs with the plan."""

from django.urls import path

from flocks.record_kinds import KINDS
from flocks.views import batch_feed, batches, compare, feed_store, ready, record_lists, records
from flocks.views import weighings as weighing_pages

batch_urls = [
    path("batches/", batches.batches, name="batches"),
    path("batches/<int:batch_id>/", batches.batch, name="batch"),
    path("batches/<int:batch_id>/edit/", batches.edit, name="batch_edit"),
    path("batches/compare/", compare.compare, name="batch_compare"),
    path(
        "batches/<int:batch_id>/weighings/import/",
        weighing_pages.read_in,
        name="weighings_import",
    ),
    path("batches/<int:batch_id>/weighings/next/", weighing_pages.advice, name="weighing_advice"),
    path("batches/<int:batch_id>/feeding/", batch_feed.feeding, name="batch_feeding"),
    path("batches/<int:batch_id>/ready/", ready.ready, name="batch_ready"),
    path("batches/<int:batch_id>/records.csv", batches.records_csv, name="batch_csv"),
]

# One set of addresses for each kind: batches/7/weighings/new/ is named weighing_new, and so on.
record_urls = [
    path(f"batches/<int:batch_id>/{kind.folder}/{end}", view, {"kind": kind}, f"{kind.key}_{name}")
    for kind in KINDS
    for name, end, view in (
        ("list", "", record_lists.all_of_kind),
        ("new", "new/", records.new),
        ("edit", f"<int:{kind.id_name}>/edit/", records.edit),
        ("remove", f"<int:{kind.id_name}>/remove/", records.remove),
    )
]

feed_urls = [
    path("batches/feed/", feed_store.store, name="feed_store"),
    path("batches/feed/new/", feed_store.product_new, name="feed_product_new"),
    path("batches/feed/shopping/", feed_store.shopping_habits, name="feed_habits"),
    path("batches/feed/<int:product_id>/edit/", feed_store.product_edit, name="feed_product_edit"),
    path(
        "batches/feed/<int:product_id>/retire/",
        feed_store.product_retire,
        name="feed_product_retire",
    ),
    path("batches/feed/<int:product_id>/bought/", feed_store.bought, name="feed_bought"),
    path("batches/feed/<int:product_id>/count/", feed_store.counted, name="feed_counted"),
    path(
        "batches/feed/purchases/<int:purchase_id>/remove/",
        feed_store.line_remove,
        {"kind": "purchase"},
        "feed_purchase_remove",
    ),
    path(
        "batches/feed/counts/<int:count_id>/remove/",
        feed_store.line_remove,
        {"kind": "count"},
        "feed_count_remove",
    ),
]

urlpatterns = [*batch_urls, *record_urls, *feed_urls]
