"""Addresses of the Build place. Prefix: g/<garden_id>/"""

from django.urls import path

from pens.views import cutting, designs, papers, pens, shopping

urlpatterns = [
    path("build/", pens.build, name="build"),
    path("build/pens/new/", pens.new, name="pen_new"),
    path("build/pens/<int:pen_id>/edit/", pens.edit, name="pen_edit"),
    path("build/pens/<int:pen_id>/retire/", pens.retire, name="pen_retire"),
    path("build/cut/", cutting.cut, name="cut"),
    path("build/choose/", designs.choose, name="design_choose"),
    path("build/designs/new/", designs.new, name="design_new"),
    path("build/designs/<int:design_id>/", designs.show, name="design"),
    path("build/designs/<int:design_id>/edit/", designs.edit, name="design_edit"),
    path("build/designs/<int:design_id>/remove/", designs.remove, name="design_remove"),
    path("build/designs/<int:design_id>/pen/", designs.build, name="design_build"),
    path("build/designs/<int:design_id>/steps/", papers.steps, name="design_steps"),
    path("build/designs/<int:design_id>/print/", papers.print_all, name="design_print"),
    path("build/designs/<int:design_id>/<slug:which>.csv", papers.table, name="design_csv"),
    path("build/designs/<int:design_id>/<slug:name>.svg", designs.drawing, name="design_svg"),
    path("build/designs/<int:design_id>/shop/", shopping.shop, name="design_shop"),
    path("build/designs/<int:design_id>/shop/tick/", shopping.tick, name="design_tick"),
    path("build/designs/<int:design_id>/prices/", shopping.prices, name="design_prices"),
    path("guide/pens/", pens.guide_pens, name="guide_pens"),
]
