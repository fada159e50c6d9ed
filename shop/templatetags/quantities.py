"""Template tags that show quantities, verdicts and times as the shop writes them."""

from django import template

register = template.Library()
