"""What the command `choose` does once its words are parsed."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sheetgen.errors import DefinitionError
from sheetgen.workbook import save_new
from validators.choosing.choice_json import choice_json
from validators.choosing.choice_text import choice_text
from validators.choosing.choose import choose_for
from validators.choosing.combination_page import combination_page
from validators.choosing.combination_text import combinations_json, combinations_text
from validators.choosing.combinations import rank
from validators.choosing.entered import entered
from validators.choosing.stock_lists import read_masses, read_offers, read_stock
from validators.sheet import read_sheet

LOG = logging.getLogger("boreledger")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was asked for."""

    workbook: Path
    stock: Path | None = None
    masses: Path | None = None
    offered: Path | None = None
    out: Path | None = None
    report: Path | None = None
    banks_alike: bool = False
    leave_rods: bool = False
    as_json: bool = False


def run(asked: Asked, echo: Callable[[str], None], tell: Callable[[str], None]) -> int:
    """Choose, show and write what was asked for; return the exit status.

    Raises
    ------
    DefinitionError
        A call or a list that cannot be, or a file that is there already.
    """
    try:
        return _run(asked, echo, tell)
    except DefinitionError:
        raise
    except Exception as error:  # the one place where a fault of ours is caught
        LOG.exception("%s", asked.workbook)
        raise DefinitionError(
            str(asked.workbook),
            f"this program failed on it ({type(error).__name__}); report it with the file, and run "
            "'boreledger --verbose choose' to see what happened",
        ) from None


def _run(asked: Asked, echo: Callable[[str], None], tell: Callable[[str], None]) -> int:
    _possible(asked)
    stock = None if asked.stock is None else read_stock(asked.stock)
    masses = None if asked.masses is None else read_masses(asked.masses)
    offers = None if asked.offered is None else read_offers(asked.offered)
    sheet = read_sheet(asked.workbook)
    if offers is not None and sheet.unreadable is None:
        ranked = rank(sheet, offers)
        echo(combinations_json(ranked) if asked.as_json else combinations_text(ranked))
        if asked.report is not None:
            save_new(asked.report, combination_page(ranked).encode())
            tell(f"Report: {asked.report}")
        return ranked.exit_status
    choice = choose_for(sheet, stock, masses, banks_alike=asked.banks_alike, leave_rods=asked.leave_rods)
    echo(choice_json(choice) if asked.as_json else choice_text(choice))
    if asked.out is not None and choice.readable:
        save_new(asked.out, entered(sheet, choice))
        tell(f"A copy with the choice entered: {asked.out}")
    return choice.exit_status


def _possible(asked: Asked) -> None:
    """Say what does not go together before anything is computed."""
    if asked.leave_rods and asked.masses is not None:
        raise DefinitionError("--leave-rods", "it does not go with --masses, which is there to match them")
    if asked.offered is not None:
        for given, option in ((asked.stock, "--stock"), (asked.masses, "--masses"), (asked.out, "--out")):
            if given is not None:
                raise DefinitionError(
                    option, "it does not go with --offered: parts are chosen before they are fitted"
                )
    elif asked.report is not None:
        raise DefinitionError("--report", "it goes with --offered")
    for path, endings in ((asked.out, (".xlsx",)), (asked.report, (".html", ".htm"))):
        if path is None:
            continue
        if path.suffix.lower() not in endings:
            raise DefinitionError(str(path), f"its name ends in {endings[0]}")
        if path.exists():
            raise DefinitionError(str(path), "there is a file of this name; it is not overwritten")
