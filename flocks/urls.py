"""Addresses of the batches. Prefix: g/<garden_id>/. `batch_new` lives upstairs with the plan."""

from django.urls import path

from flocks.book_kinds import BOOK_KINDS
from flocks.record_kinds import KINDS
from flocks.views import (
    batch_feed,
    batches,
    books,
    brooder,
    feed_store,
    money,
    processing,
    ready,
    record_lists,
    records,
    register,
    rota,
    stock,
)
from flocks.views import weighings as weighing_pages

batch_urls = [
    path("batches/", batches.batches, name="batches"),
    path("batches/<int:batch_id>/", batches.batch, name="batch"),
    path("batches/<int:batch_id>/edit/", batches.edit, name="batch_edit"),
    path(
        "batches/<int:batch_id>/weighings/import/",
        weighing_pages.read_in,
        name="weighings_import",
    ),
    path("batches/<int:batch_id>/weighings/next/", weighing_pages.advice, name="weighing_advice"),
    path("batches/<int:batch_id>/feeding/", batch_feed.feeding, name="batch_feeding"),
    path("batches/<int:batch_id>/ready/", ready.ready, name="batch_ready"),
    path("batches/<int:batch_id>/brooder/", brooder.brooder, name="batch_brooder"),
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
    path("batches/feed/runs-out/", feed_store.runs_out, name="feed_runs_out"),
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

# The garden's books: batches/books/medicines/new/ is named treatment_new, and so on.
book_urls = [
    path(f"batches/books/{kind.folder}/{end}", view, {"kind": kind}, f"{kind.key}_{name}")
    for kind in BOOK_KINDS
    for name, end, view in (
        ("new", "new/", books.new),
        ("edit", f"<int:{kind.id_name}>/edit/", books.edit),
        ("remove", f"<int:{kind.id_name}>/remove/", books.remove),
    )
]

page_urls = [
    path("batches/register/", register.register, name="register"),
    path("batches/register/changes/", register.changes, name="changes"),
    path("batches/register/export.csv", register.register_csv, name="register_csv"),
    path("batches/stock/", stock.stock, name="stock"),
    path("batches/stock/packs/<int:pack_id>/out/", stock.out, name="pack_out"),
    path("batches/stock/outs/<int:out_id>/remove/", stock.out_remove, name="pack_out_remove"),
    path("batches/stock/labels/", stock.labels, name="pack_labels"),
    path("batches/money/", money.money, name="money"),
    path("batches/money/rules/", money.house_rules, name="house_rules"),
    path("batches/rota/", rota.rota, name="rota"),
    path("batches/<int:batch_id>/processing-day/", processing.day, name="processing_day"),
    path(
        "batches/<int:batch_id>/processing-day/<int:day_id>/",
        processing.day,
        name="processing_day_edit",
    ),
    path(
        "batches/<int:batch_id>/processing-day/<int:day_id>/remove/",
        processing.remove,
        name="processing_day_remove",
    ),
    path(
        "batches/<int:batch_id>/processing-day/<int:day_id>/split/",
        processing.split,
        name="processing_day_split",
    ),
]

urlpatterns = [*batch_urls, *record_urls, *feed_urls, *book_urls, *page_urls]
