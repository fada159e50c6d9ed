"""Addresses of money, the customer's link, and the photos of a job."""

from django.urls import path

from jobs.views import link, money

urlpatterns = [
    path("jobs/<int:number>/money/", money.money, name="money"),
    path("jobs/<int:number>/money/estimate/", money.estimate_draft, name="estimate_draft"),
    path("jobs/<int:number>/money/deposit/", money.deposit_ask, name="deposit_ask"),
    path("jobs/<int:number>/money/invoice/", money.invoice_issue, name="invoice_issue"),
    path(
        "jobs/<int:number>/money/invoices/<int:invoice>/credit/", money.invoice_credit, name="invoice_credit"
    ),
    path("jobs/<int:number>/photos/<uuid:photo>/", money.job_photo, name="job_photo"),
    path("jobs/<int:number>/link/", link.link_make, name="link_make"),
    path("jobs/<int:number>/link/<int:link>/revoke/", link.link_revoke, name="link_revoke"),
    path("c/<str:token>/", link.customer_link, name="customer_link"),
    path("c/<str:token>/answer/", link.customer_link_answer, name="customer_link_answer"),
    path("c/<str:token>/photos/<uuid:photo>/", link.customer_link_photo, name="customer_link_photo"),
]
