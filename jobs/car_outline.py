"""A plain saloon of no make, drawn from every side, to put marks on. Lengths are those of the drawing."""

from dataclasses import dataclass

from jobs.models.condition import ConditionView

# A place without a pointer: so many columns and rows lie over each drawing.
COLUMNS, ROWS = "ABCDEFGH", "1234"
WHOLE = 1000


@dataclass(frozen=True)
class Outline:
    """One view: its size, the strokes of the body, finer ones inside of it, and which end is which."""

    width: int
    height: int
    body: str
    detail: str
    at_start: str = ""
    at_end: str = ""
    mirrored: bool = False

    @property
    def mark_radius(self) -> int:
        """Of a mark's ring: the long views are drawn smaller, so it is larger in them."""
        return 36 if self.width == WHOLE else 24

    @property
    def letter_height(self) -> int:
        return self.mark_radius + 4


def _round(x: int, y: int, radius: int) -> str:
    return (
        f"M{x - radius} {y}a{radius} {radius} 0 1 0 {2 * radius} 0a{radius} {radius} 0 1 0 -{2 * radius} 0Z"
    )


def _box(x: int, y: int, width: int, height: int) -> str:
    return f"M{x} {y}h{width}v{height}h-{width}Z"


_SIDE_BODY = (
    "M52 268L40 262L36 232Q40 198 60 188L330 168L410 84Q418 75 434 74L640 72Q662 73 676 84L762 164L938 174"
    "Q958 180 962 200L964 250L950 268L858 268A68 68 0 0 0 722 268L283 268A68 68 0 0 0 147 268Z"
    + _round(215, 275, 53)
    + _round(790, 275, 53)
)
_SIDE_DETAIL = (
    "M352 164L424 92L530 90L530 164ZM544 164L544 90L640 90Q655 91 664 101L732 164Z"
    "M60 200L950 190M350 166L346 262M537 166L537 262M732 166L716 214M500 184h24M690 182h24"
    "M28 238v24h34M972 240v24h-32M944 196h16v30h-16Z"
    + _round(66, 216, 11)
    + _round(215, 275, 25)
    + _round(790, 275, 25)
    + "M0 329H1000"
)
_END_BODY = (
    "M60 290L52 210Q54 182 84 176L112 170L146 88Q152 75 170 74L310 74Q328 75 334 88L368 170L396 176"
    "Q426 182 428 210L420 290ZM66 290v38h46v-38M368 290v38h46v-38"
)
_WINDSCREEN = "M128 168L158 96Q162 90 172 90L308 90Q318 90 322 96L352 168ZM44 256h392v22h-392ZM0 329H480"
_FRONT_DETAIL = (
    _WINDSCREEN + "M142 204h196v40h-196ZM142 217h196M142 231h196" + _round(98, 224, 20) + _round(382, 224, 20)
)
_REAR_DETAIL = _WINDSCREEN + "M100 186H380M72 206h52v26h-52ZM356 206h52v26h-52ZM196 204h88v38h-88Z"
_PLAN_BODY = (
    "M62 70Q30 82 28 210Q30 338 62 350L900 360Q958 354 966 300L966 120Q958 66 900 60Z"
    "M346 76l14-22h22l-6 22M346 345l14 22h22l-6-22"
)
_TOP_DETAIL = (
    "M330 82L424 104Q406 210 424 316L330 338Q300 210 330 82ZM424 104H648Q664 210 648 316H424"
    "M648 104L752 82Q778 210 752 338L648 316M60 110Q200 118 312 116M60 310Q200 302 312 304"
    "M770 112H950M770 308H950"
)
_UNDER_DETAIL = (
    "M40 128H250L320 92H720L780 132H960M40 152H244L314 116H726L786 156H960"
    "M40 292H250L320 328H720L780 288H960M40 268H244L314 304H726L786 264H960"
    "M66 152V268M90 152V268M330 118V302M352 118V302M560 116V304M580 116V304M940 156V264"
    "M775 96V324M795 96V324M352 196H775M352 224H775"
    + _box(158, 74, 112, 46)
    + _box(158, 300, 112, 46)
    + _box(729, 74, 112, 46)
    + _box(729, 300, 112, 46)
    + _box(846, 166, 76, 88)
    + _round(785, 210, 26)
)
_INSIDE_DETAIL = (
    "M330 82Q300 210 330 338M360 92Q336 210 360 328"
    + _round(404, 274, 30)
    + _box(420, 112, 90, 84)
    + _box(420, 226, 90, 84)
    + _box(510, 112, 26, 84)
    + _box(510, 226, 26, 84)
    + _box(612, 104, 88, 212)
    + _box(700, 104, 28, 212)
    + "M760 82Q784 210 760 338M790 106H940V314H790Z"
)

OUTLINES = {
    ConditionView.LEFT: Outline(1000, 345, _SIDE_BODY, _SIDE_DETAIL, "front", "rear"),
    ConditionView.RIGHT: Outline(1000, 345, _SIDE_BODY, _SIDE_DETAIL, "rear", "front", mirrored=True),
    ConditionView.FRONT: Outline(480, 345, _END_BODY, _FRONT_DETAIL, "right", "left"),
    ConditionView.REAR: Outline(480, 345, _END_BODY, _REAR_DETAIL, "left", "right"),
    ConditionView.TOP: Outline(1000, 420, _PLAN_BODY, _TOP_DETAIL, "front", "rear"),
    ConditionView.UNDER: Outline(1000, 420, _PLAN_BODY, _UNDER_DETAIL, "front", "rear"),
    ConditionView.INSIDE: Outline(1000, 420, _PLAN_BODY, _INSIDE_DETAIL, "front", "rear"),
}


def middle_of(place: str) -> tuple[int, int] | None:
    """The middle of a place such as C2, in thousandths of the drawing; None where it is no place."""
    if len(place) != 2 or place[0] not in COLUMNS or place[1] not in ROWS:
        return None
    column, row = COLUMNS.index(place[0]), ROWS.index(place[1])
    return (
        (2 * column + 1) * WHOLE // (2 * len(COLUMNS)),
        (2 * row + 1) * WHOLE // (2 * len(ROWS)),
    )


def place_of(x_permille: int, y_permille: int) -> str:
    """The place in which a mark lies; what the drawing shows, in letters and figures."""
    column = min(x_permille * len(COLUMNS) // WHOLE, len(COLUMNS) - 1)
    row = min(y_permille * len(ROWS) // WHOLE, len(ROWS) - 1)
    return COLUMNS[column] + ROWS[row]
