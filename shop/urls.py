"""Every address of the site."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("admin/", admin.site.urls),
    path("papers/", include("shop.documents.urls")),
    path("parts/", include("parts.urls")),
    path("", include("jobs.urls")),
    path("", include("shop.desk_urls")),
]
