"""The registry by which each app says what its papers tell."""

import pytest

from shop.documents import kinds
from shop.documents.kinds import Paper, Subject
from shop.documents.models import Document
from tests.shop.documents.conftest import bench


def build_other(_document: Document) -> Paper:
    return Paper("other.html", {}, "Other")


def test_a_registered_paper_is_found(slip: None) -> None:
    found = kinds.find("slip")
    assert found is not None
    assert str(found.title) == "Slip"
    assert kinds.subject_of("slip", "bench/4") == Subject("Bench 4", "/")
    assert kinds.subject_of("slip", "job/4") is None


def test_no_paper_is_found_that_nobody_makes(slip: None) -> None:
    assert kinds.find("certificate") is None
    assert kinds.title_of("certificate") == "certificate"
    assert kinds.subject_of("certificate", "bench/4") is None


def test_two_apps_cannot_have_one_name(slip: None) -> None:
    with pytest.raises(ValueError, match="named 'slip' already"):
        kinds.register("slip", build_other, title="Other", subject=bench)


def test_registering_again_is_no_harm(slip: None) -> None:
    found = kinds.find("slip")
    assert found is not None
    kinds.register("slip", found.builder, title="Slip again", subject=bench)
    assert kinds.title_of("slip") == "Slip again"
