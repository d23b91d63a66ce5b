"""Lists, adds, verifies and locates speech models."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import platformdirs

from voiceassist.app.settings.settings import Settings
from voiceassist.errors import ModelError, SettingsError
from voiceassist.models.kinds import kind_of
from voiceassist.models.store import Kept, Store, Wish
from voiceassist.recognise.choose import WITH_MODEL

#: These cannot be given another.
_OWN_MODEL = frozenset({"ear", "sphinx"})

__all__ = ["Wish", "add_model", "check_model", "list_models", "model_folder", "verify_models"]


def store() -> Store:
    """The models in the platform's data folder."""
    return Store(platformdirs.user_data_path("voiceassist") / "models")


def list_models() -> Iterator[dict[str, Any]]:
    """Every model kept, as the JSON objects of ``voiceassist models list``."""
    kept = store()
    for name in kept.names():
        try:
            yield _about(kept.get(name))
        except ModelError as error:
            yield {"name": name, "error": str(error)}


def add_model(wish: Wish) -> dict[str, Any]:
    """Keep another model; the JSON object of ``voiceassist models add``.

    Raises:
        ModelError: it cannot be had, is no model, or must not be let in.
    """
    if not wish.source.strip():  # an empty path would be the current folder
        raise ModelError("no source is named", remedy="name a folder, an archive or an address")
    return _about(store().add(wish))


def verify_models(names: Sequence[str]) -> Iterator[dict[str, Any]]:
    """Compare files with their checksums, as the JSON objects of ``voiceassist models verify``.

    Args:
        names: of kept models; all when there are none.

    Raises:
        ModelError: one of the names is not kept.
    """
    kept = store()
    for name in names:
        if name not in kept.names():
            kept.get(name)
    for name in names or kept.names():
        try:
            faults = [{"path": each.path, "found": each.found} for each in kept.verify(name)]
        except ModelError as error:
            faults = [{"path": "manifest.json", "found": str(error)}]
        yield {"name": name, "ok": not faults, "problems": faults}


def check_model(settings: Settings) -> None:
    """Nothing, when one of the chosen listeners hears with the model that is set, or none is set.

    Raises:
        SettingsError: none does.
    """
    if settings.model and settings.listener in _OWN_MODEL:
        raise SettingsError(
            f"the listener {settings.listener!r} hears with its own model",
            place="--model",
            remedy=f"leave it out, or use --listener {' or '.join(WITH_MODEL)}",
        )


def model_folder(settings: Settings, listener: str) -> str:
    """The folder of the model that ``listener`` should hear with.

    The one that is set; else the only kept one that fits listener and language. Empty when none
    is set and none kept, or when the listener needs none.

    Raises:
        ModelError: the one set is not there or for another listener, or several kept ones fit.
    """
    if listener not in WITH_MODEL:
        return ""
    if settings.model:
        return _set(settings, listener)
    fitting = [kept for kept in _kept() if _fits(kept, settings, listener)]
    if len(fitting) > 1:
        raise ModelError(
            f"several models fit the listener {listener}",
            remedy="choose one with --model: " + ", ".join(kept.name for kept in fitting),
        )
    return str(fitting[0].folder) if fitting else ""


def _set(settings: Settings, listener: str) -> str:
    kept = store()
    named = Path(settings.model).expanduser()
    if settings.model in kept.names():
        folder, kind = kept.get(settings.model).folder, kept.get(settings.model).manifest.kind
    elif named.is_dir():
        folder, kind = named, kind_of(named) or listener
    else:
        known = ", ".join(kept.names()) or "none so far"
        raise ModelError(
            "there is no such folder, and no kept model of that name",
            place=settings.model,
            remedy=f"models kept: {known}",
        )
    if kind != listener:
        raise ModelError(
            f"this is a model for the listener {kind}",
            place=settings.model,
            remedy=f"name one for the listener {listener}",
        )
    return str(folder)


def _kept() -> Iterator[Kept]:
    kept = store()
    for name in kept.names():
        try:
            yield kept.get(name)
        except ModelError:
            continue  # a damaged one is told of by list and verify, and cannot be used


def _fits(kept: Kept, settings: Settings, listener: str) -> bool:
    languages = {"", settings.language}
    return kept.manifest.kind == listener and kept.manifest.language in languages


def _about(kept: Kept) -> dict[str, Any]:
    manifest = kept.manifest
    return {
        "name": kept.name,
        "listener": manifest.kind,
        "language": manifest.language,
        "bytes": manifest.bytes,
        "files": len(manifest.files),
        "verified": manifest.verified,
        "folder": str(kept.folder),
        "source": manifest.source,
    }
