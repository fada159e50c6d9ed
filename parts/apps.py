from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PartsConfig(AppConfig):
    name = "parts"
    verbose_name = _("Parts")

    def ready(self) -> None:
        """Say what our paper tells to those who make papers."""
        from parts import receiving_report as report
        from shop.documents import kinds

        kinds.register(
            "receiving_report",
            report.build_receiving_report,
            title=_("Kit receiving report"),
            subject=report.subject,
        )
