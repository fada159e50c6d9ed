"""Sets quantities in templates: real stacked fractions, tolerance and unit apart."""

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from shop import typesetting

register = template.Library()

# The stroke is there for readers, for copying and for tests; the bar is drawn in its place.
FRACTION = (
    '<span class="number">{}<span class="frac"><span class="frac-over">{}</span>'
    '<span class="frac-stroke">/</span><span class="frac-under">{}</span></span></span>'
)


@register.filter
def stacked(text: object) -> SafeString:
    """Set every fraction of an inch in the text as a stacked one."""
    return format_html_join("", "{}", ((_set(piece),) for piece in typesetting.pieces(str(text))))


def _set(piece: typesetting.Piece) -> str:
    if not piece.is_fraction:
        return piece.text
    whole = f"{piece.text} " if piece.text else ""
    return format_html(FRACTION, whole, piece.over, piece.under)


@register.filter
def as_figure(text: object) -> typesetting.Figure:
    """Take a written quantity or limit apart: value, tolerances, unit."""
    return typesetting.figure(str(text))
