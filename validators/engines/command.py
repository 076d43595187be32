"""The command that proves: which engines, which layouts, and what is printed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from sheetgen.build import presets
from sheetgen.catalogue import FAMILIES
from sheetgen.errors import DefinitionError, nearest
from validators.engines.certificate import ENGINES, certify
from validators.engines.engine import EngineError, Write
from validators.prove import mutants_hold, prove_and_print

USUAL, USUAL_THROUGH_FILES = 200, 20
"""Builds for each layout and family where the formulas library computes alone, and where files are filled."""


def prove_with(
    builds: int | None,
    layouts: Sequence[str],
    families: Sequence[str],
    seed: int,
    engines: Sequence[str],
    *,
    write: Write,
    minutes: float | None = None,
    certificate: Path | None = None,
    mutants: bool = False,
    jobs: int = 1,
    echo: Callable[[str], None] = print,
    told: Callable[[str], None] = lambda _: None,
) -> bool:
    """Run the proof for the command line; return whether it holds.

    What was found is echoed at the end; each engine's part is told when it is done.

    Where no number of builds is given, it is one that takes minutes: fewer where an office program has to
    open each of them as a file.

    With the one engine that needs no file, and no certificate asked for, what the builds never brought
    about is told as well.

    Raises
    ------
    DefinitionError
        An unknown layout, family of units or engine; no engine; a certificate that cannot be written.
    """
    for given, known, what in (
        (layouts, presets(), "layout"), (families, FAMILIES, "family of units"), (engines, ENGINES, "engine"),
    ):
        for word in given:
            if word not in known:
                raise DefinitionError("prove", f"'{word}' is no known {what}{nearest(word, known)}")
    alone = list(engines) == ["formulas"]
    builds = builds or (USUAL if alone else USUAL_THROUGH_FILES)
    if alone and certificate is None and minutes is None:
        return prove_and_print(builds, layouts, families, seed, mutants=mutants, jobs=jobs, echo=echo)
    try:
        found = certify(
            layouts or list(presets()), families or list(FAMILIES), builds, seed, engines or list(ENGINES),
            write, minutes=minutes, jobs=jobs, echo=told,
        )
    except EngineError as error:
        raise DefinitionError("prove", str(error)) from None
    for line in found.lines():
        echo(line)
    if certificate is not None:
        try:
            certificate.write_text(found.as_json(), encoding="utf-8")
        except OSError as error:
            raise DefinitionError(str(certificate), f"it cannot be written ({error.strerror})") from None
    return found.holds and (not mutants or mutants_hold(jobs, echo))
