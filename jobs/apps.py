from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class JobsConfig(AppConfig):
    name = "jobs"
    verbose_name = _("Jobs")

    def ready(self) -> None:
        """Say what our papers tell to those who make them, and which cars the kits are for."""
        from jobs.desk.kit_cars import KitCars
        from jobs.papers import estimate, invoice, letter, traveler, work_order
        from parts import cars
        from shop.documents import kinds

        cars.tell(KitCars())

        kinds.register("traveler", traveler.build_traveler, title=_("Traveler"), subject=traveler.subject)
        kinds.register(
            "work_order", work_order.build_work_order, title=_("Work order"), subject=letter.money_subject
        )
        kinds.register("estimate", estimate.build_estimate, title=_("Estimate"), subject=letter.money_subject)
        kinds.register("invoice", invoice.build_invoice, title=_("Invoice"), subject=invoice.invoice_subject)
