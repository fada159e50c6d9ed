from django.contrib.admin.apps import AdminConfig


class ManagersAdmin(AdminConfig):
    default_site = "shop.admin_site.ManagersSite"
