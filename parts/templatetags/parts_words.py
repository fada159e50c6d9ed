"""The counter's words in templates."""

from django import template

from parts import wording

register = template.Library()

register.filter("part_name", wording.part_name)
register.filter("kind_words", wording.kind_words)
register.filter("pieces_words", wording.pieces_words)
register.filter("short_words", wording.short_words)
register.filter("line_words", wording.line_words)
register.filter("shortage_sentence", wording.shortage_sentence)
register.filter("order_words", wording.order_words)
