"""Sentences that pure modules say, kept as template and parts so that the edge can translate them."""

from collections.abc import Callable, Mapping


class Words(str):
    """A sentence in English that remembers its template, for `translated`."""

    __slots__ = ("params", "template")
    template: str
    params: Mapping[str, object]

    def __new__(cls, template: str, params: Mapping[str, object]) -> "Words":
        words = super().__new__(cls, template % params)
        words.template = template
        words.params = params
        return words

    def __getnewargs__(self) -> tuple[str, Mapping[str, object]]:  # type: ignore[override]
        return self.template, self.params

    def translated(self, gettext: Callable[[str], str]) -> str:
        """The sentence in the language of `gettext`, its parts translated as well."""
        parts = {
            name: part.translated(gettext) if isinstance(part, Words) else part
            for name, part in self.params.items()
        }
        return gettext(self.template) % parts


def say(template: str, /, **params: object) -> Words:
    """A sentence. Imported as `_`, so that the catalogue of messages finds its template."""
    return Words(template, params)


def gettext_noop(text: str) -> str:
    """Mark a template that is said later, so that the catalogue of messages finds it."""
    return text
