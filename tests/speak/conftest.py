"""The speech programs that these tests run for real."""

import shutil

import pytest


@pytest.fixture
def espeak_ng() -> str:
    """The program espeak-ng."""
    program = shutil.which("espeak-ng")
    if program is None:
        pytest.skip("the package espeak-ng is not installed")
    return program
