"""Computes builds in a running office program; run by the operating system's own Python, which has `uno`.

::

    python3 office_script.py PIPE compute URL
    python3 office_script.py PIPE answer    (ends well when the program takes jobs)
    python3 office_script.py PIPE leave     (asks the program to go)

``compute`` opens the workbook once.  Each line of standard input is one build: a list of
``[sheet, column, row, values]``, a rectangle of entries by the place of its first cell, counted from 0, and
row by row.  Each is answered with one line: what every sheet shows, row by row, and where formulas give an
error.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any

FORMULA_ERRORS = 4  # com.sun.star.sheet.FormulaResult.ERROR


def connect(pipe: str) -> Any:
    """Return the desktop of the office program that listens at a pipe."""
    import uno  # type: ignore[import-not-found]  # only this process has it

    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext(
        "com.sun.star.bridge.UnoUrlResolver", local
    )
    context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
    return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)


def hidden() -> tuple[Any, ...]:
    """Return how a workbook is opened without a window."""
    from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]

    one = PropertyValue()
    one.Name, one.Value = "Hidden", True
    return (one,)


def put(page: Any, column: int, row: int, values: list[list[Any]]) -> None:
    """Put a rectangle of entries in one call: numbers, texts as they stand, or nothing for an empty text."""
    area = page.getCellRangeByPosition(column, row, column + len(values[0]) - 1, row + len(values) - 1)
    area.setDataArray(tuple(tuple("" if x is None else x for x in line) for line in values))


def look(document: Any) -> dict[str, Any]:
    """Return what every sheet shows, and where formulas give an error."""
    found: dict[str, Any] = {"values": {}, "errors": {}}
    for title in document.Sheets.ElementNames:
        page = document.Sheets.getByName(title)
        cursor = page.createCursor()
        cursor.gotoEndOfUsedArea(False)
        last = cursor.RangeAddress
        area = page.getCellRangeByPosition(0, 0, last.EndColumn, last.EndRow)
        found["values"][title] = [
            [x if isinstance(x, str | float | int) else None for x in row] for row in area.getDataArray()
        ]
        wrong = page.queryFormulaCells(FORMULA_ERRORS)
        found["errors"][title] = [
            [a.StartColumn, a.StartRow, a.EndColumn, a.EndRow] for a in wrong.RangeAddresses
        ]
    return found


def compute(desktop: Any, url: str) -> None:
    """Answer builds until no more come."""
    document = desktop.loadComponentFromURL(url, "_blank", 0, hidden())
    if document is None:
        sys.exit("the workbook does not open")
    document.enableAutomaticCalculation(False)
    document.UndoManager.lock()
    pages = {title: document.Sheets.getByName(title) for title in document.Sheets.ElementNames}
    before: dict[tuple[str, int, int], Any] = {}
    try:
        for line in sys.stdin:
            for sheet, column, row, values in json.loads(line):
                if before.get((sheet, column, row)) != values:
                    put(pages[sheet], column, row, values)
                    before[sheet, column, row] = values
            document.calculateAll()
            json.dump(look(document), sys.stdout)
            sys.stdout.write("\n")
            sys.stdout.flush()
    finally:
        document.close(True)


def main() -> None:
    """Do what the command line asks."""
    desktop = connect(sys.argv[1])
    if sys.argv[2] == "compute":
        compute(desktop, sys.argv[3])
    elif sys.argv[2] == "leave":
        desktop.terminate()
    sys.stdout.flush()
    # The threads of `uno` now and then bring the interpreter down while it tidies up.
    os._exit(0)


if __name__ == "__main__":
    main()
