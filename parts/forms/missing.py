"""The small form in each row of the list of missing parts: when it comes, and who said so."""

from collections.abc import Iterator
from uuid import uuid4

from parts.forms.orders import ExpectForm
from parts.missing import MissingPart, MissingParts


def missing_rows(found: MissingParts) -> Iterator[tuple[MissingPart, ExpectForm]]:
    """Each part with a form of its own, drawn one after the other."""
    for row in found.rows:
        yield (
            row,
            ExpectForm(
                initial={"entry_id": uuid4(), "saw": row.saw},
                auto_id=f"told-{row.order.pk}-{row.line.kit_line_id}-%s",
            ),
        )
