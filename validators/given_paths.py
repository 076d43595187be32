"""Paths that were typed: looked at before any work is done, so that a slip costs only a second."""

from __future__ import annotations

import difflib
import os
import shlex
from collections.abc import Iterable
from pathlib import Path

from sheetgen.errors import DefinitionError

NEAR = 0.8
"""How alike two names are, of 1, before one is offered for the other."""


def one_workbook(path: Path) -> Path:
    """Return the path of a file that is there and may be read, or of a place in such an archive or mail.

    Raises
    ------
    DefinitionError
        There is no such file, or it is a folder, or there is no right to read it.
    """
    if path.is_dir():
        raise DefinitionError(str(path), "this is a folder; name one workbook in it")
    holds_it = next((outer for outer in (path, *path.parents) if outer.is_file()), None)
    if holds_it is None:
        raise DefinitionError(str(path), f"there is no file of this name{neighbour(path)}")
    if not os.access(holds_it, os.R_OK):
        raise DefinitionError(str(path), "there is no right to read this file")
    return path


def room_for(path: Path | None, endings: Iterable[str] = (), *, replaces: bool = False) -> None:
    """Stop unless a file can be written there.

    Parameters
    ----------
    path : Path or None
        Where; None is no file and no fault.
    endings : iterable of str
        How its name may end; none given is any.
    replaces : bool
        Whether what stands there is looked at by whoever writes.

    Raises
    ------
    DefinitionError
        Another ending, no such folder, no right to write in it, or a file that is there already.
    """
    if path is None:
        return
    endings = tuple(endings)
    if endings and path.suffix.lower() not in endings:
        raise DefinitionError(str(path), f"its name ends in {' or '.join(endings)}")
    folder = path.absolute().parent
    if not folder.is_dir():
        why = f"make the folder '{path.parent}' first, or choose another{neighbour(path.parent)}"
        raise DefinitionError(str(path), why)
    if not os.access(folder, os.W_OK | os.X_OK):
        raise DefinitionError(str(path), f"there is no right to write in the folder '{folder}'")
    if os.path.lexists(path) and not replaces:
        why = "there is a file of this name; it is not overwritten, so give another name"
        raise DefinitionError(str(path), why)


def apart_from(folder: Path, checked: Iterable[Path]) -> None:
    """Stop where results would be kept among the files that are checked.

    Raises
    ------
    DefinitionError
        The folder is one of the paths that are checked, or lies in one.
    """
    for path in checked:
        if folder.resolve().is_relative_to(path.resolve()):
            why = f"it lies in '{path}', which is checked; keep results in a folder apart from it"
            raise DefinitionError(str(folder), why)


def quoted(path: Path) -> str:
    """Return a path as it is typed into a shell."""
    return f'"{path}"' if os.name == "nt" else shlex.quote(str(path))


def neighbour(path: Path) -> str:
    """Return which file or folder beside it may have been meant, as the end of a sentence."""
    try:
        names = sorted(entry.name for entry in path.absolute().parent.iterdir())
    except OSError:
        return ""
    close = difflib.get_close_matches(path.name, names, n=1, cutoff=NEAR)
    return f"; did you mean '{path.with_name(close[0])}'?" if close else ""
