from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PartsConfig(AppConfig):
    name = "parts"
    verbose_name = _("Parts")
