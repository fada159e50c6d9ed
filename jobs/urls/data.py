"""Addresses of data in and out."""

from django.urls import path

from jobs.views import data

urlpatterns = [
    path("data/", data.data, name="data"),
    path("data/<slug:table>.<slug:kind>", data.data_file, name="data_file"),
    path("data/<slug:table>/", data.data_in, name="data_in"),
    path("jobs/<int:number>/record.json", data.job_file, name="job_file"),
]
