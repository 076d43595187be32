"""How the program behaves as a whole: where errors end, what a wrong call is told, exit statuses."""

from __future__ import annotations

import atexit
import difflib
import gc
import logging
import shutil
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import typer
from typer.core import TyperGroup

from sheetgen.errors import DefinitionError
from validators.terminal import READER_GONE, TALK, begin, complain, hush, tell

NAME = "boreledger"
WRONG, STOPPED = 2, 130
STATUSES = (
    "Exit status: 0 nothing to act on; 1 something to act on; 2 the call was wrong, a file could not be read "
    f"or written, or the program failed; {STOPPED} stopped by Ctrl-C; {READER_GONE} nobody read the output "
    "to its end."
)
NEAR = 0.7
"""How alike two words are, of 1, before one is offered for the other."""
LOG = logging.getLogger(NAME)
CALL_FAULT: type[Any] = next(kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException")
"""What the parser raises for a wrong call, whichever parser this release of typer carries."""

# All goes with the process: to look for garbage among it at the end would take a tenth of a second.
atexit.register(gc.freeze)


def called() -> str:
    """Return how the program is called from here: by its name, or with the path that was typed."""
    typed = Path(sys.argv[0])
    return NAME if shutil.which(NAME) or typed.name != NAME else str(typed)


def example(call: str) -> str:
    """Return the end of a command's help: one call that works after ``boreledger demo demo``."""
    return f"\b\nExample, after 'boreledger demo demo':\n  {NAME} {call}"


@contextmanager
def sentences() -> Iterator[None]:
    """Turn what is ours to expect into one sentence and exit status 2."""
    try:
        yield
    except DefinitionError as error:
        complain(f"{NAME}: {error}")
        raise typer.Exit(WRONG) from None
    except BrokenPipeError:
        hush(sys.stdout)
        raise typer.Exit(READER_GONE) from None
    except OSError as error:
        where = "" if error.filename is None else f" ({error.filename})"
        complain(f"{NAME}: {error.strerror or error}{where}; nothing was left half written")
        hush(sys.stdout)
        raise typer.Exit(WRONG) from None


@contextmanager
def said_when_stopped(keep: Path | None) -> Iterator[None]:
    """Say after Ctrl-C where what is finished is kept, if it is."""
    try:
        yield
    except KeyboardInterrupt:
        if keep is not None:
            tell(f"What was finished is kept in {keep}: the same call goes on from there.")
        raise


class Program(TyperGroup):
    """The commands together: no traceback leaves them."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run one call and leave with its exit status."""
        begin()
        began = time.monotonic()
        try:
            status = super().main(
                args=args, prog_name=NAME, complete_var=complete_var, standalone_mode=False,
                windows_expand_args=windows_expand_args, **extra,
            )
        except CALL_FAULT as fault:
            complain(call_sentence(fault))
            status = WRONG
        except Exception as error:  # the one place where a fault of ours ends
            LOG.debug("%s", "".join(_traced(error)))
            complain(
                f"{NAME}: the program failed ({type(error).__name__}: {error}); nothing more was written. "
                "Report it with the file and the call; with --verbose it says where."
            )
            status = WRONG
        status = status if isinstance(status, int) else 0
        if status == STOPPED:
            complain(f"{NAME}: stopped; what was not finished was not written")
        if TALK.reader_gone:
            status = READER_GONE
        LOG.debug("%.1f s, exit status %d", time.monotonic() - began, status)
        if standalone_mode:
            sys.exit(status)
        return status


def call_sentence(fault: Any) -> str:
    """Return what is wrong with a call, and how to go on."""
    context = getattr(fault, "ctx", None)
    if type(fault).__name__ == "NoArgsIsHelpError" and context is not None:
        return str(context.get_help())
    path = context.command_path if context is not None else NAME
    return f"{path}: {_what(fault, context)}\nHelp and an example:  {path} --help"


def _what(fault: Any, context: Any) -> str:
    parameter = getattr(fault, "param", None)
    kind = type(fault).__name__
    if kind == "NoSuchOption":
        known = [name for each in context.command.get_params(context) for name in each.opts]
        return f"there is no option '{fault.option_name}'{_near(fault.option_name, known)}"
    if kind == "MissingParameter" and parameter is not None:
        what = "the argument" if parameter.param_type_name == "argument" else "the option"
        about = f": {parameter.help}" if parameter.help else ""
        return f"{what} {'/'.join(parameter.opts)} is missing{about}".rstrip(".")
    message = str(fault.format_message()).rstrip(".")
    if message.startswith("No such command") and context is not None:
        asked = message.split("'")[1]
        return f"there is no command '{asked}'{_near(asked, context.command.commands)}"
    return message[:1].lower() + message[1:]


def _near(word: str, known: Iterable[str]) -> str:
    """Return the nearest known word as a question, or nothing: the help lists them."""
    close = difflib.get_close_matches(word, sorted(known), n=1, cutoff=NEAR)
    return f"; did you mean '{close[0]}'?" if close else ""


def _traced(error: BaseException) -> list[str]:
    import traceback

    return traceback.format_exception(error)
