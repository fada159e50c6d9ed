"""`{% papers "traveler" job.stream %}`: the issues of a paper, and the form to ask for another."""

from typing import Any

from django import template
from django.template.context import RequestContext

from shop.documents.papers import Papers

register = template.Library()


@register.inclusion_tag("documents/_papers.html", takes_context=True)
def papers(context: RequestContext, kind: str, stream: str) -> dict[str, Any]:
    return {"papers": Papers.of(kind, stream), "csrf_token": context.get("csrf_token")}
