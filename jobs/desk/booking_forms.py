"""The form by which a job is opened: customer, vehicle, procedure, kit, promise, authority."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.desk.customer_forms import ModelYearField, SerialField
from jobs.desk.known_cars import Known, known_choices, known_of
from jobs.desk.money_forms import WAYS
from jobs.models import Job, ProcedureRevision
from jobs.opening import Booking
from parts.models import KitOrder
from shop.engineering.vin import SerialCheck, check_serial
from shop.models import Bay, Customer, Vehicle
from shop.revisions import RevisionState

AUTHORITY = ("scope", "given_by", "way")
CAR = ("model_year", "description", "serial", "plate")


class JobOpenForm(forms.Form):
    known = forms.ChoiceField(label=_("Customer and car"), required=False, widget=forms.RadioSelect)
    customer_name = forms.CharField(label=_("Name"), max_length=120, required=False)
    customer_phone = forms.CharField(label=_("Phone"), max_length=40, required=False)
    customer_email = forms.EmailField(label=_("E-mail"), required=False)

    model_year = ModelYearField()
    description = forms.CharField(
        label=_("Make and model"), max_length=120, error_messages={"required": _("Enter make and model")}
    )
    serial = SerialField()
    north_america = forms.BooleanField(label=_("Built for North America"), required=False, initial=True)
    plate = forms.CharField(label=_("Plate"), max_length=16, required=False)
    odometer = forms.CharField(label=_("Odometer"), max_length=20, required=False)

    procedure_revision = forms.ModelChoiceField(
        ProcedureRevision.objects.none(),
        label=_("Procedure"),
        empty_label=_("Choose"),
        error_messages={"required": _("Choose the procedure")},
    )
    kit_order = forms.ModelChoiceField(
        KitOrder.objects.none(),
        label=_("Kit order"),
        empty_label=_("Choose"),
        help_text=_("Only orders that no job has yet."),
        error_messages={
            "required": _("Choose the kit order"),
            "invalid_choice": _("This kit order belongs to another job by now"),
        },
    )
    bay = forms.ModelChoiceField(
        Bay.objects.none(), label=_("Bay"), required=False, empty_label=_("not in a bay yet")
    )
    promised_on = forms.DateField(
        label=_("Promised"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": _("Enter a date, such as 2030-04-15")},
    )
    wishes = forms.CharField(
        label=_("What the customer wants"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    scope = forms.CharField(
        label=_("Work allowed"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    allows_cutting = forms.ChoiceField(
        label=_("May the car be cut?"),
        choices=[("yes", _("Yes")), ("no", _("No"))],
        initial="no",
        required=False,
        widget=forms.RadioSelect,
    )
    given_by = forms.CharField(label=_("Given by"), max_length=120, required=False)
    way = forms.ChoiceField(label=_("How"), required=False, choices=[("", _("Not given yet")), *WAYS[1:]])

    use_required_attribute = False

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        initial: dict[str, Any] | None = None,
        find_customer: str = "",
    ) -> None:
        super().__init__(data, initial=initial)
        self.chosen = str((data if data is not None else initial or {}).get("known", ""))
        self.before: Known = known_of(self.chosen) or Known()
        choices = known_choices(find_customer, chosen=self.chosen)
        known = self.fields["known"]
        assert isinstance(known, forms.ChoiceField)
        known.choices = choices
        known.error_messages["invalid_choice"] = _now(
            "This one was merged or erased meanwhile; find it again"
        )
        for name in CAR if self.before.vehicle else ():
            self.fields[name].required = False
        self._choices(
            "procedure_revision",
            ProcedureRevision.objects.filter(state=RevisionState.RELEASED, for_job=None).select_related(
                "procedure"
            ),
        )
        self._choices("kit_order", KitOrder.objects.filter(job=None).select_related("kit_revision__kit"))
        taken = Job.objects.on_the_floor().exclude(bay=None).values("bay")
        self._choices("bay", Bay.objects.filter(is_open=True).exclude(pk__in=taken))
        self.serial_check: SerialCheck | None = None

    @property
    def has_no_procedure(self) -> bool:
        return not ProcedureRevision.objects.filter(state=RevisionState.RELEASED, for_job=None).exists()

    @property
    def has_no_kit_order(self) -> bool:
        return not KitOrder.objects.filter(job=None).exists()

    def _choices(self, name: str, queryset: Any) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = queryset

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if self.before.customer is None and not given.get("customer_name", "").strip():
            self.add_error("customer_name", _("Enter the name, or choose a customer"))
        if self.before.customer and given.get("customer_name", "").strip():
            self.add_error("customer_name", _("A customer is chosen above; leave one of the two out"))
        if self.before.vehicle is None:
            self._clean_serial(given)
        else:
            self._clean_known(given, self.before.vehicle)
        if any(given.get(name) for name in AUTHORITY):
            self._clean_authority(given)
        return given

    def _clean_known(self, given: dict[str, Any], car: Vehicle) -> None:
        """Beside a car that is chosen nothing else may stand."""
        for name in CAR:
            typed = given.get(name)
            if typed and str(typed).strip() != str(getattr(car, name)):
                self.add_error(name, _("A car is chosen above; leave this empty, or choose a new car there"))

    def _clean_serial(self, given: dict[str, Any]) -> None:
        if not given.get("model_year") or not given.get("serial"):
            return
        found = check_serial(
            given["serial"], model_year=given["model_year"], north_america=given["north_america"]
        )
        self.serial_check = found
        if not found.is_accepted:
            self.add_error("serial", ". ".join(found.messages))
        given["serial"] = found.normalised

    def _clean_authority(self, given: dict[str, Any]) -> None:
        """An authority is given whole or not at all."""
        asked = {
            "scope": _now("Say what work is allowed"),
            "given_by": _now("Say who allowed it"),
            "way": _now("Say how the customer allowed it"),
        }
        for name, message in asked.items():
            if not str(given.get(name) or "").strip():
                self.add_error(name, message)

    @property
    def gives_authority(self) -> bool:
        return bool(self.cleaned_data.get("scope"))

    def authority(self) -> dict[str, str]:
        """The payload of the entry that records the authority."""
        return {name: self.cleaned_data[name] for name in (*AUTHORITY, "allows_cutting")}

    def booking(self) -> Booking:
        given = self.cleaned_data
        customer = self.before.customer or Customer(
            name=given["customer_name"].strip(), phone=given["customer_phone"], email=given["customer_email"]
        )
        vehicle = self.before.vehicle or Vehicle(
            model_year=given["model_year"],
            description=given["description"].strip(),
            serial=given["serial"],
            north_america=given["north_america"],
            plate=given["plate"].strip(),
        )
        return Booking(
            customer,
            vehicle,
            given["procedure_revision"],
            given["kit_order"],
            promised_on=given["promised_on"],
            bay=given["bay"],
            odometer=given["odometer"].strip(),
            wishes=given["wishes"].strip(),
        )


def serial_as_typed(asked: Any) -> SerialCheck | None:
    """The check of a serial while it is typed; None until there is something to be checked."""
    year, serial = str(asked.get("model_year", "")).strip(), str(asked.get("serial", ""))
    if not year.isdecimal() or len(year) != 4 or not serial.strip():
        return None
    return check_serial(serial, model_year=int(year), north_america=bool(asked.get("north_america")))
