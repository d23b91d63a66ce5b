"""The installed model, its tokens, and one listener for all tests here."""

from collections.abc import Iterator

import pytest

from voiceassist.recognise.moonshine.files import ModelFiles, installed_model
from voiceassist.recognise.moonshine.listener import MoonshineListener
from voiceassist.recognise.moonshine.tokens import Tokens, read_tokens


@pytest.fixture(scope="session")
def model() -> ModelFiles:
    """The files of the package moonshine-voice; where it is missing, these tests fail."""
    return installed_model()


@pytest.fixture(scope="session")
def tokens(model: ModelFiles) -> Tokens:
    return read_tokens(model.tokens.read_bytes(), str(model.tokens))


@pytest.fixture(scope="package")
def listener() -> Iterator[MoonshineListener]:
    made = MoonshineListener()
    yield made
    made.close()
