"""The one exception of everything that writes: a definition that somebody here must mend."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class DefinitionError(Exception):
    """A definition (catalogue, template, build file) that cannot be used.

    Parameters
    ----------
    where : str
        File, and key or line, as a person would look for it.
    why : str
        One sentence: what is wrong and what would be right.
    """

    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where}: {why}")
        self.where = where
        self.why = why


def nearest(word: str, known: Iterable[str]) -> str:
    """Return "; did you mean ...?" with the nearest known word, or the list when nothing is near.

    Examples
    --------
    >>> nearest("stroke_nominl", ["stroke_nominal", "deck_height"])
    "; did you mean 'stroke_nominal'?"
    """
    known = sorted(known)
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    if close:
        return f"; did you mean '{close[0]}'?"
    if len(known) <= 12:
        return f"; it can be one of: {', '.join(known)}"
    return ""
