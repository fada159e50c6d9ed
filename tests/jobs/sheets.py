"""Reading what was printed on the sheets of a paper."""

import pdfplumber

PDF = pdfplumber.pdf.PDF


def text_of(pdf: PDF) -> str:
    """All its text in reading order, a blank between words."""
    return " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)


def page_with(pdf: PDF, words: str) -> str:
    """The text of the last page that has these words: the first pages only list what comes."""
    return next(t for p in reversed(pdf.pages) if words in (t := " ".join(p.extract_text().split())))


def row(pdf: PDF, code: str) -> list[str]:
    """The cells of a checkpoint: what, limit, reading, instrument, signed."""
    rows = [cells for page in pdf.pages for table in page.extract_tables() for cells in table]
    return next(
        [" ".join(cell.split()) for cell in cells if cell is not None]
        for cells in rows
        if (cells[0] or "").startswith(f"{code} ")
    )
