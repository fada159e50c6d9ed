"""Addresses of the parts counter."""

from django.urls import path

from parts import views

app_name = "parts"
urlpatterns = [
    path("", views.order_list, name="order_list"),
    path("orders/new/", views.order_open, name="order_open"),
    path("orders/<str:number>/", views.order, name="order"),
    path("orders/<str:number>/standing.csv", views.order_export, name="order_export"),
    path("orders/<str:number>/revision/", views.order_revision, name="order_revision"),
    path("orders/<str:number>/receive/", views.receive, name="receive"),
    path("orders/<str:number>/verdict/", views.count_verdict, name="count_verdict"),
    path("orders/<str:number>/receipts/<int:pk>/", views.receipt, name="receipt"),
    path("orders/<str:number>/receipts/<int:pk>/<int:line_pk>/", views.recounts, name="recounts"),
    path("orders/<str:number>/receipts/<int:pk>/damage/", views.damage, name="damage"),
    path(
        "orders/<str:number>/receipts/<int:pk>/damage/photos/",
        views.damage_photograph,
        name="damage_photograph",
    ),
    path("orders/<str:number>/receipts/<int:pk>/damage/told/", views.carrier_told, name="carrier_told"),
    path("orders/<str:number>/expect/<int:line_pk>/", views.expect, name="expect"),
    path("orders/<str:number>/lines/<int:line_pk>/buy/", views.local_purchases, name="local_purchases"),
    path("orders/<str:number>/returns/", views.returns, name="returns"),
    path("damage/<uuid:pk>.jpg", views.damage_photo, name="damage_photo"),
    path("missing/", views.missing_parts, name="missing_parts"),
    path("missing.csv", views.missing_parts_export, name="missing_parts_export"),
    path("slips/new/", views.slip_bring_in, name="slip_bring_in"),
    path("slips/<int:pk>.csv", views.slip_export, name="slip_export"),
    path("kits/", views.kit_list, name="kit_list"),
    path("kits/write/", views.kit_new, name="kit_new"),
    path("kits/new/", views.kit_bring_in, name="kit_bring_in"),
    path("kits/<str:code>/compare/", views.kit_compare, name="kit_compare"),
    path("kits/<str:code>/floor/", views.kit_floor, name="kit_floor"),
    path("kits/<str:code>/drafts/<str:revision>/", views.kit_draft, name="kit_draft"),
    path("kits/<str:code>/drafts/<str:revision>/text/", views.kit_draft_text, name="kit_draft_text"),
    path("kits/<str:code>/drafts/<str:revision>/<int:line>/", views.kit_draft_line, name="kit_draft_line"),
    path("kits/<str:code>/<str:revision>/edit/", views.kit_draft_begin, name="kit_draft_begin"),
    path("kits/<str:code>/<str:revision>/", views.kit, name="kit"),
    path("kits/<str:code>/<str:revision>/kit.csv", views.kit_export, name="kit_export"),
    path("kits/<str:code>/<str:revision>/release/", views.kit_release, name="kit_release"),
]
