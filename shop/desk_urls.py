"""Addresses of the ground floor: signing in and the way home."""

from django.urls import URLPattern

app_name = "shop"
urlpatterns: list[URLPattern] = []
