"""Addresses of the ground floor: signing in, the way home, the tablets."""

from django.urls import path

from shop.views import bench, signing_in, tablets

app_name = "shop"
urlpatterns = [
    path("", signing_in.home, name="home"),
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("bench/", bench.bench, name="bench"),
    path("bench/<slug:key>/", bench.bench_sheet, name="bench_sheet"),
    path("tablets/", tablets.tablet_list, name="tablet_list"),
    path("tablets/assign/", tablets.tablet_assign, name="tablet_assign"),
    path("tablets/<int:pk>/revoke/", tablets.tablet_revoke, name="tablet_revoke"),
]
