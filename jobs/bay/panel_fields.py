"""The fields of a panel: what is keyed, chosen, confirmed, picked at a checkpoint."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from jobs.judging.instruments import Choice


@dataclass(frozen=True)
class Typed:
    """What was sent for a checkpoint and could not be recorded; kept, with what is wrong with it."""

    code: str
    values: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class ReadingField:
    """A figure to be keyed; `own_unit` is the reader's where the instruction's is another."""

    name: str
    label: str
    unit: str
    kind: str
    value: str
    error: str
    id: str
    signed: bool = False
    own_unit: str = ""
    is_required: bool = True


@dataclass(frozen=True)
class Choose:
    """One of two words to be chosen; nothing is chosen beforehand."""

    name: str
    label: str
    yes: str
    no: str
    value: str
    error: str


@dataclass(frozen=True)
class Confirm:
    """Something to be confirmed."""

    name: str
    label: str
    is_ticked: bool
    error: str


@dataclass(frozen=True)
class PickInstrument:
    """The instruments that may be picked, and those that may not with the reason."""

    name: str
    label: str
    kind: str
    choices: tuple[Choice, ...]
    value: str
    error: str

    @property
    def usable(self) -> tuple[Choice, ...]:
        return tuple(c for c in self.choices if c.is_usable)

    @property
    def named(self) -> tuple[Choice, ...]:
        """Those of the kind that the procedure names; where none may be used, all that may."""
        return tuple(c for c in self.usable if c.row.kind == self.kind) or self.usable

    @property
    def others(self) -> tuple[Choice, ...]:
        """Those of another kind that do as well."""
        return tuple(c for c in self.usable if c not in self.named)

    @property
    def refused(self) -> tuple[Choice, ...]:
        return tuple(c for c in self.choices if not c.is_usable)

    @property
    def able(self) -> str:
        """The numbers of those that may be used."""
        return ", ".join(c.row.code for c in self.usable)

    @property
    def shows_others(self) -> bool:
        """Whether the one that is picked is among the others."""
        return any(c.row.code == self.value for c in self.others)
