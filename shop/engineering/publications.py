"""What a publication is to the bibliography."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Reference:
    """A publication, or a rule of this project's own."""

    title: str
    publisher: str
    edition: str
