from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class JobsConfig(AppConfig):
    name = "jobs"
    verbose_name = _("Jobs")

    def ready(self) -> None:
        """Say what our papers tell to those who make them, and which cars the kits are for."""
        from jobs.desk.kit_cars import KitCars
        from jobs.papers import estimate, invoice, letter, traveler, work_order
        from jobs.recording.authority import DESK_ROLES
        from parts import cars
        from shop.documents import kinds

        cars.tell(KitCars())

        kinds.register("traveler", traveler.build_traveler, title=_("Traveler"), subject=traveler.subject)
        for name, build, title, subject in (
            ("work_order", work_order.build_work_order, _("Work order"), letter.money_subject),
            ("estimate", estimate.build_estimate, _("Estimate"), letter.money_subject),
            ("invoice", invoice.build_invoice, _("Invoice"), invoice.invoice_subject),
        ):
            kinds.register(name, build, title=title, subject=subject, roles=DESK_ROLES)
