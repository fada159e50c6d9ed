"""Addresses of the service desk: customers, their cars, the condition in which a car came in."""

from django.urls import path

from jobs.views import condition, customers

urlpatterns = [
    path("customers/", customers.customer_list, name="customer_list"),
    path("customers/<int:pk>/", customers.customer, name="customer"),
    path("customers/<int:pk>/edit/", customers.customer_edit, name="customer_edit"),
    path("customers/<int:pk>/merge/<int:other>/", customers.customer_merge, name="customer_merge"),
    path("customers/<int:pk>/erase/", customers.customer_erase, name="customer_erase"),
    path("vehicles/<int:pk>/", customers.vehicle, name="vehicle"),
    path("vehicles/<int:pk>/edit/", customers.vehicle_edit, name="vehicle_edit"),
    path("vehicles/<int:pk>/merge/<int:other>/", customers.vehicle_merge, name="vehicle_merge"),
    path("jobs/<int:number>/condition/", condition.condition, name="condition"),
]
