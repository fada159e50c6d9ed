"""Addresses of the tablets in the bays."""

from django.urls import path

from jobs.views import tablet

urlpatterns = [
    path("", tablet.tablet, name="tablet"),
    path("turn/", tablet.tablet_turn, name="tablet_turn"),
    path("turn/end/", tablet.tablet_turn_end, name="tablet_turn_end"),
    path("<int:number>/entries/", tablet.tablet_entry, name="tablet_entry"),
    path("<int:number>/<str:code>/", tablet.tablet_operation, name="tablet_operation"),
    path("<int:number>/<str:code>/thresholds/", tablet.tablet_thresholds, name="tablet_thresholds"),
    path("<int:number>/<str:code>/problem/", tablet.tablet_problem, name="tablet_problem"),
]
