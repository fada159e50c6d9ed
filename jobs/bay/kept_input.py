"""What was entered where nothing could be recorded at once: carried along in hidden fields until it can."""

from collections.abc import Mapping
from dataclasses import dataclass

from jobs.bay.panels import Typed

PREFIX = "kept_"
MOST_FIELDS = 60
MOST_CHARACTERS = 4000


@dataclass(frozen=True)
class KeptInput:
    """An entry's fields as they were typed, with the place on the page that they belong to."""

    number: int
    subject: str
    typed: Typed

    @property
    def fields(self) -> dict[str, str]:
        """The hidden fields that carry it."""
        values = {f"{PREFIX}p_{name}": value for name, value in self.typed.values.items()}
        where = {"number": str(self.number), "subject": self.subject, "at": self.typed.code}
        return {**{f"{PREFIX}{name}": value for name, value in where.items()}, **values}

    @property
    def shown(self) -> tuple[str, ...]:
        """What a person typed, for them to see that it is there."""
        return tuple(v for name, v in self.typed.values.items() if name != "checkpoint" and v)


def kept_in(posted: Mapping[str, object]) -> KeptInput | None:
    """What a form carries along; None where it carries nothing, or nothing of ours."""
    given = {
        name.removeprefix(PREFIX): value
        for name, value in posted.items()
        if name.startswith(PREFIX) and isinstance(value, str) and len(value) <= MOST_CHARACTERS
    }
    number = given.get("number", "")
    if not (number.isascii() and number.isdecimal() and len(number) < 10) or len(given) > MOST_FIELDS:
        return None
    values = {name[2:]: value for name, value in given.items() if name.startswith("p_")}
    subject = given.get("subject", "")[:40]
    return KeptInput(int(number), subject, Typed(given.get("at", "")[:40] or subject, values))
