"""The registry by which each app says what its papers tell."""

import pytest

from shop.documents import kinds
from shop.documents.kinds import Paper
from shop.documents.models import Document


def build_other(_document: Document) -> Paper:
    return Paper("other.html", {}, "Other")


def test_a_registered_paper_is_found(slip: None) -> None:
    found = kinds.find("slip")
    assert found is not None
    assert str(found.title) == "Slip"
    assert found.covers("bench/4")
    assert not found.covers("job/4")


def test_no_paper_is_found_that_nobody_makes(slip: None) -> None:
    assert kinds.find("certificate") is None
    assert kinds.title_of("certificate") == "certificate"


def test_two_apps_cannot_have_one_name(slip: None) -> None:
    with pytest.raises(ValueError, match="named 'slip' already"):
        kinds.register("slip", build_other, title="Other", covers=bool)


def test_registering_again_is_no_harm(slip: None) -> None:
    found = kinds.find("slip")
    assert found is not None
    kinds.register("slip", found.builder, title="Slip again", covers=bool)
    assert kinds.title_of("slip") == "Slip again"
