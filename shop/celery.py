"""The background worker's app; what it reads stands in the settings."""

import os

from celery import Celery
from kombu.transport import TRANSPORT_ALIASES

from shop.first_sweep import FirstSweep

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

TRANSPORT_ALIASES["folder"] = "shop.queue_folder:Transport"  # so that broker addresses may begin with it

app = Celery("scribeline")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
app.autodiscover_tasks(["jobs.plans"])  # no app of its own
app.steps["worker"].add(FirstSweep)
