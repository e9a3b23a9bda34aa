"""All addresses. Upper floors are included by name only, so that imports stay one-way."""

from django.urls import include, path

from garden.views import beds, front, guide, people, plantings, rules

# Prefix: (none)
site_urls = [
    path("", front.front, name="front"),
    path("gardens/", front.garden_list, name="gardens"),
    path("gardens/new/", guide.start, name="garden_new"),
    path("join/<str:token>/", people.join, name="join"),
    path("mode/", front.mode, name="mode"),
    path("health/", front.health, name="health"),
    path("accounts/", include("allauth.account.urls")),
]

# Prefix: g/<garden_id>/
garden_urls = [
    path("settings/", rules.settings, name="garden_settings"),
    path("people/", people.people, name="people"),
    path("people/invite/", people.invite, name="invite"),
    path("people/invitations/<int:invitation_id>/withdraw/", people.withdraw, name="withdraw"),
    path("people/<int:membership_id>/role/", people.role, name="member_role"),
    path("people/<int:membership_id>/remove/", people.remove, name="member_remove"),
    path("guide/beds/", guide.guide_beds, name="guide_beds"),
    path("beds/new/", beds.new, name="bed_new"),
    path("beds/<int:bed_id>/edit/", beds.edit, name="bed_edit"),
    path("beds/<int:bed_id>/retire/", beds.retire, name="bed_retire"),
    path("beds/<int:bed_id>/plantings/new/", plantings.new, name="planting_new"),
    path("beds/plantings/<int:planting_id>/edit/", plantings.edit, name="planting_edit"),
    path("beds/plantings/<int:planting_id>/remove/", plantings.remove, name="planting_remove"),
    path("beds/crops/", plantings.crops, name="crops"),
    path("beds/crops/new/", plantings.crop_new, name="crop_new"),
    path("beds/crops/<int:crop_id>/edit/", plantings.crop_edit, name="crop_edit"),
]

urlpatterns = [
    *site_urls,
    path(
        "g/<int:garden_id>/",
        include(
            [
                *garden_urls,
                path("", include("pens.urls")),
                path("", include("flocks.urls")),
                path("", include("rotation.urls")),
            ]
        ),
    ),
]
