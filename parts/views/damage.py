"""Damage in carriage: the photos of a delivery, and the carrier's deadline."""

from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.answer_words import answer_words
from parts.damage import FOLDER, damaged_lines, photograph
from parts.deadlines import deadlines
from parts.entering import Signed
from parts.forms.movements import CarrierToldForm, PhotosForm
from parts.models import DamagePhoto, Receipt
from parts.reconciling import reconcile
from parts.telling_carrier import tell_carrier
from parts.views.entry_page import entry_page
from parts.views.movements import order_or_404
from parts.views.who import MAY_WRITE
from shop.entries import Answer
from shop.permissions import allowed
from shop.pictures import PictureError, store_picture
from shop.requests import PersonRequest


@allowed("parts:damage")
def damage(request: PersonRequest, number: str, pk: int) -> HttpResponse:
    """What came damaged with one delivery: photos of it, and by when the carrier has to hear of it."""
    found = _receipt(number, pk)
    parts = _parts(found)
    initial = {"entry_id": uuid4(), "part_number": parts[0][0] if len(parts) == 1 else None}
    return _page(request, found, PhotosForm(initial=initial, parts=parts))


@allowed("parts:damage_photograph")
def damage_photograph(request: PersonRequest, number: str, pk: int) -> HttpResponse:
    """Take in photos of what is damaged; what is wrong with them is told on the page of the damage."""
    found = _receipt(number, pk)
    form = PhotosForm(request.POST, request.FILES, parts=_parts(found))
    if not form.is_valid():
        return _page(request, found, form, status=422)
    try:
        pictures = [store_picture(file, folder=FOLDER) for file in form.cleaned_data["photos"]]
    except PictureError as error:
        form.add_error("photos", error.message)
        return _page(request, found, form, status=422)
    now = timezone.now()
    answer = photograph(
        receipt=found,
        part_number=form.cleaned_data["part_number"],
        pictures=pictures,
        signed=form.signed(request.user, now),
        now=now,
    )
    if not answer.accepted:
        again = PhotosForm.renewed(found.order, request.POST, request.FILES, parts=_parts(found))
        field = answer.data.get("field")
        again.add_error(field if field in again.fields else None, answer_words(answer))
        return _page(request, found, again, status=409)
    count = answer.data["photos"]
    words = ngettext("%(count)d photo is recorded.", "%(count)d photos are recorded.", count)
    messages.success(request, words % {"count": count})
    return redirect("parts:damage", number, pk)


@allowed("parts:carrier_told")
def carrier_told(request: PersonRequest, number: str, pk: int) -> HttpResponse:
    """That the carrier was told of the damage: when, by whom, by which number it is known there."""
    found = _receipt(number, pk)

    def record(form: CarrierToldForm, signed: Signed) -> Answer:
        return tell_carrier(receipt=found, told=form.told(), signed=signed, now=timezone.now())

    def done(_answer: Answer) -> HttpResponse:
        messages.success(request, _("It is recorded that the carrier was told."))
        return redirect("parts:damage", number, pk)

    fresh = CarrierToldForm.fresh(found.order, told_on=timezone.localdate(), told_by=request.user.pk)
    return entry_page(
        request,
        "parts/carrier_told.html",
        CarrierToldForm(request.POST) if request.method == "POST" else fresh,
        {**_context(request, found), "is_damaged": bool(damaged_lines(found))},
        order=found.order,
        record=record,
        done=done,
    )


@allowed("parts:damage_photo")
def damage_photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    """One photo, as it was recorded."""
    photo = get_object_or_404(DamagePhoto, pk=pk)
    if not photo.file_is_whole():
        raise Http404(_("The file of this photo is not there any more, or was changed."))
    with photo.image.open("rb") as picture:
        response = HttpResponse(picture.read(), content_type="image/jpeg")
    response["Cache-Control"] = "private, max-age=86400"
    return response


def _receipt(number: str, pk: int) -> Receipt:
    order = order_or_404(number)
    receipts = order.receipts.select_related("slip", "received_by", "order__kit_revision__kit__supplier")
    return get_object_or_404(receipts, pk=pk)


def _parts(receipt: Receipt) -> list[tuple[str, str]]:
    return [
        (line.part_number, f"{line.part_number} {line.kit_line.description if line.kit_line else line.note}")
        for line in damaged_lines(receipt)
    ]


def _page(request: PersonRequest, receipt: Receipt, form: PhotosForm, *, status: int = 200) -> HttpResponse:
    return render(request, "parts/damage.html", {**_context(request, receipt), "form": form}, status=status)


def _context(request: PersonRequest, receipt: Receipt) -> dict[str, Any]:
    order = receipt.order
    due = deadlines({order.pk: reconcile(order)}, today=timezone.localdate()).get(order.pk, ())
    return {
        "order": order,
        "receipt": receipt,
        "photos": receipt.photos.select_related("taken_by").order_by("part_number", "taken_at"),
        "deadline": next((one for one in due if one.receipt.pk == receipt.pk), None),
        "notices": receipt.carrier_notices.select_related("told_by", "entry__signer").order_by("pk"),
        "may_write": request.user.role in MAY_WRITE,
    }
