"""Words about entries, for templates."""

from django import template

from jobs import overtaken

register = template.Library()
register.filter("happened_words", overtaken.happened_words)
