"""Addresses of jobs."""

from django.urls import URLPattern, URLResolver, include, path

app_name = "jobs"
urlpatterns: list[URLPattern | URLResolver] = [
    path("tablet/", include("jobs.tablet_urls")),
    path("procedures/", include("jobs.procedure_urls")),
    path("", include("jobs.money_urls")),
    path("", include("jobs.service_urls")),
    path("", include("jobs.data_urls")),
    path("", include("jobs.plan_urls")),
    path("", include("jobs.desk_urls")),
]
