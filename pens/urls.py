"""Addresses of the Build place. Prefix: g/<garden_id>/"""

from django.urls import path

from pens.views import cutting, pens

urlpatterns = [
    path("build/", pens.build, name="build"),
    path("build/pens/new/", pens.new, name="pen_new"),
    path("build/pens/<int:pen_id>/edit/", pens.edit, name="pen_edit"),
    path("build/pens/<int:pen_id>/retire/", pens.retire, name="pen_retire"),
    path("build/cut/", cutting.cut, name="cut"),
    path("guide/pens/", pens.guide_pens, name="guide_pens"),
]
