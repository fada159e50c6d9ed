"""Papers in the administration pages."""

from shop.admin_sites import register_evidence
from shop.documents.models import Document

register_evidence(Document, "kind", "stream", "issue", "state", "asked_by", "asked_at", find=("stream",))
