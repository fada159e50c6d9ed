"""The fields of a layout: its views with datums and marks, the cradle with its points and readings."""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy

from jobs.judging.cradle import KIND_WORDS as READING_WORDS
from jobs.judging.layouts import DIRECTIONS, FACES, KIND_WORDS
from jobs.procedures.field_specs import SIDES, YES, Spec
from jobs.procedures.file.layout import THROUGH

DIRECTION_WORDS = {
    "back": gettext_lazy("back"),
    "forward": gettext_lazy("forward"),
    "up": gettext_lazy("up"),
    "down": gettext_lazy("down"),
    "left": gettext_lazy("left"),
    "right": gettext_lazy("right"),
    "outboard": gettext_lazy("outboard"),
    "inboard": gettext_lazy("inboard"),
}
FACE_WORDS = {
    "outer": gettext_lazy("outer"),
    "inner": gettext_lazy("inner"),
    "top": gettext_lazy("top"),
    "bottom": gettext_lazy("bottom"),
    "front": gettext_lazy("front"),
    "rear": gettext_lazy("rear"),
}
THROUGH_WORDS = {"one wall": gettext_lazy("one wall"), "both walls": gettext_lazy("both walls")}
TO_EITHER_SIDE = tuple((word, DIRECTION_WORDS[word]) for word in DIRECTIONS)

CODE = Spec(gettext_lazy("code"))
NAME = Spec(gettext_lazy("what it is"), is_long=True)
A_PLACE = gettext_lazy("both figures with their unit, along the view, then across it: 31 1/4 in, 3 in")
A_PLACE_OF_THREE = gettext_lazy("forward, to the left, up: 33 1/8 in, 14 in, 2 in")

VIEW: Mapping[str, Spec] = {
    "code": CODE,
    "name": Spec(gettext_lazy("what is seen"), gettext_lazy("such as: left rail, outer face"), is_long=True),
    "side": Spec(gettext_lazy("side that is drawn"), choices=SIDES),
    "face": Spec(gettext_lazy("face"), choices=tuple((word, FACE_WORDS[word]) for word in FACES)),
    "mirrored": Spec(gettext_lazy("the other side is its mirror image"), choices=YES),
    "x": Spec(
        gettext_lazy("the first figure grows"), gettext_lazy("empty means: back"), choices=TO_EITHER_SIDE
    ),
    "y": Spec(
        gettext_lazy("the second figure grows"), gettext_lazy("empty means: up"), choices=TO_EITHER_SIDE
    ),
    "outline": Spec(
        gettext_lazy("outline of the metal"),
        gettext_lazy("its corners in turn, one place to a line: 44 in, 5 in"),
        is_list=True,
        is_long=True,
    ),
}
DATUM: Mapping[str, Spec] = {
    "code": CODE,
    "name": NAME,
    "at": Spec(gettext_lazy("a point: at"), A_PLACE),
    "from": Spec(gettext_lazy("or an edge: from")),
    "to": Spec(gettext_lazy("to")),
}
MARK: Mapping[str, Spec] = {
    "code": CODE,
    "kind": Spec(gettext_lazy("kind"), choices=tuple(KIND_WORDS.items())),
    "name": NAME,
    "from": Spec(gettext_lazy("from"), A_PLACE),
    "to": Spec(gettext_lazy("to"), A_PLACE),
    "at": Spec(gettext_lazy("centre at"), A_PLACE),
    "distances": Spec(
        gettext_lazy("or at distances"),
        gettext_lazy("two, one to a line, in the order of the two datum points ticked: 9 1/2 in"),
        is_list=True,
    ),
    "toward": Spec(
        gettext_lazy("where the arcs meet"),
        gettext_lazy("on this side of the two points"),
        choices=TO_EITHER_SIDE,
    ),
    "laid_out_from": Spec(
        gettext_lazy("laid out from"),
        gettext_lazy("one datum for a line, two for a hole; all others serve to check it"),
        among="datums",
        is_list=True,
        is_long=True,
    ),
    "tolerance": Spec(gettext_lazy("may be off"), gettext_lazy("such as ±1/16 in")),
    "waste": Spec(gettext_lazy("the waste lies"), choices=TO_EITHER_SIDE),
    "piece": Spec(
        gettext_lazy("piece that comes off"),
        gettext_lazy("only where several lines bound one piece: the same word at each of them"),
    ),
    "size": Spec(gettext_lazy("size"), gettext_lazy("such as 1 1/4 in")),
    "tool": Spec(gettext_lazy("tool"), gettext_lazy("such as hole saw")),
    "through": Spec(gettext_lazy("goes through"), choices=tuple((w, THROUGH_WORDS[w]) for w in THROUGH)),
}
CRADLE_SPECS: Mapping[str, Spec] = {
    "track": Spec(gettext_lazy("track"), gettext_lazy("between the wheels, such as 59 in")),
}
PLACE: Mapping[str, Spec] = {"code": CODE, "name": NAME, "at": Spec(gettext_lazy("at"), A_PLACE_OF_THREE)}
READING: Mapping[str, Spec] = {
    "code": CODE,
    "kind": Spec(
        gettext_lazy("kind"), choices=tuple((str(kind), words) for kind, words in READING_WORDS.items())
    ),
    "of": Spec(gettext_lazy("of"), among="points", is_list=True, is_loose=True),
    "from": Spec(gettext_lazy("from"), among="references", is_list=True, is_loose=True),
    "name": Spec(
        gettext_lazy("asked as"), gettext_lazy("empty means: in the words of its kind"), is_long=True
    ),
}
