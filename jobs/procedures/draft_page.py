"""What the pages of a draft show: its parts with what is wrong in each, one part with its fields."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.shortcuts import get_object_or_404

from jobs.models import DraftVersion, ProcedureDraft
from jobs.procedures.comments import comments_of
from jobs.procedures.draft_actions import put_written, same_place
from jobs.procedures.draft_codes import codes_for
from jobs.procedures.draft_drawing import Beside, beside
from jobs.procedures.draft_faults import LocatedFault, Placed, faults_of, located, of_nothing
from jobs.procedures.draft_fields import PartForm
from jobs.procedures.draft_lists import PartLine, PartList, line_of, lists_of
from jobs.procedures.draft_shapes import CHECKPOINT, OPERATION, Tree
from jobs.procedures.draft_tree import HEAD, OPERATIONS, Place, place_of, root_of, text_of, tree_of
from jobs.procedures.drafting import DraftState, state_of
from shop.drafting import newest
from shop.file_errors import FileError

LATEST = 12


@dataclass(frozen=True)
class DraftPage:
    """A draft as a whole."""

    state: DraftState
    tree: Tree
    faults: tuple[LocatedFault, ...]
    versions: tuple[DraftVersion, ...]
    said: str = ""

    @property
    def draft(self) -> ProcedureDraft:
        return self.state.draft

    @property
    def seen(self) -> int:
        return self.state.version.number

    @property
    def lines(self) -> tuple[PartLine, ...]:
        return tuple(line_of(operation, self.faults) for operation in root_of(self.tree).inside(OPERATIONS))

    @property
    def views(self) -> PartList:
        """The views of the layout."""
        layout = root_of(self.tree).beneath("layout")
        return next(lists_of(layout, self.faults))

    @property
    def tables(self) -> Iterator[PartLine]:
        """The tables that stand beside the route, whether they are there yet or not."""
        layout = root_of(self.tree).beneath("layout")
        for place in (layout.beneath("weld_map"), layout.beneath("cradle"), self._root.beneath("handover")):
            yield line_of(place, self.faults)

    @property
    def head(self) -> PartLine:
        return line_of(self._root.beneath("procedure"), self.faults)

    @property
    def whole(self) -> list[str]:
        """What is wrong with no part that has a page of its own."""
        layout = self._root.beneath("layout")
        in_layout = [f for f in self.faults if f.is_in(layout.nodes) and not _has_page(f)]
        return [*of_nothing(self.faults, self._root.shape), *(f.told for f in in_layout)]

    @property
    def fault_count(self) -> int:
        return len(self.state.errors)

    @property
    def comments(self) -> int:
        """How many comments stand in its text."""
        return len(comments_of(self.state.text))

    @property
    def _root(self) -> Place:
        return root_of(self.tree)


def _has_page(fault: LocatedFault) -> bool:
    """Whether a fault in the layout lies in a view, the weld map or the cradle."""
    key, number = (*fault.nodes[1:], None, None)[:2]
    return key in {"weld_map", "cradle"} or (key == "views" and isinstance(number, int))


def open_draft(code: str, revision: str) -> ProcedureDraft:
    drafts = ProcedureDraft.objects.select_related("procedure", "begun_from__procedure")
    return get_object_or_404(drafts, procedure__code=code, revision=revision, closed_at=None)


def draft_page(draft: ProcedureDraft, *, said: str = "") -> DraftPage:
    """The list of a draft's operations with the faults of each."""
    state = state_of(draft)
    newest_first = draft.versions.select_related("person").order_by("-number")[:LATEST]
    faults = located(state.text, state.errors)
    return DraftPage(state, tree_of(state.text), faults, tuple(newest_first), said)


@dataclass(frozen=True)
class DraftPartPage:
    """One part of a draft with its fields.

    Attributes:
        state: the draft, checked with what was typed into this part.
        place: the part as it was shown; `now` as it was typed.
        overtaken: what somebody else wrote meanwhile; `is_stuck` where this part is another by it.
    """

    state: DraftState
    place: Place
    now: Place
    tree: Tree
    form: PartForm
    faults: tuple[LocatedFault, ...]
    seen: int
    overtaken: DraftVersion | None = None
    is_stuck: bool = False

    @property
    def draft(self) -> ProcedureDraft:
        return self.state.draft

    @property
    def path(self) -> str:
        return self.place.path

    @property
    def is_head(self) -> bool:
        return self.place.path == HEAD

    @property
    def word(self) -> str:
        return str(self.place.shape.word)

    @property
    def code(self) -> str:
        """Its code; nothing for a table of its own."""
        return self.place.code

    @property
    def title(self) -> str:
        part = self.place.part
        return str(part.get("title") or part.get("name") or "")

    @property
    def above(self) -> tuple[Place, ...]:
        """What it lies in and has a page, the outermost first."""
        found: list[Place] = []
        each = self.place.above
        while each is not None and each.path and each.path != "layout":
            found.insert(0, each)
            each = each.above
        return tuple(found)

    @property
    def siblings(self) -> tuple[PartLine, ...]:
        """The rows of its list, itself among them; none for operations and their checkpoints."""
        place = self.place
        if place.above is None or place.number is None or place.shape in (OPERATION, CHECKPOINT):
            return ()
        return tuple(line_of(row, self.faults) for row in place.above.inside(place.key))

    @property
    def kind_word(self) -> str:
        """What a row of its kind is called: a seam, a hole."""
        kinds = dict(self.place.shape.kinds)
        return str(kinds.get(str(self.now.part.get("kind")), self.word))

    @property
    def lists(self) -> tuple[PartList, ...]:
        """The lists whose rows have pages of their own."""
        return tuple(lists_of(self.now, self.faults))

    @cached_property
    def beside(self) -> Beside:
        """What is drawn beside the fields, of what was typed."""
        return beside(self.now)

    @property
    def errors(self) -> list[tuple[str, str]]:
        """For the summary on top."""
        return list(self.form.errors_by_id)


def part_page(
    draft: ProcedureDraft, path: str, *, data: Mapping[str, Any] | None = None
) -> DraftPartPage | None:
    """One part of a draft, checked and drawn with what was typed; None where there is none of that path."""
    version = newest(draft)
    place = place_of(tree_of(version.text), path)
    return None if place is None else typed_page(draft, version.text, place, data=data, seen=version.number)


def typed_page(
    draft: ProcedureDraft,
    text: str,
    place: Place,
    *,
    data: Mapping[str, Any] | None,
    seen: int,
    overtaken: DraftVersion | None = None,
    is_stuck: bool = False,
) -> DraftPartPage:
    """The page of a part of a text as it would be with what was typed; `seen`: the version that it is of."""
    tree = tree_of(text)
    if data is not None:
        codes = codes_for(place, tree)
        written = PartForm(place.part, place.shape, faults=Placed(), codes=codes, data=data).written()
        put_written(tree, place, written)
        text = text_of(tree, before=text)
    state = state_of(draft, text=text)
    now = same_place(tree, place) or place
    faults = located(state.text, state.errors)
    form = PartForm(
        place.part, place.shape, faults=faults_of(now, faults), codes=codes_for(now, tree), data=data
    )
    return DraftPartPage(state, place, now, tree, form, faults, seen, overtaken, is_stuck)


def file_error_rows(errors: tuple[FileError, ...]) -> list[tuple[str, str]]:
    return [(f"line-{error.line}" if error.line else "", str(error)) for error in errors]
