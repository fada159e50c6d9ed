"""Addresses of documents."""

from django.urls import URLPattern

app_name = "documents"
urlpatterns: list[URLPattern] = []
