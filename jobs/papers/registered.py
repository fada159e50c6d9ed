"""The kinds of paper about a job, made known to those who make papers."""

from django.utils.translation import gettext_lazy as _

from jobs.papers import blank_sheets, estimate, handover, invoice, plan_paper, traveler, work_order
from jobs.papers import nonconformance_report as report
from jobs.papers.about_job import desk_subject, subject
from jobs.papers.letter import money_subject
from jobs.recording.authority import DESK_ROLES
from shop.documents import kinds


def register() -> None:
    kinds.register("traveler", traveler.build_traveler, title=_("Traveler"), subject=subject)
    kinds.register("handover", handover.build_handover, title=_("Handover papers"), subject=desk_subject)
    kinds.register("torque_sheet", blank_sheets.build_torque_sheet, title=_("Torque sheet"), subject=subject)
    kinds.register(
        "dimension_sheet", blank_sheets.build_dimension_sheet, title=_("Dimension sheet"), subject=subject
    )
    kinds.register(
        "nonconformance",
        report.build_report,
        title=_("Nonconformance"),
        subject=subject,
        has_part=report.has_nonconformance,
    )
    kinds.register("plan", plan_paper.build_plan, title=_("Plan"), subject=plan_paper.plan_subject)
    for name, build, title, about in (
        ("work_order", work_order.build_work_order, _("Work order"), money_subject),
        ("estimate", estimate.build_estimate, _("Estimate"), money_subject),
        ("invoice", invoice.build_invoice, _("Invoice"), invoice.invoice_subject),
    ):
        kinds.register(name, build, title=title, subject=about, roles=DESK_ROLES)
