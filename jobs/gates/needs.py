"""What each gate asks to be proved, as data: the gates and the reading of procedure files share it."""

from jobs.models.procedures import SAFETY_JOINTS, Flag, Joint, Proves

# Every checkpoint before the operation that proves one of these must be closed, and a procedure must
# have at least one such checkpoint for each.
NEEDS: dict[Flag, tuple[Proves, ...]] = {
    Flag.CUTS_STRUCTURE: (
        Proves.BASELINE,
        Proves.DATUM,
        Proves.LEVEL,
        Proves.MARKS,
        Proves.MARKS_WITNESS,
    ),
    Flag.HOT_WORK: (Proves.PERMIT,),
    Flag.FINISH_WELD: (Proves.COUPON, Proves.TRIAL_FIT, Proves.TACK_POSITION),
    Flag.ON_WELDED_STRUCTURE: (Proves.WELD_INSPECTION, Proves.FIRE_WATCH, Proves.REMEASURE),
    Flag.COVERS_WELDS: (Proves.WELD_INSPECTION,),
    Flag.DRIVEN: (Proves.BRAKES, Proves.WHEEL_NUTS),
}

# A permit is taken out for the work in hand: its checks lie inside the operation and come first.
PROVED_INSIDE: frozenset[Flag] = frozenset({Flag.HOT_WORK})

# The joints that a gate asks to be tightened before.
JOINTS_OF: dict[Flag, frozenset[str]] = {
    Flag.ONTO_WHEELS: frozenset({Joint.SUSPENSION}),
    Flag.DRIVEN: SAFETY_JOINTS,
}
