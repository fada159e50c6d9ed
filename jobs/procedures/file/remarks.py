"""What the writer of a procedure should know of it though nothing is wrong."""

from dataclasses import dataclass

from shop.file_errors import FileError


@dataclass(frozen=True)
class Remark:
    """Something to know about a file; it may be brought in all the same."""

    line: int | None
    name: str
    message: str

    def __str__(self) -> str:
        return str(FileError(self.line, self.name, self.message))
