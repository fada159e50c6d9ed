"""Why a gate does not hold: what is the matter, what would clear it, and who may set it aside."""

from dataclasses import dataclass, field

from shop.models import Role

NOBODY: frozenset[str] = frozenset()
LEAD: frozenset[str] = frozenset({Role.LEAD})
MANAGER: frozenset[str] = frozenset({Role.MANAGER})


@dataclass(frozen=True)
class Reason:
    """One reason why an operation may not go on.

    `code` says the same in every language and is what an override names. `where` is the code of the
    operation or checkpoint at which it is cleared, if there is one. `pieces` is how many of a part are
    missing: a risk is taken for so many, and not for more.
    """

    code: str
    text: str
    clear: str
    where: str = ""
    overridable_by: frozenset[str] = field(default=NOBODY)
    pieces: int | None = None

    def as_json(self) -> dict[str, object]:
        return {
            "code": self.code,
            "text": self.text,
            "clear": self.clear,
            "where": self.where,
            "overridable_by": sorted(self.overridable_by),
        }
