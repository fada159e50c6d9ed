"""What is wrong with a file that somebody brought in: all of it, with line and name."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class FileError:
    """One thing to put right. `name` is what the file calls it: a column, a key, a code."""

    line: int | None
    name: str
    message: str

    def __str__(self) -> str:
        where = [_("line %(line)d") % {"line": self.line}] if self.line is not None else []
        where += [self.name] if self.name else []
        return f"{', '.join(where)}: {self.message}" if where else self.message


class FileErrors(ValueError):  # noqa: N818 - it carries many
    """A file was refused whole; nothing of it was saved."""

    def __init__(self, errors: Iterable[FileError]) -> None:
        self.errors = tuple(errors)
        super().__init__("\n".join(str(error) for error in self.errors))
