"""Who may look at papers: whoever is signed in at a desk, and a tablet for the car in its bay."""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar
from uuid import UUID

from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase

from shop.documents import kinds
from shop.documents.models import Document
from shop.models import Tablet
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
        return view(request, document_id=document_id, **kwargs)

    return guarded


def is_of_its_bay(tablet: Tablet, document_id: UUID) -> bool:
    """Whether a paper is about a car that stands in the bay of that tablet now."""
    document = Document.objects.filter(pk=document_id).first()
    about = kinds.subject_of(document.kind, document.stream) if document else None
    return about is not None and about.bay_id == tablet.bay_id
