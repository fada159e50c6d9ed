"""How often one sender may knock; counted in the memory of each web process."""

from dataclasses import dataclass

from django.core.cache import cache

from shop.canonical import sha256_of


@dataclass(frozen=True)
class Pace:
    """At most `most` knocks within `seconds`, counted from the first of them."""

    name: str
    most: int
    seconds: int

    def is_kept(self, sender: str) -> bool:
        """Count one knock; False where it is one too many."""
        key = self._key(sender)
        cache.add(key, 0, self.seconds)
        try:
            return cache.incr(key) <= self.most
        except ValueError:  # it ran out between the two lines
            return True

    def is_spent(self, sender: str) -> bool:
        """Whether one more knock would be too many, without counting one."""
        return int(cache.get(self._key(sender), 0)) >= self.most

    def _key(self, sender: str) -> str:
        return f"pace-{self.name}-{sha256_of(sender.encode())}"


# Addresses that hit nothing, by sender; pages and answers, by link.
MISSES = Pace("link-misses", 20, 600)
LOOKS = Pace("link-looks", 120, 600)
ANSWERS = Pace("link-answers", 20, 600)
