"""Addresses of the ground floor: signing in, the way home, the tablets."""

from django.urls import path

from shop.views import (
    bench,
    instruments,
    own_page,
    own_secrets,
    own_shop,
    owned_tools,
    people,
    signing_in,
    tablets,
)

app_name = "shop"
urlpatterns = [
    path("", signing_in.home, name="home"),
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("bench/", bench.bench, name="bench"),
    path("bench/<slug:key>/", bench.bench_sheet, name="bench_sheet"),
    path("shop/tablets/", tablets.tablet_list, name="tablet_list"),
    path("shop/tablets/code/", tablets.tablet_code, name="tablet_code"),
    path("tablet/code/", tablets.tablet_redeem, name="tablet_redeem"),
    path("shop/tablets/<int:pk>/revoke/", tablets.tablet_revoke, name="tablet_revoke"),
    path("shop/", own_shop.shop, name="shop"),
    path("shop/settings/", own_shop.shop_settings, name="shop_settings"),
    path("shop/bays/", own_shop.bay_list, name="bay_list"),
    path("shop/bays/new/", own_shop.bay_add, name="bay_add"),
    path("shop/bays/<int:number>/", own_shop.bay, name="bay"),
    path("shop/bays/<int:number>/closures/", own_shop.closure_add, name="closure_add"),
    path("shop/bays/<int:number>/closures/<int:pk>/remove/", own_shop.closure_remove, name="closure_remove"),
    path("shop/instruments/", instruments.instrument_list, name="instrument_list"),
    path("shop/instruments/new/", instruments.instrument_add, name="instrument_add"),
    path("shop/instruments/<str:code>/", instruments.instrument, name="instrument"),
    path("shop/instruments/<str:code>/calibrations/", instruments.calibration_add, name="calibration_add"),
    path("shop/tools/", owned_tools.tool_list, name="tool_list"),
    path("shop/tools/new/", owned_tools.tool_add, name="tool_add"),
    path("shop/tools/<str:code>/", owned_tools.tool, name="tool"),
    path("shop/people/", people.person_list, name="person_list"),
    path("shop/people/new/", people.person_add, name="person_add"),
    path("shop/people/<int:pk>/", people.person, name="person"),
    path("shop/people/<int:pk>/leave/", people.person_leave, name="person_leave"),
    path("shop/people/<int:pk>/secret/", people.person_secret, name="person_secret"),
    path("shop/people/<int:pk>/certificates/", people.certificate_add, name="certificate_add"),
    path("shop/people/<int:pk>/certificates/<int:number>/", people.certificate, name="certificate"),
    path("shop/people/<int:pk>/absences/", people.absence_add, name="absence_add"),
    path("shop/people/<int:pk>/absences/<int:number>/remove/", people.absence_remove, name="absence_remove"),
    path("me/", own_page.own_page, name="own_page"),
    path("own/<str:token>/", own_secrets.own_secret, name="own_secret"),
]
