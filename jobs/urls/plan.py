"""Addresses of the plan."""

from django.urls import path

from jobs.views import plan, plan_questions

urlpatterns = [
    path("plan/", plan.plan, name="plan"),
    path("plan/proposal/", plan.plan_proposal, name="plan_proposal"),
    path("plan/search/", plan.plan_search, name="plan_search"),
    path("plan/so-far/", plan.plan_so_far, name="plan_so_far"),
    path("plan/pins/", plan.plan_pins, name="plan_pins"),
    path("plan/pins/<int:pk>/away/", plan.plan_pin_remove, name="plan_pin_remove"),
    path("plan/basis/", plan.plan_basis, name="plan_basis"),
    path("plan/days/", plan.plan_days, name="plan_days"),
    path("plan/earliest/", plan_questions.plan_earliest, name="plan_earliest"),
    path("plan/start/<int:number>/", plan_questions.plan_start, name="plan_start"),
    path("plan/load/", plan.plan_load, name="plan_load"),
]
