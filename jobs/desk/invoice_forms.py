"""The pages on which an estimate or a closing invoice is written, and the form that takes one back."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.desk.forms import ReasonField
from jobs.desk.sheet_form import SheetForm
from jobs.models import Estimate, InvoiceKind, Job
from jobs.money.account import Account
from jobs.money.amounts import Totals
from jobs.money.estimates import draft_of, mark_of
from jobs.money.invoices import standing_of
from jobs.money.prefilled import closing_lines, estimate_lines
from jobs.record import JobRecord
from shop.models import ShopSettings, TaxedKind


class CreditForm(forms.Form):
    use_required_attribute = False

    reason = ReasonField(
        label=_("Why it is taken back"),
        help_text=_("It stands on the credit note."),
        error_messages={"required": _("Say why; it stands on the credit note")},
    )


@dataclass(frozen=True)
class SheetPage:
    """An estimate or invoice being written. `account` is there where what was agreed is shown beside it."""

    job: Job
    form: SheetForm
    issue: int
    tax_percent: Decimal
    taxed_kinds: tuple[str, ...]
    currency: str
    error: str = ""
    account: Account | None = None

    @classmethod
    def estimate(cls, job: Job, *, posted: Mapping[str, str] | None = None, error: str = "") -> "SheetPage":
        shop = ShopSettings.current()
        draft, taken = draft_of(job), job.estimates.count()
        form = SheetForm.posted(posted) if posted is not None else _estimate_form(job, draft, shop)
        return cls(
            job,
            form,
            draft.issue if draft else taken + 1,
            shop.tax_percent,
            tuple(shop.taxed_kinds),
            shop.currency,
            error,
        )

    @classmethod
    def closing(cls, job: Job, *, posted: Mapping[str, str] | None = None, error: str = "") -> "SheetPage":
        record = JobRecord.load(job)
        account, shop = Account.load(record), record.settings
        current = account.current if account.current and account.current.is_accepted else None
        if posted is None:
            lines = closing_lines(record, current.row if current else None)
            form = SheetForm.of(lines, seen="")
        else:
            form = SheetForm.posted(posted, asks_deposit=False)
        standing = standing_of(job, InvoiceKind.CLOSING)
        return cls(
            job,
            form,
            standing.number if standing else 0,
            current.row.tax_percent if current else shop.tax_percent,
            tuple(current.row.taxed_kinds if current else shop.taxed_kinds),
            shop.currency,
            error,
            account,
        )

    @property
    def totals(self) -> Totals:
        return self.form.totals(tax_percent=self.tax_percent, taxed_kinds=self.taxed_kinds)

    @property
    def told(self) -> list[tuple[str, str]]:
        return [*([("lines", self.error)] if self.error else []), *self.form.told]

    @property
    def kinds(self) -> list[tuple[str, str]]:
        return [(value, str(label)) for value, label in TaxedKind.choices]

    @property
    def taxed(self) -> str:
        """What the tax is on, in words."""
        return ", ".join(str(TaxedKind(kind).label) for kind in self.taxed_kinds if kind in TaxedKind.values)


def _estimate_form(job: Job, draft: Estimate | None, shop: ShopSettings) -> SheetForm:
    """The draft; without one the newest issue to begin with; without any the route and the kit."""
    begun = draft or job.estimates.prefetch_related("lines").order_by("-issue").first()
    seen = mark_of(job)
    if begun is None:
        lines = estimate_lines(JobRecord.load(job))
        return SheetForm.of(lines, seen=seen, deposit=shop.deposit_percent)
    return SheetForm.of(begun.lines.all(), seen=seen, note=begun.note, deposit=begun.deposit_percent)
