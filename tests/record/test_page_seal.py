"""A page tells whether it was edited since it was made."""

import hashlib

import pytest

from voiceassist.record.page_seal import is_edited, sealed

PAGE = "<p>8.4 Ω</p>\n"


def test_a_sealed_page_ends_with_the_hash_of_all_before_it() -> None:
    found = hashlib.sha256(PAGE.encode()).hexdigest()
    assert sealed(PAGE) == f"{PAGE}<!-- SHA-256 of all before: {found} -->\n"
    assert sealed("\ud800").startswith("\ud800<!--")


@pytest.mark.parametrize("page", [PAGE, "", PAGE + sealed(PAGE), sealed(sealed(PAGE))])
def test_a_page_as_it_was_made_is_not_edited(page: str) -> None:
    assert not is_edited(sealed(page))


def test_a_page_without_a_seal_tells_nothing() -> None:
    assert not is_edited(PAGE)
    assert not is_edited(sealed(PAGE) + "more")


def test_a_page_that_was_edited_since_is_seen() -> None:
    assert is_edited(sealed(PAGE).replace("8.4", "8.5"))
    assert is_edited(sealed(PAGE)[1:])
