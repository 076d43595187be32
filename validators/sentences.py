"""What goes wrong in a command is one sentence and an exit status, never a traceback."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import typer

from sheetgen.errors import DefinitionError


@contextmanager
def sentences() -> Iterator[None]:
    """Turn what is ours to expect into one sentence and exit status 2."""
    try:
        yield
    except DefinitionError as error:
        typer.echo(f"boreledger: {error}", err=True)
        raise typer.Exit(2) from None
    except KeyboardInterrupt:
        typer.echo("boreledger: stopped; nothing was changed", err=True)
        raise typer.Exit(130) from None
    except BrokenPipeError:
        sys.stderr.close()
        raise typer.Exit(0) from None
