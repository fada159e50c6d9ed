from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = _("Shop")

    def ready(self) -> None:
        """Tasks are sent through our own app, wherever Django runs; the pure modules stay free of it."""
        from shop import celery  # noqa: F401
