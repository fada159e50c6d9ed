"""The hidden fields of a form that records an entry: its identity, and what its author had seen."""

import datetime as dt
from typing import Any, Self
from uuid import uuid4

from django import forms
from django.http import QueryDict

from parts.entering import Signed
from parts.models import KitOrder
from parts.receiving import last_seen
from shop.models import Person, SignedHow

LONGEST_ON_THE_WAY = dt.timedelta(days=30)


class EntryFields(forms.Form):
    entry_id = forms.UUIDField(widget=forms.HiddenInput)
    saw = forms.UUIDField(widget=forms.HiddenInput, required=False)
    entered_at = forms.DateTimeField(widget=forms.HiddenInput, required=False)

    @classmethod
    def fresh(cls, order: KitOrder, **initial: Any) -> Self:
        """For an entry that is about to be made on what is known now."""
        return cls(initial={"entry_id": uuid4(), "saw": last_seen(order), **initial})

    @classmethod
    def renewed(cls, order: KitOrder, data: QueryDict, *files: Any, **about: Any) -> Self:
        """With what was typed, for another entry: the last one was not taken."""
        again = data.copy()
        again["entry_id"], again["saw"] = str(uuid4()), str(last_seen(order) or "")
        return cls(again, *files, **about)

    def signed(self, signer: Person, now: dt.datetime, *, how: str = SignedHow.DESK) -> Signed:
        """The outside of the entry, of a form that is right, for the desk at which it was typed."""
        return Signed(
            entry_id=self.cleaned_data["entry_id"],
            saw=self.cleaned_data["saw"],
            signer=signer,
            signed_how=how,
            entered_at=self.entered_at_by(now),
        )

    def entered_at_by(self, now: dt.datetime) -> dt.datetime | None:
        """When it was entered, where the device's clock can be believed."""
        at: dt.datetime | None = self.cleaned_data.get("entered_at")
        return at if at is not None and now - LONGEST_ON_THE_WAY <= at <= now else None
