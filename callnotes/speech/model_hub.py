"""The engine's own store of models: its names, its cache, its download. The only module that may use a network."""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from callnotes.errors import ModelError

_TRUE = {"1", "on", "yes", "true"}


def names() -> list[str]:
    """The names that the engine knows, in its own order."""
    from faster_whisper.utils import available_models

    return list(available_models())


def offline() -> bool:
    """Whether the user has forbidden the network."""
    return os.environ.get("HF_HUB_OFFLINE", "").strip().casefold() in _TRUE


def cached(name: str) -> Path | None:
    """The folder of a model in the engine's cache, None if it is not there whole. Uses no network."""
    from faster_whisper.utils import download_model

    try:
        with _quiet():
            path = Path(download_model(name, local_files_only=True))
    except (OSError, ValueError):  # what is not in the cache is a FileNotFoundError of the hub's own
        return None
    return path if (path / "model.bin").is_file() and (path / "tokenizer.json").is_file() else None


def downloaded(name: str, *, hint: str) -> Path:
    """The folder of a model after the engine has downloaded it. ``ModelError`` with the hint if it cannot be had."""
    missing = f"no speech model is installed ({name} was looked for)"
    if offline():
        raise ModelError(missing, hint=hint)
    from faster_whisper.utils import download_model

    try:
        with _quiet():
            return Path(download_model(name))
    # The hub answers with errors of several libraries below it; here all mean that it cannot be had.
    except Exception as error:
        raise ModelError(f"{missing} and it cannot be downloaded", hint=hint) from error


@contextmanager
def _quiet() -> Iterator[None]:
    """The hub's advice about tokens and retries is not for technicians; its errors still come through."""
    logger = logging.getLogger("huggingface_hub")
    before = logger.level
    logger.setLevel(logging.ERROR)
    try:
        yield
    finally:
        logger.setLevel(before)
