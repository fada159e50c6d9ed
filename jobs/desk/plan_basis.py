"""What every plan stands on beside the record, as the manager types it: holidays, features, own shifts."""

import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import Stage
from jobs.plans.hours import UnknownHolidaysError, public_holidays
from jobs.plans.route import WITHOUT_BAY
from shop.actions import TURN_ROLES
from shop.keeping import keep
from shop.models import Bay, Person, ShopSettings
from shop.settings_forms import read_windows, write_windows
from shop.working_time import DAYS

STAGES = tuple(stage for stage in Stage if stage not in WITHOUT_BAY)
DAY_RANGE = re.compile(r"([a-z]{3})(?:\s*[-–]\s*([a-z]{3}))?\s+(.+)", re.DOTALL)


def read_week(text: str) -> dict[str, list[list[str]]]:
    """Hours of a week as people write them: `mon-thu 14:00 - 22:00; fri 12:00 - 18:00`; empty for none.

    Raises:
        ValueError: with what is wrong, in the user's words.
    """
    week: dict[str, list[list[str]]] = {}
    for part in (part.strip() for part in re.split(r"[;\n]", text.lower()) if part.strip()):
        found = DAY_RANGE.fullmatch(part)
        if found is None or found[1] not in DAYS or (found[2] or "mon") not in DAYS:
            raise ValueError(_("“%(part)s” is not written as mon-fri 07:30 - 16:00") % {"part": part[:40]})
        first, last = DAYS.index(found[1]), DAYS.index(found[2] or found[1])
        if last < first:
            raise ValueError(_("“%(part)s”: the week goes from mon to sun") % {"part": part[:40]})
        windows = read_windows(found[3])
        week |= dict.fromkeys(DAYS[first : last + 1], windows)
    return week


def write_week(week: Mapping[str, list[list[str]]]) -> str:
    return "; ".join(f"{day} {write_windows(week[day])}" for day in DAYS if week.get(day))


def wide() -> forms.TextInput:
    return forms.TextInput(attrs={"size": 44})


class BasisForm(forms.Form):
    """All of it on one sheet."""

    holiday_country = forms.CharField(
        label=gettext_lazy("Country"),
        required=False,
        max_length=2,
        help_text=gettext_lazy("Two letters of ISO 3166, such as US; empty where no holiday is kept"),
    )
    holiday_subdivision = forms.CharField(
        label=gettext_lazy("State or region"),
        required=False,
        max_length=10,
        help_text=gettext_lazy("Its letters in ISO 3166, such as IL"),
    )

    def __init__(self, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, auto_id="basis-%s")
        self.settings = ShopSettings.current()
        self.people = list(Person.objects.filter(is_active=True, role__in=TURN_ROLES))
        for name in ("holiday_country", "holiday_subdivision"):
            self.initial[name] = getattr(self.settings, name)
        for stage in STAGES:
            self.fields[f"features_{stage}"] = forms.CharField(
                label=stage.label,
                required=False,
                max_length=200,
                initial=", ".join(self.settings.stage_features.get(stage, [])),
                widget=wide(),
            )
        for person in self.people:
            self.fields[f"hours_{person.pk}"] = forms.CharField(
                label=str(person),
                required=False,
                max_length=400,
                initial=write_week(person.hours),
                widget=wide(),
            )

    @property
    def features(self) -> list[forms.BoundField]:
        return [self[f"features_{stage}"] for stage in STAGES]

    @property
    def shifts(self) -> list[forms.BoundField]:
        return [self[f"hours_{person.pk}"] for person in self.people]

    @property
    def known_features(self) -> list[str]:
        """What the bays have, to choose words from."""
        return sorted(
            {word for features in Bay.objects.values_list("features", flat=True) for word in features}
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        self._clean_holidays(given)
        known = set(self.known_features)
        for stage in STAGES:
            name = f"features_{stage}"
            words = [word.strip() for word in str(given.get(name, "")).split(",") if word.strip()]
            given[name] = words
            for word in words:
                if word not in known:
                    self.add_error(name, _("No bay has “%(word)s”") % {"word": word[:40]})
        for person in self.people:
            name = f"hours_{person.pk}"
            try:
                given[name] = read_week(str(given.get(name, "")))
            except ValueError as error:
                self.add_error(name, str(error))
        return given

    def _clean_holidays(self, given: dict[str, Any]) -> None:
        country = str(given.get("holiday_country", "")).strip().upper()
        place = str(given.get("holiday_subdivision", "")).strip().upper()
        given |= {"holiday_country": country, "holiday_subdivision": place}
        try:
            public_holidays(country, "", [2026])
        except UnknownHolidaysError:
            self.add_error("holiday_country", _("Nobody knows the holidays of “%(c)s”") % {"c": country})
            return
        try:
            public_holidays(country, place, [2026])
        except UnknownHolidaysError:
            words = {"place": place, "country": country}
            self.add_error("holiday_subdivision", _("%(country)s has no “%(place)s”") % words)

    def save(self, *, by: Person, now: dt.datetime) -> None:
        """Keep what is different, each with its event."""
        given, row = self.cleaned_data, self.settings
        features = {str(stage): given[f"features_{stage}"] for stage in STAGES if given[f"features_{stage}"]}
        wanted = {
            "holiday_country": given["holiday_country"],
            "holiday_subdivision": given["holiday_subdivision"],
            "stage_features": features,
        }
        changed = [name for name, value in wanted.items() if getattr(row, name) != value]
        if changed:
            added = row.pk is None
            for name in changed:
                setattr(row, name, wanted[name])
            keep(row, changed=changed, added=added, by=by, now=now)
        for person in self.people:
            hours = given[f"hours_{person.pk}"]
            if person.hours != hours:
                person.hours = hours
                keep(person, changed=["hours"], added=False, by=by, now=now)
