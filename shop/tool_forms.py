"""What is typed about tools: nothing is taken that a hole could not be planned with."""

from fractions import Fraction
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.engineering.errors import QuantityError
from shop.engineering.holes.drills import find_drill
from shop.engineering.holes.machines import parse_speeds
from shop.engineering.quantities.measures import Dimension
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.words import say
from shop.models import Tool, ToolKind

CUTTING = frozenset({ToolKind.DRILL, ToolKind.HOLE_SAW, ToolKind.SPOT_WELD_CUTTER})


class ToolForm(forms.ModelForm[Tool]):
    class Meta:
        model = Tool
        fields: tuple[str, ...] = ("code", "name", "kind", "size", "material", "speeds", "is_withdrawn")
        help_texts = {
            "size": _("as it is stamped: 1/4, #7, F, 6.8 mm; of an extension from square to nut, 2 in"),
            "speeds": _("of a machine: 400, 800, 1200; or 100…850 where it has no steps"),
        }

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        kind = str(given.get("kind", ""))
        try:
            if kind == ToolKind.MACHINE:
                parse_speeds(str(given.get("speeds", "")))
        except QuantityError as error:
            self.add_error("speeds", str(error))
        if kind and kind != ToolKind.MACHINE:
            try:
                size_in(kind, str(given.get("size", "")))
            except QuantityError as error:
                self.add_error("size", str(error))
        return given


class ToolChangeForm(ToolForm):
    """The code names the tool in the record of what was tightened with it; it stays."""

    class Meta(ToolForm.Meta):
        fields = tuple(name for name in ToolForm.Meta.fields if name != "code")


def size_in(kind: str, text: str) -> Fraction:
    """The size of a tool in inches.

    Raises:
        QuantityError: it is no length above nothing; a drill's is a stock size.
    """
    if kind == ToolKind.DRILL:
        return find_drill(text).diameter_in
    found = parse_quantity(text, default_unit="in")
    if found.dimension is not Dimension.LENGTH or found.value <= 0:
        raise QuantityError(say("A size is a length above nothing, such as 1 1/8 in"))
    return found.to("in").value
