"""The English grammars and pronunciations that these tests share."""

import pytest

from voiceassist.language.language import Language
from voiceassist.resources import grammar_files


@pytest.fixture(scope="session")
def english() -> Language:
    return Language.load(grammar_files("en"))


@pytest.fixture(scope="session")
def pronunciations() -> str:
    return grammar_files("en")["pronunciations.dict"]
