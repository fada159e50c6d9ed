"""Telling by its content what a file holds: a procedure, a kit or a packing slip."""

import csv
import re
from enum import StrEnum

PROCEDURE_START = re.compile(r"(---|format\s*:|procedure\s*:|operations\s*:|layout\s*:)")
BEGINNING = 4096
SEPARATORS = ",;\t"


class FileKind(StrEnum):
    """In the order in which several files are brought in: each may name what stands before it."""

    KIT = "kit"
    PROCEDURE = "procedure"
    SLIP = "slip"


ORDER = {kind: number for number, kind in enumerate(FileKind)}


def kind_of_file(content: bytes) -> FileKind | None:
    """What a file holds, by its first line that says something; None where that tells nothing."""
    text = content[:BEGINNING].decode("utf-8-sig", errors="replace")
    lines = (line.strip() for line in text.splitlines())
    first = next((line for line in lines if line and not line.startswith("#")), "")
    if PROCEDURE_START.match(first):
        return FileKind.PROCEDURE
    separator = max(SEPARATORS, key=first.count)
    columns = {word.strip().lower() for word in next(csv.reader([first], delimiter=separator), [])}
    if {"order", "slip"} & columns:
        return FileKind.SLIP
    return FileKind.KIT if {"kit", "part_number"} & columns else None
