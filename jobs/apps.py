from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class JobsConfig(AppConfig):
    name = "jobs"
    verbose_name = _("Jobs")

    def ready(self) -> None:
        """Say what our papers tell to those who make them."""
        from jobs.papers import traveler
        from shop.documents import kinds

        kinds.register("traveler", traveler.build_traveler, title=_("Traveler"), subject=traveler.subject)
