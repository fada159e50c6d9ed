"""How a shop begins: the first manager takes themselves in, with a code that only the machine shows.

The code is worked out from the shop's secret, so that it is the same after a restart; it opens nothing as
soon as there is anybody.
"""

import base64
import datetime as dt
import hmac

from django.db import transaction
from django.utils.crypto import salted_hmac

from shop.events import lock_stream
from shop.keeping import keep
from shop.models import Person, Role, ShopSettings

SALT = "shop.first_manager"


class BegunAlreadyError(Exception):
    """Somebody belongs to the shop already."""


def is_empty() -> bool:
    """Whether nobody belongs to the shop yet, so that nobody can sign in."""
    return not Person.objects.exists()


def first_code() -> str:
    """Eight letters and digits in two halves, such as K3PX-7QDA."""
    letters = base64.b32encode(salted_hmac(SALT, "code", algorithm="sha256").digest()).decode()[:8]
    return f"{letters[:4]}-{letters[4:]}"


def is_first_code(typed: str) -> bool:
    """Whether this is the code, however its halves were joined and its letters written."""
    plain = "".join(c for c in typed.upper() if c.isascii() and c.isalnum())
    return hmac.compare_digest(plain.encode(), first_code().replace("-", "").encode())


@transaction.atomic
def begin_shop(
    settings: ShopSettings, person: Person, *, password: str, pin: str, now: dt.datetime
) -> Person:
    """Keep the shop's name and zone, and its first manager with password and PIN.

    Raises:
        BegunAlreadyError: there is somebody already.
    """
    lock_stream("shop")
    if not is_empty():
        raise BegunAlreadyError
    person.role = Role.MANAGER
    person.is_staff = person.is_superuser = True
    person.set_password(password)
    person.set_pin(pin)
    keep(person, changed=("username", "full_name", "role"), added=True, by=person, now=now)
    keep(settings, changed=("name", "zone"), added=settings.pk is None, by=person, now=now)
    return person
