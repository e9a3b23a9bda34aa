"""All addresses. Upper floors are included by name only, so that imports stay one-way."""

from django.urls import include, path

from garden.line_kinds import LINE_KINDS
from garden.table_readers import BedReader, PlantingReader
from garden.views import (
    beds,
    compost,
    crops,
    front,
    guide,
    guide_pages,
    lines,
    offline,
    people,
    plantings,
    rules,
    table_import,
    weather,
)

# Prefix: (none)
site_urls = [
    path("", front.front, name="front"),
    path("gardens/", front.garden_list, name="gardens"),
    path("gardens/new/", guide.start, name="garden_new"),
    path("join/<str:token>/", people.join, name="join"),
    path("mode/", front.mode, name="mode"),
    path("language/", front.language, name="language"),
    path("health/", front.health, name="health"),
    path("worker.js", offline.worker, name="worker"),
    path("manifest.webmanifest", offline.manifest, name="manifest"),
    path("offline/", offline.offline, name="offline"),
    path("outbox/", offline.outbox_token, name="outbox_token"),
    path("accounts/", include("allauth.urls")),
]

# Prefix: g/<garden_id>/
garden_urls = [
    path("settings/", rules.settings, name="garden_settings"),
    path("people/", people.people, name="people"),
    path("people/invite/", people.invite, name="invite"),
    path("people/invitations/<int:invitation_id>/withdraw/", people.withdraw, name="withdraw"),
    path("people/<int:membership_id>/role/", people.role, name="member_role"),
    path("people/<int:membership_id>/remove/", people.remove, name="member_remove"),
    path("help/", guide_pages.contents, name="guide"),
    path("help/<slug:page>/", guide_pages.page, name="guide_page"),
    path("weather/", weather.day, name="weather"),
    path("weather/months/", weather.months, name="weather_months"),
    path("guide/beds/", guide.guide_beds, name="guide_beds"),
    path("beds/new/", beds.new, name="bed_new"),
    path("beds/<int:bed_id>/edit/", beds.edit, name="bed_edit"),
    path("beds/<int:bed_id>/retire/", beds.retire, name="bed_retire"),
    path("beds/<int:bed_id>/plantings/new/", plantings.new, name="planting_new"),
    path("beds/plantings/<int:planting_id>/edit/", plantings.edit, name="planting_edit"),
    path("beds/plantings/<int:planting_id>/remove/", plantings.remove, name="planting_remove"),
    path("beds/crops/", plantings.crops, name="crops"),
    path("beds/crops/new/", plantings.crop_new, name="crop_new"),
    path("beds/crops/<int:crop_id>/", crops.crop, name="crop"),
    path("beds/crops/<int:crop_id>/edit/", plantings.crop_edit, name="crop_edit"),
]

table_urls = [
    path(
        "in-and-out/beds/",
        table_import.read_in,
        {
            "kind": table_import.TableKind(
                heading="Read in beds",
                reader=BedReader,
                goes_to="beds",
                says="Sizes are of the inside, plain numbers in cm (feet in a US garden). "
                "Without “east” and “south” the beds are laid side by side.",
                takes_owner=True,
            )
        },
        name="beds_import",
    ),
    path(
        "in-and-out/plantings/",
        table_import.read_in,
        {
            "kind": table_import.TableKind(
                heading="Read in plantings",
                reader=PlantingReader,
                goes_to="beds",
                says="Beds and crops by their names here. Blank days are worked out from the crop.",
            )
        },
        name="plantings_import",
    ),
]

# One set of addresses for each kind of line about a bed: soil_test_new, spread_edit, harvest_remove and so on.
line_urls = [
    path(f"beds/{where}", view, {"kind": kind}, f"{kind.key}_{name}")
    for kind in LINE_KINDS
    for name, where, view in (
        ("new", f"<int:bed_id>/{kind.folder}/new/", lines.new),
        ("edit", f"{kind.folder}/<int:{kind.id_name}>/edit/", lines.edit),
        ("remove", f"{kind.folder}/<int:{kind.id_name}>/remove/", lines.remove),
    )
]

heap_urls = [
    path("beds/compost/", compost.heaps, name="heaps"),
    path("beds/compost/new/", compost.new, name="heap_new"),
    path("beds/compost/<int:heap_id>/edit/", compost.edit, name="heap_edit"),
    path("beds/compost/<int:heap_id>/put-on/", compost.input_new, name="heap_input_new"),
    path("beds/compost/<int:heap_id>/log/", compost.reading_new, name="heap_reading_new"),
    path("beds/compost/<int:heap_id>/carry/", compost.spread_new, name="heap_spread_new"),
    *(
        path(
            f"beds/compost/<int:heap_id>/{line}s/<int:{line}_id>/remove/",
            compost.line_remove,
            {"line": line},
            f"heap_{line}_remove",
        )
        for line in compost.LINES
    ),
]

handler500 = "garden.views.faults.server_error"

urlpatterns = [
    *site_urls,
    path("", include("rotation.site_urls")),
    path(
        "g/<int:garden_id>/",
        include(
            [
                *garden_urls,
                *line_urls,
                *heap_urls,
                *table_urls,
                path("", include("pens.urls")),
                path("", include("flocks.table_urls")),
                path("", include("flocks.urls")),
                path("", include("rotation.urls")),
            ]
        ),
    ),
]
