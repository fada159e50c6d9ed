"""Addresses of jobs."""

from django.urls import URLPattern, URLResolver, include, path

app_name = "jobs"
urlpatterns: list[URLPattern | URLResolver] = [
    path("tablet/", include("jobs.urls.tablet")),
    path("procedures/", include("jobs.urls.procedure")),
    path("", include("jobs.urls.money")),
    path("", include("jobs.urls.service")),
    path("", include("jobs.urls.data")),
    path("", include("jobs.urls.plan")),
    path("", include("jobs.urls.desk")),
]
