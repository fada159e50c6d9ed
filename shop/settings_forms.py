"""What is typed about the shop itself. What could not be worked with later is refused here."""

import datetime as dt
import re
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from shop.engineering.decision.rules import RULES
from shop.engineering.errors import LimitsError, QuantityError
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import Dimension
from shop.engineering.welds.hot_work import RULES as WATCH_RULES
from shop.engineering.welds.hot_work import rule_named_in, watch_too_short
from shop.models import Bay, BayClosure, ShopSettings, TaxedKind
from shop.people_forms import DayField, require_order
from shop.working_time import DAYS

WINDOW = re.compile(r"(\d{1,2}):(\d{2})\s*[-–—]\s*(\d{1,2}):(\d{2})")


class ShopSettingsForm(forms.ModelForm[ShopSettings]):
    decision_rule = forms.ChoiceField(label=_("Decision rule"), choices=[(name, name) for name in RULES])

    class Meta:
        model = ShopSettings
        fields: tuple[str, ...] = (
            *("name", "zone", "hours", "units", "fire_watch_rule", "fire_watch_minutes", "fire_watch_source"),
            *("length_tolerance", "torque_tolerance", "angle_tolerance", "decision_rule"),
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        require_watch_of_rule(self, given)
        return given

    def clean_zone(self) -> str:
        zone = str(self.cleaned_data["zone"])
        try:
            ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError, OSError) as error:
            raise forms.ValidationError(_("There is no time zone of that name")) from error
        return zone

    def clean_hours(self) -> Any:
        hours = self.cleaned_data["hours"]
        if not _are_hours(hours):
            raise forms.ValidationError(
                _('Write days from mon to sun, each with its windows: [["07:30", "12:00"], …]')
            )
        return hours

    def clean_length_tolerance(self) -> str:
        return self._tolerance("length_tolerance", Dimension.LENGTH, "10 in")

    def clean_torque_tolerance(self) -> str:
        return self._tolerance("torque_tolerance", Dimension.TORQUE, "10 lbf·ft")

    def clean_angle_tolerance(self) -> str:
        return self._tolerance("angle_tolerance", Dimension.ANGLE, "10°")

    def _tolerance(self, name: str, dimension: Dimension, nominal: str) -> str:
        """A tolerance that a limit without one can be read with."""
        text = str(self.cleaned_data[name])
        try:
            parse_limits(nominal, default_tolerance={dimension: text})
        except (LimitsError, QuantityError) as error:
            raise forms.ValidationError(str(error)) from error
        return text


def _are_hours(hours: Any) -> bool:
    if not isinstance(hours, dict) or not set(hours) <= set(DAYS) or not any(hours.values()):
        return False
    try:
        windows = [
            (dt.time.fromisoformat(a), dt.time.fromisoformat(b)) for day in hours.values() for a, b in day
        ]
    except (TypeError, ValueError):
        return False
    return all(begin < end for begin, end in windows)


def read_windows(text: str) -> list[list[str]]:
    """The hours of one day as people write them: `07:30 - 12:00, 12:30 - 16:00`; empty for none.

    Raises:
        ValueError: with what is wrong, in the user's words.
    """
    windows: list[list[str]] = []
    for part in (part.strip() for part in re.split(r"[,;]", text) if part.strip()):
        found = WINDOW.fullmatch(part)
        if found is None:
            raise ValueError(_now("“%(part)s” is not written as 07:30 - 12:00") % {"part": part[:40]})
        try:
            begin, end = (dt.time(int(found[n]), int(found[n + 1])) for n in (1, 3))
        except ValueError as error:
            raise ValueError(_now("“%(part)s” holds a time that no clock shows") % {"part": part}) from error
        if begin >= end:
            raise ValueError(_now("“%(part)s” ends before it begins") % {"part": part})
        if windows and f"{begin:%H:%M}" < windows[-1][1]:
            raise ValueError(_now("“%(part)s” begins before the one before it ends") % {"part": part})
        windows.append([f"{begin:%H:%M}", f"{end:%H:%M}"])
    return windows


def write_windows(windows: list[list[str]]) -> str:
    return ", ".join(f"{begin} - {end}" for begin, end in windows)


DAY_NAMES = dict(
    zip(
        DAYS,
        (_("Monday"), _("Tuesday"), _("Wednesday"), _("Thursday"), _("Friday"), _("Saturday"), _("Sunday")),
        strict=True,
    )
)


