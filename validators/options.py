"""Options that several commands share, and the words that a shell may complete."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from validators.terminal import be_quiet, be_verbose

Quiet = Annotated[
    bool, typer.Option("--quiet", "-q", callback=be_quiet, help="No talk; errors are said all the same.")
]
Verbose = Annotated[
    bool, typer.Option("--verbose", "-v", callback=be_verbose, help="Tell more, on standard error.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
Jobs = Annotated[int, typer.Option(help="Worker processes.", min=1)]
Key = Annotated[
    Path | None, typer.Option(help="The shop's key, for the keyed digest of the birth record.")
]
NewFile = Annotated[Path, typer.Option("--out", "-o", help="The workbook to write; never one that exists.")]


def layouts() -> list[str]:
    """Return the known layouts, for completion."""
    from sheetgen.build import presets

    return list(presets())


def families() -> list[str]:
    """Return the families of units, for completion."""
    from sheetgen.catalogue import FAMILIES

    return list(FAMILIES)


def papers() -> list[str]:
    """Return the sizes of paper, for completion."""
    from validators.record.as_html import PAPERS

    return list(PAPERS)
