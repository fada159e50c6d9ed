from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class JobsConfig(AppConfig):
    name = "jobs"
    verbose_name = _("Jobs")

    def ready(self) -> None:
        """Say what our papers tell to those who make them, and which cars the kits are for."""
        from jobs.desk.kit_cars import KitCars
        from jobs.papers import registered
        from parts import cars

        cars.tell(KitCars())
        registered.register()
