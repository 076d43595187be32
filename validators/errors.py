"""Exceptions of the half that reads: a file nobody can read, a recalculation for us to mend."""

from __future__ import annotations

SHOWN_CHARACTERS = 60


def quoted(text: str, longest: int = SHOWN_CHARACTERS) -> str:
    r"""Return a stranger's text fit for one line of a message: no control characters, not too long.

    Examples
    --------
    >>> quoted("xl/sheet1.xml")
    "'xl/sheet1.xml'"
    >>> quoted("a\nb", longest=2)
    "'a\\n...'"
    """
    cut = text[:longest]
    clean = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in cut)
    return f"'{clean}...'" if len(text) > longest else f"'{clean}'"


class UnreadableFile(Exception):
    """A returned file that is not read any further, with everything a finding about it needs.

    Parameters
    ----------
    code : str
        FILE01 cannot be opened, FILE02 not a workbook, FILE03 encrypted, FILE04 carries macros or
        links, FILE05 unsafe structure.
    found : str
        What the file is or holds, as a person would say it.
    expected : str
        What it should have been.
    todo : str
        One imperative sentence to whoever sent it.
    """

    def __init__(self, code: str, found: str, expected: str, todo: str) -> None:
        super().__init__(code, found, expected, todo)
        self.code = code
        self.found = found
        self.expected = expected
        self.todo = todo

    def __str__(self) -> str:
        return f"{self.code}: found {self.found}; expected {self.expected}. {self.todo}"


class RecalculationError(Exception):
    """A formula of our own that the recalculator cannot evaluate.

    Parameters
    ----------
    where : str
        Sheet and cell, or the name, as a person would look for it.
    why : str
        One sentence: what went wrong.
    """

    def __init__(self, where: str, why: str) -> None:
        super().__init__(where, why)
        self.where = where
        self.why = why

    def __str__(self) -> str:
        return f"{self.where}: {self.why}"
