"""Addresses of documents."""

from django.urls import path

from shop.documents import views

app_name = "documents"
urlpatterns = [
    path("ask/", views.document_ask, name="document_ask"),
    path("<uuid:document_id>/", views.document_status, name="document_status"),
    path("<uuid:document_id>/file/", views.document_file, name="document_file"),
]
