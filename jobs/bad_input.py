"""What somebody typed and nobody can understand."""

from collections.abc import Mapping


class BadInput(Exception):  # noqa: N818 - what somebody typed, not a fault of the program
    """What was typed cannot be understood: a message for each field, nothing saved."""

    def __init__(self, errors: Mapping[str, str]) -> None:
        super().__init__("; ".join(errors.values()))
        self.errors = dict(errors)
