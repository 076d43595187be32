"""The sources that everything is read from: the templates, and a digest over all that a plan follows from."""

from __future__ import annotations

import platform
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from sheetgen.errors import DefinitionError
from sheetgen.user_cache import Keeping, digest_of

TEMPLATES = Path(__file__).resolve().parent.parent / "templates_src"
PROGRAM = Path(__file__).resolve().parent
DEMO = "demo"


@cache
def edition() -> str:
    """Return a digest over all that a plan follows from: templates, this package, the language's edition."""
    parts: list[str | bytes] = [platform.python_version()]
    for folder, ending in ((TEMPLATES, "*.toml"), (PROGRAM, "*.py")):
        for path in sorted(folder.rglob(ending)):
            parts += [path.relative_to(folder).as_posix(), path.read_bytes()]
    return digest_of(parts)


def read_toml(path: Path) -> Mapping[str, Any]:
    """Read a TOML file; a fault in it is a DefinitionError that names file and line.

    What a template says is parsed once, and kept between runs. It is shared: nobody changes it.
    """
    if path.is_relative_to(TEMPLATES):
        told = _templates().get(path.relative_to(TEMPLATES).as_posix())
        if told is not None:
            return told
    return parsed(path)


def parsed(path: Path) -> dict[str, Any]:
    """Parse a TOML file.

    Raises
    ------
    DefinitionError
        It cannot be read, or is no TOML.
    """
    try:
        with path.open("rb") as stream:
            return tomllib.load(stream)
    except FileNotFoundError:
        raise DefinitionError(str(path), "there is no such file") from None
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise DefinitionError(str(path), "it is not UTF-8 text") from None
    except tomllib.TOMLDecodeError as error:
        raise DefinitionError(str(path), f"it is not valid TOML: {error}") from None


@cache
def _templates() -> Mapping[str, Mapping[str, Any]]:
    """Return what all templates say, by path; nothing if one has a fault, which is told when it is read."""
    keeping = Keeping("templates", edition(), edition())
    told: dict[str, dict[str, Any]] | None = keeping.load()
    if told is not None:
        return told
    try:
        told = {
            path.relative_to(TEMPLATES).as_posix(): parsed(path)
            for path in sorted(TEMPLATES.rglob("*.toml")) if DEMO not in path.parts
        }
    except DefinitionError:
        return {}
    keeping.save(told)
    return told
