"""Addresses of the desk: the floor, the jobs, what waits for a lead, the code on a traveler."""

from django.urls import path

from jobs.views import (
    desk_entry,
    floor,
    job,
    job_list,
    job_open,
    lead,
    lots,
    papers,
    placing,
    release,
    revisions,
    trace,
    week,
)

urlpatterns = [
    path("floor/", floor.floor, name="floor"),
    path("week/", week.week, name="week"),
    path("trace/", trace.trace, name="trace"),
    path("lots/", lots.lots, name="lots"),
    path("witness/", lead.witness_queue, name="witness_queue"),
    path("q/<int:number>/<str:code>/", job.qr, name="qr"),
    path("jobs/", job_list.job_list, name="job_list"),
    path("jobs/open/", job_open.job_open, name="job_open"),
    path("jobs/<int:number>/", job.job, name="job"),
    path("jobs/<int:number>/place/", placing.car_place, name="car_place"),
    path("jobs/<int:number>/place/people/", placing.car_assign, name="car_assign"),
    path("jobs/<int:number>/place/people/<int:pk>/off/", placing.car_take_off, name="car_take_off"),
    path("jobs/<int:number>/revision/", revisions.job_revision, name="job_revision"),
    path("jobs/<int:number>/entries/", desk_entry.desk_entry, name="desk_entry"),
    path("jobs/<int:number>/release/", release.job_release, name="job_release"),
    path("jobs/<int:number>/papers/", papers.job_papers, name="job_papers"),
    path("jobs/<int:number>/papers/typed/", papers.sheet_typing, name="sheet_typing"),
    path("jobs/<int:number>/<str:code>/", job.job_operation, name="job_operation"),
]