def require_watch_of_rule(form: forms.ModelForm[ShopSettings], given: dict[str, Any]) -> None:
    """A watch is no shorter than the rule that the shop chose, or that its own words name."""
    chosen, source = str(given.get("fire_watch_rule", "")), str(given.get("fire_watch_source", ""))
    rule, minutes = WATCH_RULES.get(chosen) or rule_named_in(source), given.get("fire_watch_minutes")
    short = watch_too_short(int(minutes), rule.code) if rule and minutes is not None else None
    if short is not None:
        form.add_error("fire_watch_minutes", short.translated(_now))


class SettingsForm(ShopSettingsForm):
    """All of the shop's settings, its hours a field for each weekday."""

    taxed_kinds = forms.MultipleChoiceField(
        label=_("Taxed"), choices=TaxedKind.choices, required=False, widget=forms.CheckboxSelectMultiple
    )

    class Meta(ShopSettingsForm.Meta):
        fields = (
            *("name", "address", "zone", "units"),
            *("length_tolerance", "torque_tolerance", "angle_tolerance", "decision_rule"),
            *("fire_watch_rule", "fire_watch_minutes", "fire_watch_source"),
            *("currency", "labour_rate", "tax_percent", "taxed_kinds", "deposit_percent"),
            *("link_days", "damage_claim_days"),
        )
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "fire_watch_source": forms.TextInput(attrs={"size": 40}),
            **{
                name: forms.TextInput(attrs={"inputmode": "decimal", "class": "short"})
                for name in (
                    *("fire_watch_minutes", "labour_rate", "tax_percent", "deposit_percent"),
                    *("link_days", "damage_claim_days"),
                )
            },
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for day, name in DAY_NAMES.items():
            self.fields[f"hours_{day}"] = forms.CharField(
                label=name,
                required=False,
                max_length=120,
                initial=write_windows(self.instance.hours.get(day, [])),
            )

    def clean_currency(self) -> str:
        currency = str(self.cleaned_data["currency"]).upper()
        if not re.fullmatch(r"[A-Z]{3}", currency):
            raise forms.ValidationError(_("Write the currency as three letters, such as USD"))
        return currency

    def clean_link_days(self) -> int:
        return self._days("link_days", 365)

    def clean_damage_claim_days(self) -> int:
        return self._days("damage_claim_days", 365)

    def clean_fire_watch_minutes(self) -> int:
        minutes = int(self.cleaned_data["fire_watch_minutes"])
        if not 1 <= minutes <= 24 * 60:
            raise forms.ValidationError(_("A fire watch lasts from one minute to a day"))
        return minutes

    def _days(self, name: str, most: int) -> int:
        days = int(self.cleaned_data[name])
        if not 1 <= days <= most:
            raise forms.ValidationError(_now("From 1 to %(most)d days") % {"most": most})
        return days

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        hours: dict[str, list[list[str]]] = {}
        for day in DAYS:
            try:
                windows = read_windows(str(given.get(f"hours_{day}", "")))
            except ValueError as error:
                self.add_error(f"hours_{day}", str(error))
            else:
                hours |= {day: windows} if windows else {}
        if not hours and not self.errors:
            self.add_error("hours_mon", _("The shop works on at least one day, or nothing is ever ready"))
        if not self.errors:
            self.instance.hours = hours
        return given


class BayForm(forms.ModelForm[Bay]):
    features = forms.CharField(
        label=_("What it has"),
        required=False,
        max_length=300,
        help_text=_("Divided by commas, such as screw stands, turn plates; the plan looks for these words"),
    )

    class Meta:
        model = Bay
        fields = ("number", "name", "is_open")
        widgets = {"number": forms.TextInput(attrs={"inputmode": "numeric", "class": "short"})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["features"] = ", ".join(self.instance.features)

    def clean_features(self) -> list[str]:
        typed = str(self.cleaned_data["features"]).split(",")
        found = list(dict.fromkeys(word.strip() for word in typed if word.strip()))
        self.instance.features = found
        return found

    def clean_is_open(self) -> bool:
        stays_open = bool(self.cleaned_data["is_open"])
        car = self.instance.jobs.filter(released_at=None).first() if self.instance.pk else None
        if not stays_open and car is not None:
            raise forms.ValidationError(_now("Job %(number)s stands in it") % {"number": car})
        return stays_open


class ClosureForm(forms.ModelForm[BayClosure]):
    first_day = DayField(label=_("First day closed"))
    last_day = DayField(label=_("Last day closed"))

    class Meta:
        model = BayClosure
        fields = ("first_day", "last_day", "reason")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        require_order(self, given, "first_day", "last_day", _("The last day is before the first"))
        return given
