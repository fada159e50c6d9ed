"""What is wrong with a file that somebody brings in: each fault with its line and what it is about."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class FileError:
    """One fault, in the words of whoever wrote the file."""

    line: int | None
    name: str
    message: str

    @property
    def where(self) -> str:
        line = _("line %(line)d") % {"line": self.line} if self.line else ""
        return ", ".join(part for part in (line, self.name) if part)

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message


class FileErrors(Exception):  # noqa: N818 - faults of a file, not of the program
    """All that is wrong with a file; nothing of it was saved."""

    def __init__(self, errors: Sequence[FileError]) -> None:
        self.errors = tuple(sorted(errors, key=lambda error: error.line or 0))
        super().__init__("\n".join(str(error) for error in self.errors))
