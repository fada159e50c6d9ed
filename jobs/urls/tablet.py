"""Addresses of the tablets in the bays."""

from django.urls import path

from jobs.views import bay, release, tablet, tablet_asides, tablet_welds

urlpatterns = [
    path("", bay.tablet, name="tablet"),
    path("turn/", bay.tablet_turn, name="tablet_turn"),
    path("turn/end/", bay.tablet_turn_end, name="tablet_turn_end"),
    path("stop/", tablet_asides.tablet_stop, name="tablet_stop"),
    path("<int:number>/release/", release.tablet_release, name="tablet_release"),
    path("<int:number>/entries/", tablet.tablet_entry, name="tablet_entry"),
    path("<int:number>/<str:code>/", tablet.tablet_operation, name="tablet_operation"),
    path("<int:number>/<str:code>/thresholds/", tablet.tablet_thresholds, name="tablet_thresholds"),
    path("<int:number>/<str:code>/problem/", tablet_asides.tablet_problem, name="tablet_problem"),
    path("<int:number>/<str:code>/extra/", tablet_asides.tablet_extra_work, name="tablet_extra_work"),
    path("<int:number>/<str:code>/welds/", tablet_welds.tablet_welds, name="tablet_welds"),
    path("<int:number>/<str:code>/pause/", tablet_asides.tablet_pause, name="tablet_pause"),
]
