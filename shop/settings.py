"""One settings file for every place Scribeline runs; what differs comes from the environment."""

from pathlib import Path
from typing import Any

import django_stubs_ext
from csp.constants import NONE, SELF
from django.utils.translation import gettext_lazy as _

from shop import environment

django_stubs_ext.monkeypatch()

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(environment.text("SCRIBELINE_VAR", str(BASE_DIR / "var")))

DEBUG = environment.flag("SCRIBELINE_DEBUG")
SECRET_KEY = environment.secret("SCRIBELINE_SECRET_KEY", VAR_DIR / "secret-key")
# Goes into the hash of every PIN; lost, every PIN has to be set anew.
PIN_PEPPER = environment.secret("SCRIBELINE_PIN_PEPPER", VAR_DIR / "pin-pepper")
FRONT_DOOR = environment.door()
ALLOWED_HOSTS = [FRONT_DOOR.host, *environment.words("SCRIBELINE_ALLOWED_HOSTS", "localhost 127.0.0.1")]
HTTPS = environment.flag("SCRIBELINE_HTTPS")
SITE_ADDRESS = environment.text(
    "SCRIBELINE_ADDRESS", f"https://{FRONT_DOOR.host}" if HTTPS else FRONT_DOOR.address
)
CSRF_TRUSTED_ORIGINS = [SITE_ADDRESS]
CSRF_FAILURE_VIEW = "shop.views.signing_in.page_too_old"

INSTALLED_APPS = [
    "shop",
    "shop.documents",
    "parts",
    "jobs",
    "shop.admin_app.ManagersAdmin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "template_partials.apps.SimpleAppConfig",
    "csp",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.middleware.VaryOnHtmx",
    "shop.middleware.ShopTime",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.context.shop_frame",
            ],
            "loaders": [
                (
                    "template_partials.loader.Loader",
                    [
                        (
                            "django.template.loaders.cached.Loader",
                            [
                                "django.template.loaders.filesystem.Loader",
                                "django.template.loaders.app_directories.Loader",
                            ],
                        )
                    ],
                )
            ],
            "builtins": ["template_partials.templatetags.partials", "shop.templatetags.quantities"],
        },
    }
]

DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": environment.text("SCRIBELINE_DATABASE", str(VAR_DIR / "db.sqlite3")),
        "ATOMIC_REQUESTS": False,
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;"
            " PRAGMA cache_size=-32000; PRAGMA temp_store=MEMORY;",
        },
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "shop.Person"
LOGIN_URL = "shop:sign_in"
LOGIN_REDIRECT_URL = "shop:home"
LOGOUT_REDIRECT_URL = "shop:sign_in"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-us"
LANGUAGES = [("en-us", _("English"))]
LOCALE_PATHS = [BASE_DIR / "locale"]
USE_TZ = True
# Whether an empty database is filled with the invented shop; a shop of its own begins without.
DEMO = environment.flag("SCRIBELINE_DEMO", default=True)
# How long a worker may keep silent about a paper before another takes it over; how often that is looked for.
PAPER_LEASE_SECONDS = environment.seconds("SCRIBELINE_PAPER_LEASE_SECONDS", 15)
PAPER_SWEEP_SECONDS = environment.seconds("SCRIBELINE_PAPER_SWEEP_SECONDS", 5)
# How long a plan is searched for in the background; a shop of many cars takes more than twice as long.
PLAN_SECONDS = environment.seconds("SCRIBELINE_PLAN_SECONDS", 12)
# How often the shop is played through for the dates of a plan.
PLAN_SAMPLES = environment.count("SCRIBELINE_PLAN_SAMPLES", 500, most=5000)
TIME_ZONE = environment.text("SCRIBELINE_TIME_ZONE", "America/Chicago")

IN_MEMORY = "django.core.cache.backends.locmem.LocMemCache"
CACHES = {
    "default": {"BACKEND": IN_MEMORY},
    # What is kept of every car until anything is recorded about it; it may not push others out.
    "glances": {"BACKEND": IN_MEMORY, "LOCATION": "glances", "OPTIONS": {"MAX_ENTRIES": 4000}},
    "floor": {"BACKEND": IN_MEMORY, "LOCATION": "floor", "OPTIONS": {"MAX_ENTRIES": 500}},
}

STATIC_URL = "/static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = VAR_DIR / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
MEDIA_ROOT = VAR_DIR / "media"
DATA_UPLOAD_MAX_MEMORY_SIZE = 16 * 1024 * 1024
# A counting sheet has five fields a line, and a kit as many lines as shop.csv_files takes.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 12_000

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "manifest-src": [SELF],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None

# The row of a paper is the truth and the queue carries only its number: no results, no events, no remote
# control, and a message counts as dealt with only when its task has ended.
BROKER = environment.broker()
CELERY_BROKER_URL = BROKER or "folder://localhost"
if not BROKER:
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(environment.folder(VAR_DIR / "queue" / "messages")),
        "data_folder_out": str(VAR_DIR / "queue" / "messages"),
        "control_folder": environment.folder(VAR_DIR / "queue" / "control"),
        "polling_interval": 0.1,
    }
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TASK_SERIALIZER = "json"
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_TIMEZONE = TIME_ZONE
CELERY_BEAT_SCHEDULE = {
    "sweep": {
        "task": "documents.sweep",
        "schedule": PAPER_SWEEP_SECONDS,
        "options": {"expires": PAPER_SWEEP_SECONDS},
    },
    "plan": {"task": "plans.look_after", "schedule": 10.0, "options": {"expires": 10.0}},
    "turns": {"task": "jobs.close_what_was_left", "schedule": 600.0, "options": {"expires": 600.0}},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {"django.request": {"level": "ERROR"}, "fontTools": {"level": "ERROR"}},
}
