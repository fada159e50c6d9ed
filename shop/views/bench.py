"""The bench page: the sheets, and one sheet with what was typed in its address."""

from dataclasses import dataclass

from django.http import Http404, HttpResponse
from django.utils.translation import gettext as _

from shop.bench.index import find_sheet, parts
from shop.bench.sheets import Answer, Asked, FieldError, Sheet, said
from shop.engineering.errors import QuantityError
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@dataclass(frozen=True)
class Line:
    """A field as it is shown: with what was typed and what is wrong with it."""

    asked: Asked
    value: str
    error: str


@dataclass(frozen=True)
class SheetPage:
    """One sheet with its answer, or with what is wrong."""

    sheet: Sheet
    typed: dict[str, str]
    answer: Answer | None
    errors: dict[str, str]

    @classmethod
    def load(cls, sheet: Sheet, query: dict[str, str]) -> "SheetPage":
        """Opened without inputs it stands with the usual ones and their answer."""
        known = {asked.name for asked in sheet.asked}
        typed = {name: text for name, text in query.items() if name in known}
        typed = {**dict.fromkeys(known, ""), **typed} if typed else sheet.usual
        try:
            return cls(sheet, typed, sheet.answer(typed), {})
        except FieldError as error:
            return cls(sheet, typed, None, {error.name: _told(error)})
        except QuantityError as error:
            return cls(sheet, typed, None, {"": _told(error)})

    @property
    def lines(self) -> tuple[Line, ...]:
        return tuple(
            Line(asked, self.typed[asked.name], self.errors.get(asked.name, "")) for asked in self.sheet.asked
        )

    @property
    def worked_from(self) -> str:
        """Every input that was given, in one line."""
        given = (f"{line.asked.label}: {line.value} {line.asked.unit}" for line in self.lines if line.value)
        return "; ".join(text.strip() for text in given)

    @property
    def error(self) -> str:
        """What is wrong with the whole."""
        return self.errors.get("", "")


def _told(error: QuantityError) -> str:
    meant = ". " + _("Meant: %(meant)s?") % {"meant": ", ".join(error.meant)} if error.meant else ""
    return said(error.message) + meant


@allowed("shop:bench")
def bench(request: PersonRequest) -> HttpResponse:
    """What can be worked out."""
    return render_page(request, "shop/bench.html", {"parts": parts()}, parts=())


@allowed("shop:bench_sheet")
def bench_sheet(request: PersonRequest, key: str) -> HttpResponse:
    """One sheet; its address carries what was typed."""
    sheet = find_sheet(key)
    if sheet is None:
        raise Http404
    page = SheetPage.load(sheet, request.GET.dict())
    context = {"page": page, "sheet": sheet, "parts": parts()}
    return render_page(request, "shop/bench_sheet.html", context, parts=("answer",))
