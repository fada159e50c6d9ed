"""Addresses of procedures."""

from django.urls import URLPattern, path

from jobs.views import drafts, procedure_judging, revisions
from jobs.views import procedures as views

urlpatterns: list[URLPattern] = [
    path("", views.procedure_list, name="procedure_list"),
    path("new/", drafts.procedure_new, name="procedure_new"),
    path("bring-in/", views.procedure_bring_in, name="procedure_bring_in"),
    path("<str:code>/floor/", revisions.procedure_floor, name="procedure_floor"),
    path("<str:code>/compare/", views.procedure_compare, name="procedure_compare"),
    path("<str:code>/drafts/<str:revision>/", drafts.procedure_draft, name="procedure_draft"),
    path("<str:code>/drafts/<str:revision>/text/", drafts.procedure_draft_text, name="procedure_draft_text"),
    path(
        "<str:code>/drafts/<str:revision>/<path:part>/",
        drafts.procedure_draft_part,
        name="procedure_draft_part",
    ),
    path("<str:code>/<str:revision>/edit/", drafts.procedure_draft_begin, name="procedure_draft_begin"),
    path("<str:code>/<str:revision>/", views.procedure, name="procedure"),
    path("<str:code>/<str:revision>/file/", views.procedure_export, name="procedure_export"),
    path(
        "<str:code>/<str:revision>/judging/<str:checkpoint>/",
        procedure_judging.procedure_judging,
        name="procedure_judging",
    ),
    path("<str:code>/<str:revision>/release/", views.procedure_release, name="procedure_release"),
]
