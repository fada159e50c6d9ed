"""What a lead signs at the desk about the route of one car."""

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.desk.forms import EntryForm, ReasonField

ON_PAPERS = _("It shows on the papers.")


class DeviationForm(EntryForm):
    """A departure from the procedure; with a checkpoint it may carry a limit of its own."""

    kind = "deviation"
    action = _("Issue the deviation in my name")
    asks_pin = True
    may_need_second = True
    p_checkpoint = forms.CharField(widget=forms.HiddenInput)
    p_text = forms.CharField(
        label=_("What is done differently"), max_length=500, widget=forms.Textarea(attrs={"rows": 2})
    )
    p_limit = forms.CharField(
        label=_("Limit for this car"), max_length=60, help_text=_("Leave it empty where it stays.")
    )
    p_equal = forms.CharField(label=_("Left and right alike within, for this car"), max_length=60)
    p_reason = ReasonField(label=_("Reason"), help_text=ON_PAPERS)

    def prepare(self) -> None:
        code = self.initial.get("p_checkpoint") or self.data.get("p_checkpoint", "")
        standing = self.record.find_checkpoint(str(code))
        if standing is None or not standing.checkpoint.limit:
            del self.fields["p_limit"]
        if standing is None or not standing.checkpoint.equal:
            del self.fields["p_equal"]


class DeviationWithdrawForm(EntryForm):
    kind = "deviation_withdraw"
    action = _("Withdraw the deviation")
    asks_pin = True
    p_deviation = forms.CharField(widget=forms.HiddenInput)
    p_reason = ReasonField(
        label=_("Why it is withdrawn"), help_text=_("What was read under it is read again.")
    )


class OmitForm(EntryForm):
    kind = "omit"
    action = _("Mark it as not applicable in my name")
    asks_pin = True
    may_need_second = True
    p_reason = ReasonField(label=_("Why it does not apply to this car"), help_text=ON_PAPERS)


class OmitTakeBackForm(EntryForm):
    kind = "omit_take_back"
    action = _("It applies after all")
    asks_pin = True


CHANGE_FORMS: tuple[type[EntryForm], ...] = (DeviationForm, DeviationWithdrawForm, OmitForm, OmitTakeBackForm)
