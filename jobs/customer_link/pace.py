"""How often one sender may knock, counted in the shop's database: for all web processes, over a restart."""

import datetime as dt
from dataclasses import dataclass

from django.db import models, transaction

from jobs.models import Knocks
from shop.canonical import sha256_of


@dataclass(frozen=True)
class Pace:
    """At most `most` knocks within `seconds`, counted from the first of them."""

    name: str
    most: int
    seconds: int

    def is_kept(self, sender: str, *, now: dt.datetime) -> bool:
        """Count one knock; False where it is one too many. What is one too many writes nothing."""
        if self.is_spent(sender, now=now):
            return False
        key = self._key(sender)
        with transaction.atomic():
            Knocks.objects.filter(until__lte=now).delete()
            until = now + dt.timedelta(seconds=self.seconds)
            Knocks.objects.get_or_create(key=key, defaults={"count": 0, "until": until})
            one_more = models.F("count") + 1
            return bool(Knocks.objects.filter(key=key, count__lt=self.most).update(count=one_more))

    def is_spent(self, sender: str, *, now: dt.datetime) -> bool:
        """Whether one more knock would be too many, without counting one."""
        return Knocks.objects.filter(key=self._key(sender), count__gte=self.most, until__gt=now).exists()

    def _key(self, sender: str) -> str:
        return f"{self.name}-{sha256_of(sender.encode())}"


# Addresses that hit nothing, by sender; pages and answers, by link.
MISSES = Pace("link-misses", 20, 600)
LOOKS = Pace("link-looks", 120, 600)
ANSWERS = Pace("link-answers", 20, 600)
