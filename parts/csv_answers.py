"""Giving a list out as a file that spreadsheets open as it is meant."""

import codecs

from django.http import HttpResponse
from django.utils.http import content_disposition_header


def csv_answer(content: bytes, file_name: str) -> HttpResponse:
    """A download. The mark at its start tells spreadsheets that it is UTF-8; the text begins behind it."""
    response = HttpResponse(codecs.BOM_UTF8 + content, content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = str(content_disposition_header(as_attachment=True, filename=file_name))
    return response
