"""Loads a sound library only when it is needed, so that the rest works without it."""

import importlib
from typing import Any

from voiceassist.errors import DeviceError


def library(module: str, needs: str, remedy: str) -> Any:  # noqa: ANN401 - untyped libraries
    """The module ``module``.

    Raises:
        DeviceError: it, or the system library it ``needs``, is missing.
    """
    try:
        return importlib.import_module(module)
    except ImportError:
        raise DeviceError(f"the Python package {module} is missing", remedy=remedy) from None
    except OSError:
        raise DeviceError(f"the system library {needs} is missing", remedy=remedy) from None
