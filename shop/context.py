"""What the frame around every page needs."""

from typing import Any

from django.http import HttpRequest

from shop.models import ShopSettings


def shop_frame(request: HttpRequest) -> dict[str, Any]:
    """The shop's name and the navigation of the person signed in."""
    from shop.navigation import navigation_for

    return {"shop": ShopSettings.current(), "nav": navigation_for(request)}
