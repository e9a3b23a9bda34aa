"""The buying list in the shop, and what things cost and what is in the shed already."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from garden.access import garden_for, ruled_garden_for, writable_garden_for
from garden.views.form_page import UNPROCESSABLE, posted
from garden.words import mark
from pens.actions import prices_save, ticks_set
from pens.built import Purse, buying_of, pen_of
from pens.design import BoardOffer, BuyingLine, DesignError, Shop
from pens.design.lumber import profiles
from pens.design_forms import choices_of
from pens.models import Design, Price
from pens.price_forms import PricesAndShed
from pens.shopping import BOARD, ShopList, buying_for, shop_list
from pens.views.cannot import or_tell_why

_ENDLESS_MM = 100_000


@require_http_methods(["GET", "POST"])
def shop(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Show the list with its ticks; without script its form saves them all at once."""
    load = writable_garden_for if request.method == "POST" else garden_for
    garden = load(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    try:
        listed = _list(design, garden.unit_system)
    except DesignError as error:
        context = {"design": design, "fault": str(error)}
        return render(request, "pens/design_shop.html", context)
    if request.method == "POST":
        keys = {line.key for group in listed.groups for line in group.lines}
        got = keys & set(request.POST.getlist("got"))
        ticks_set(design=design, user=request.user, now=got, not_now=keys - got)
        return redirect("design_shop", garden_id=garden.pk, design_id=design.pk)
    return render(request, "pens/design_shop.html", {"design": design, "list": listed})


def _list(design: Design, system: str) -> ShopList:
    got = set(design.got.values_list("key", flat=True))
    return shop_list(buying_for(design, choices_of(design)), system, got)


def _keys(design: Design) -> set[str]:
    """Return the keys of the lines that can be ticked; none where there is no list."""
    try:
        return {line.key for line in buying_for(design, choices_of(design)).lines}
    except DesignError:
        return set()


@require_POST
def tick(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Take ticks that a phone kept while it had no signal; sent twice they are the same ticks."""
    garden = writable_garden_for(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    keys = _keys(design)
    now = keys & set(request.POST.getlist("now"))
    not_now = keys & set(request.POST.getlist("not"))
    ticks_set(design=design, user=request.user, now=now, not_now=not_now)
    return HttpResponse(status=204)


@require_http_methods(["GET", "POST"])
@or_tell_why
def prices(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Say what each line costs and what is in the shed."""
    garden = ruled_garden_for(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    form = PricesAndShed(garden, priced_lines(design), posted(request))
    if request.method == "POST" and form.is_valid():
        prices_save(garden=garden, user=request.user, amounts=form.amounts(), counts=form.counts())
        return redirect("design_shop", garden_id=garden.pk, design_id=design.pk)
    status = UNPROCESSABLE if request.method == "POST" else 200
    return render(
        request, "pens/design_prices.html", {"design": design, "form": form}, status=status
    )


def priced_lines(design: Design) -> list[BuyingLine]:
    """Return what may need a price: all usual boards of the design's wood, and the rest of the list."""
    choices = choices_of(design)
    woods = list(dict.fromkeys(line.profile for line in pen_of(choices).cut_list))
    # Boards that are long enough for every piece: the grower may be here to name such a one.
    boards = tuple(BoardOffer(wood, _ENDLESS_MM) for wood in woods)
    buying = buying_of(
        choices,
        Purse(boards=boards, kerf_mm=design.kerf_mm, rolls_mm=tuple(design.roll_lengths_mm)),
    )
    told = Price.objects.filter(garden=design.garden_id, key__startswith=BOARD)
    own = [key.removeprefix(BOARD).rpartition("-") for key in told.values_list("key", flat=True)]
    lines = []
    for wood in woods:
        lengths = {offer.length_mm for offer in Shop().offers(wood)}
        lengths |= {int(length) for profile, _, length in own if profile == wood}
        lines += [
            BuyingLine(
                key=f"{BOARD}{wood}-{length}",
                kind="boards",
                what=mark("any untreated timber"),
                size=profiles()[wood].name,
                count=1,
                length_mm=length,
            )
            for length in sorted(lengths)
        ]
    return lines + [line for line in buying.lines if line.kind != "boards"]
