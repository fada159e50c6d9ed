"""A procedure: the shop's own written route for one kit on one family of vehicles."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models import InstrumentKind, Skill
from shop.revisions import RevisionState, frozen_itself_when_released, frozen_when_released


class Stage(models.TextChoices):
    """The stages of the route in their order; intake comes before them, release after."""

    INTAKE = "intake", _("Intake")
    TEARDOWN = "teardown", _("Teardown")
    CUTTING = "cutting", _("Cutting")
    DRILLING = "drilling", _("Drilling")
    WELDING = "welding", _("Welding")
    ASSEMBLY = "assembly", _("Assembly")
    ALIGNMENT = "alignment", _("Alignment")
    RELEASE = "release", _("Release")


class Flag(models.TextChoices):
    """What an operation does that a gate guards."""

    STOPS_ROLLING = "stops_rolling", _("car stops rolling")
    CUTS_STRUCTURE = "cuts_structure", _("cuts structure")
    HOT_WORK = "hot_work", _("hot work")
    FINISH_WELD = "finish_weld", _("finish weld")
    ON_WELDED_STRUCTURE = "on_welded_structure", _("assembly on welded structure")
    COVERS_WELDS = "covers_welds", _("covers welds")
    ONTO_WHEELS = "onto_wheels", _("car goes onto its wheels")
    DRIVEN = "driven", _("car is driven")
    MOVES_CAR = "moves_car", _("moves or lifts the car")


class Proves(models.TextChoices):
    """What a checkpoint proves to the gates."""

    BASELINE = "baseline", _("baseline dimensions")
    DATUM = "datum", _("datums")
    LEVEL = "level", _("level")
    MARKS = "marks", _("marks cross-checked")
    MARKS_WITNESS = "marks_witness", _("marks read by a second person")
    PERMIT = "permit", _("hot-work permit")
    COUPON = "coupon", _("test coupon")
    TRIAL_FIT = "trial_fit", _("trial fit")
    TACK_POSITION = "tack_position", _("tacked position")
    WELD_INSPECTION = "weld_inspection", _("weld inspection")
    FIRE_WATCH = "fire_watch", _("fire watch")
    REMEASURE = "remeasure", _("measured again when cool")
    BRAKES = "brakes", _("brakes hold")
    WHEEL_NUTS = "wheel_nuts", _("wheel nuts")
    RIDE_HEIGHT = "ride_height", _("ride height")


class CheckpointKind(models.TextChoices):
    DIMENSION = "dimension", _("dimension")
    PAIR = "pair", _("pair")
    TORQUE = "torque", _("torque")
    TORQUE_ANGLE = "torque_angle", _("torque plus angle")
    WELD = "weld", _("weld")
    COUNT = "count", _("count")
    FIT = "fit", _("fit")
    PHOTO = "photo", _("photo")
    WITNESS = "witness", _("witness")
    POSITION = "position", _("position")
    MARK = "mark", _("mark")


class Joint(models.TextChoices):
    NONE = "", _("none")
    SUSPENSION = "suspension", _("suspension")
    STEERING = "steering", _("steering")
    BRAKE = "brake", _("brake")
    WHEEL = "wheel", _("wheel")
    STRUCTURE = "structure", _("structure")
    OTHER = "other", _("other")


# Nobody overrides these, and use-as-is on them needs a second qualified person.
SAFETY_JOINTS = frozenset({Joint.SUSPENSION, Joint.STEERING, Joint.BRAKE})
SAFETY_PROOFS = frozenset({Proves.WELD_INSPECTION, Proves.FIRE_WATCH, Proves.BRAKES, Proves.WHEEL_NUTS})


class ProcedureQuerySet(models.QuerySet["Procedure"]):
    def for_procedure_list(self) -> "ProcedureQuerySet":
        """With their revisions and how many cars on the floor are built to one of them."""
        on_floor = models.Q(revisions__jobs__isnull=False, revisions__jobs__released_at=None)
        of_everybody = ProcedureRevision.objects.filter(for_job=None)
        return self.prefetch_related(models.Prefetch("revisions", of_everybody)).annotate(
            cars=models.Count("revisions__jobs", filter=on_floor, distinct=True)
        )

    def found_by(self, words: str) -> "ProcedureQuerySet":
        """Those in whose code, name, kit or vehicle family every word stands."""
        found = self
        for word in words.split():
            found = found.filter(
                models.Q(code__icontains=word)
                | models.Q(name__icontains=word)
                | models.Q(kit_code__icontains=word)
                | models.Q(vehicle_family__icontains=word)
            )
        return found


class Procedure(models.Model):
    code = models.CharField(_("procedure"), max_length=30, unique=True)
    name = models.CharField(_("name"), max_length=120)
    kit_code = models.CharField(_("kit"), max_length=30)
    vehicle_family = models.CharField(_("vehicle family"), max_length=160)

    objects = ProcedureQuerySet.as_manager()

    class Meta:
        verbose_name = _("procedure")
        verbose_name_plural = _("procedures")
        ordering = ["code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


@frozen_itself_when_released
class ProcedureRevision(models.Model):
    """One revision as it was brought in; `layout` is kept for the drawings."""

    later_fields = frozenset({"for_job", "handover"})

    procedure = models.ForeignKey(Procedure, on_delete=models.PROTECT, related_name="revisions")
    revision = models.CharField(_("revision"), max_length=10)
    state = models.CharField(
        _("state"), max_length=12, choices=RevisionState.choices, default=RevisionState.DRAFT
    )
    note = models.TextField(_("note"), blank=True)
    layout = models.JSONField(_("layout"), default=dict, blank=True)
    # What the customer is told: `come_back` and `cautions`, as the file writes them.
    handover = models.JSONField(_("handover"), default=dict, blank=True)
    released_at = models.DateTimeField(_("released at"), null=True, blank=True)
    # What a lead added to the route of one car: a revision of its own, released when it was signed.
    for_job = models.ForeignKey(
        "jobs.Job", on_delete=models.PROTECT, null=True, blank=True, related_name="own_revisions"
    )

    class Meta:
        verbose_name = _("procedure revision")
        verbose_name_plural = _("procedure revisions")
        ordering = ["procedure", "revision"]
        constraints = [
            models.UniqueConstraint(fields=["procedure", "revision"], name="procedure_revision_once")
        ]

    def __str__(self) -> str:
        return f"{self.procedure.code} {self.revision}"


@frozen_when_released("revision")
class Operation(models.Model):
    """One operation of a revision. Lists are kept as the file writes them; so are `holes`."""

    later_fields = frozenset({"holes", "bay_features"})

    revision = models.ForeignKey(ProcedureRevision, on_delete=models.PROTECT, related_name="operations")
    position = models.PositiveIntegerField(_("position"))
    code = models.CharField(_("operation"), max_length=20)
    stage = models.CharField(_("stage"), max_length=10, choices=Stage.choices)
    title = models.CharField(_("title"), max_length=160)
    standard_minutes = models.PositiveIntegerField(_("standard time, minutes"))
    skill = models.CharField(_("skill"), max_length=30, choices=Skill.choices)
    flags = models.JSONField(_("gates"), default=list, blank=True)
    after = models.JSONField(_("after"), default=list, blank=True)
    is_hold_point = models.BooleanField(_("hold point"), default=False)
    steps = models.JSONField(_("steps"), default=list)
    tools = models.JSONField(_("tools"), default=list, blank=True)
    consumables = models.JSONField(_("consumables"), default=list, blank=True)
    cautions = models.JSONField(_("cautions"), default=list, blank=True)
    holes = models.JSONField(_("holes"), default=list, blank=True)
    # In the words of the bays' own features, beside what the shop asks for by stage.
    bay_features = models.JSONField(_("what the bay must have"), default=list, blank=True)

    class Meta:
        verbose_name = _("operation")
        verbose_name_plural = _("operations")
        ordering = ["revision", "position"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "code"], name="operation_code_once"),
            models.UniqueConstraint(fields=["revision", "position"], name="operation_position_once"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.title}"

    def does(self, flag: str) -> bool:
        return flag in self.flags


@frozen_when_released("operation.revision")
class Checkpoint(models.Model):
    """What has to be proved at an operation. Limits are kept as people wrote them."""

    later_fields = frozenset(
        {
            "thread",
            "grade",
            "grip",
            "castle_nut",
            "prevailing",
            "pattern",
            "passes",
            "lowered_from",
            "frame",
            "mark",
        }
    )

    operation = models.ForeignKey(Operation, on_delete=models.PROTECT, related_name="checkpoints")
    position = models.PositiveIntegerField(_("position"))
    code = models.CharField(_("checkpoint"), max_length=20)
    kind = models.CharField(_("kind"), max_length=12, choices=CheckpointKind.choices)
    title = models.CharField(_("title"), max_length=200)
    side = models.CharField(
        _("side"),
        max_length=5,
        blank=True,
        choices=[("left", _("left")), ("right", _("right")), ("both", _("both"))],
    )
    limit = models.CharField(_("limit"), max_length=60, blank=True)
    records = models.CharField(_("recorded in"), max_length=12, blank=True)
    equal = models.CharField(_("left and right equal within"), max_length=60, blank=True)
    angle = models.CharField(_("angle"), max_length=60, blank=True)
    instrument_kind = models.CharField(
        _("instrument"), max_length=30, blank=True, choices=InstrumentKind.choices
    )
    angle_instrument_kind = models.CharField(
        _("angle read with"), max_length=30, blank=True, choices=InstrumentKind.choices
    )
    proves = models.JSONField(_("proves"), default=list, blank=True)
    joint = models.CharField(_("joint"), max_length=12, choices=Joint.choices, blank=True)
    lubricant = models.CharField(_("lubricant or threadlocker"), max_length=80, blank=True)
    thread = models.CharField(_("thread"), max_length=30, blank=True)
    grade = models.CharField(_("grade or class"), max_length=20, blank=True)
    grip = models.CharField(_("grip"), max_length=30, blank=True)
    # How far a castle nut may be turned on to its slot: an angle, or a torque that it then has at most.
    castle_nut = models.CharField(_("castle nut, on to the slot at most"), max_length=30, blank=True)
    # What a self-locking nut takes before it seats: a torque, or `measured` at this nut.
    prevailing = models.CharField(_("prevailing torque"), max_length=30, blank=True)
    pattern = models.PositiveIntegerField(_("fasteners of the pattern"), null=True, blank=True)
    passes = models.JSONField(_("passes"), default=list, blank=True)
    lowered_from = models.CharField(_("lowered from the dry figure"), max_length=30, blank=True)
    is_single_use = models.BooleanField(_("single-use hardware"), default=False)
    at_ride_height = models.BooleanField(_("tightened at ride height"), default=False)
    made_in = models.CharField(_("welded in"), max_length=20, blank=True)
    criteria = models.JSONField(_("criteria"), default=list, blank=True)
    count = models.PositiveIntegerField(_("count"), null=True, blank=True)
    go = models.CharField(_("passes when"), max_length=200, blank=True)
    shows = models.CharField(_("shows"), max_length=200, blank=True)
    witness_of = models.CharField(_("witness of"), max_length=20, blank=True)
    agree = models.CharField(_("both readings within"), max_length=60, blank=True)
    # What it carries of the layout: a position the cradle, a weld checkpoint its part of the weld map.
    frame = models.JSONField(_("cradle"), default=dict, blank=True)
    mark = models.CharField(_("mark of the layout"), max_length=20, blank=True)

    class Meta:
        verbose_name = _("checkpoint")
        verbose_name_plural = _("checkpoints")
        ordering = ["operation", "position"]
        constraints = [
            models.UniqueConstraint(fields=["operation", "code"], name="checkpoint_code_once"),
            models.UniqueConstraint(fields=["operation", "position"], name="checkpoint_position_once"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.title}"

    @property
    def is_joint(self) -> bool:
        return self.kind in {CheckpointKind.TORQUE, CheckpointKind.TORQUE_ANGLE}

    @property
    def is_safety(self) -> bool:
        """Steering, suspension, brakes, wheels, welds, fire watch: never overridden."""
        proves_safety = not SAFETY_PROOFS.isdisjoint(self.proves)
        return self.joint in SAFETY_JOINTS or self.kind == CheckpointKind.WELD or proves_safety
