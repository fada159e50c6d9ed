"""Who may look at papers: whoever is signed in at a desk, and a tablet for the car in its bay."""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar
from uuid import UUID

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.translation import gettext as _

from shop.documents import kinds
from shop.documents.models import Document
from shop.models import Person, Tablet
from shop.requests import HtmxRequest
from shop.tablets import tablet_of

R = TypeVar("R", bound=HttpResponseBase)


def desk_or_tablet(view: Callable[..., R]) -> Callable[..., R | HttpResponse]:
    """The guard of an address with a `document_id` in it."""

    @wraps(view)
    def guarded(request: HtmxRequest, document_id: UUID, **kwargs: Any) -> R | HttpResponse:
        if not request.user.is_authenticated:
            tablet = tablet_of(request)
            if tablet is None:
                return redirect_to_login(request.get_full_path())
            if not is_of_its_bay(tablet, document_id):
                raise Http404
        else:
            require_for(request.user, document_id)
        return view(request, document_id=document_id, **kwargs)

    return guarded


def require_for(person: Person, document_id: UUID) -> None:
    """Some papers are not for everybody of the shop: what a customer pays."""
    kind = Document.objects.filter(pk=document_id).values_list("kind", flat=True).first()
    if kind is not None and not kinds.is_for(kind, person.role):
        raise PermissionDenied(_("This paper is not for your role"))


def is_of_its_bay(tablet: Tablet, document_id: UUID) -> bool:
    """Whether a paper is about a car that stands in the bay of that tablet now."""
    document = Document.objects.filter(pk=document_id).first()
    about = kinds.subject_of(document.kind, document.stream) if document else None
    return about is not None and about.bay_id == tablet.bay_id
