"""Which keys each kind of checkpoint takes."""

from dataclasses import dataclass

from jobs.models.procedures import CheckpointKind as Kind

COMMON = ("code", "kind", "title", "side", "proves")
JOINT_DETAILS = (
    *("lubricant", "lowered_from", "thread", "grade", "grip", "castle_nut", "prevailing"),
    *("pattern", "passes", "hardware", "at_ride_height"),
)


@dataclass(frozen=True)
class KindKeys:
    """The keys of a kind beside the common ones. Exactly one of `either` where that is not empty."""

    required: tuple[str, ...] = ()
    optional: tuple[str, ...] = ()
    either: tuple[str, ...] = ()

    @property
    def all(self) -> tuple[str, ...]:
        return (*COMMON, *self.required, *self.optional, *self.either)


KEYS: dict[str, KindKeys] = {
    Kind.DIMENSION: KindKeys(optional=("instrument",), either=("limit", "records")),
    Kind.PAIR: KindKeys(optional=("instrument", "equal"), either=("limit", "records")),
    Kind.TORQUE: KindKeys(required=("limit", "instrument", "joint"), optional=JOINT_DETAILS),
    Kind.TORQUE_ANGLE: KindKeys(
        required=("limit", "instrument", "angle", "angle_instrument", "joint"), optional=JOINT_DETAILS
    ),
    Kind.WELD: KindKeys(required=("made_in", "criteria"), optional=("joint",)),
    Kind.COUNT: KindKeys(required=("count",)),
    Kind.FIT: KindKeys(required=("go",)),
    Kind.PHOTO: KindKeys(required=("shows",)),
    Kind.POSITION: KindKeys(required=("limit", "instrument"), optional=("angle_instrument",)),
    Kind.MARK: KindKeys(required=("mark", "instrument")),
    Kind.WITNESS: KindKeys(required=("of",), optional=("agree", "records", "instrument")),
}

EVERY_KEY = tuple(dict.fromkeys(key for keys in KEYS.values() for key in keys.all))


def kinds_with(key: str) -> tuple[str, ...]:
    """The kinds that take a key."""
    return tuple(str(kind) for kind, keys in KEYS.items() if key in keys.all)
