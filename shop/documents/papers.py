"""The papers about one thing, as a page shows them."""

from dataclasses import dataclass

from shop.documents import kinds
from shop.documents.currency import last_change
from shop.documents.forms import AskForm
from shop.documents.models import Document

SHOWN_AT_ONCE = 3


@dataclass(frozen=True)
class Issue:
    """One issue of a paper, and the newest change of the record that it could tell of."""

    document: Document
    last_change: int

    @property
    def title(self) -> str:
        title = kinds.title_of(self.document.kind)
        return f"{title}, {self.document.paper_size}" if self.document.paper_size else title

    @property
    def has_record_moved_on(self) -> bool:
        made_of = self.document.record_sequence
        return self.document.is_ready and made_of is not None and self.last_change > made_of


@dataclass(frozen=True)
class Papers:
    """All issues of one kind of paper about one thing, the newest first, and the form to ask for another."""

    kind: str
    stream: str
    issues: tuple[Issue, ...]
    form: AskForm

    @classmethod
    def of(cls, kind: str, stream: str, *, form: AskForm | None = None) -> "Papers":
        documents = Document.objects.of(stream).filter(kind=kind).order_by("-issue")
        change = last_change([stream]).get(stream, 0)
        issues = tuple(Issue(document, change) for document in documents)
        return cls(kind, stream, issues, form or AskForm.blank(kind, stream))

    @property
    def title(self) -> str:
        return kinds.title_of(self.kind)

    @property
    def dom_id(self) -> str:
        return f"papers-{self.kind}"

    @property
    def newest(self) -> tuple[Issue, ...]:
        return self.issues[:SHOWN_AT_ONCE]

    @property
    def earlier(self) -> tuple[Issue, ...]:
        return self.issues[SHOWN_AT_ONCE:]


def issue_of(document: Document) -> Issue:
    return Issue(document, last_change([document.stream]).get(document.stream, 0))
