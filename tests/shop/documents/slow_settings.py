"""The settings as they are, with the held paper."""

from shop.settings import *  # noqa: F403
from shop.settings import BASE_DIR, INSTALLED_APPS, STORAGES, TEMPLATES

INSTALLED_APPS = [*INSTALLED_APPS, "tests.shop.documents.slow_papers"]
TEMPLATES = [{**TEMPLATES[0], "DIRS": [*TEMPLATES[0]["DIRS"], BASE_DIR / "tests/shop/documents/templates"]}]
STORAGES = {
    **STORAGES,
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
