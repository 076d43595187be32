"""Does what a person does in the office program: open, type, look, save.

Run by the operating system's own Python, whose `uno` module speaks to a running office program::

    python3 type_in_office.py PIPE do < jobs.json > outcomes.json
    python3 type_in_office.py PIPE answer    (ends well when the program takes jobs)
    python3 type_in_office.py PIPE leave     (asks the program to go)

A job that cannot be done is answered with one sentence under "failed"; the jobs after it are done.
"""

from __future__ import annotations

import json
import os
import sys
import time
from typing import Any

FILTERS = {"xlsx": "Calc MS Excel 2007 XML", "ods": "calc8", "pdf": "calc_pdf_Export"}
FORMULA_ERRORS = 4  # com.sun.star.sheet.FormulaResult.ERROR
FORMULA = "FORMULA"


def connect(pipe: str) -> Any:
    """Return the component context of the office program that listens at a pipe."""
    import uno  # type: ignore[import-not-found]  # only this process has it

    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext(
        "com.sun.star.bridge.UnoUrlResolver", local
    )
    return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")


def settings(**fields: Any) -> tuple[Any, ...]:
    """Return named values as the office program takes them."""
    from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]

    made = []
    for name, value in fields.items():
        one = PropertyValue()
        one.Name, one.Value = name, value
        made.append(one)
    return tuple(made)


def listener() -> Any:
    """Return a person who answers no question and remembers that it was asked."""
    import unohelper  # type: ignore[import-not-found]
    from com.sun.star.task import (  # type: ignore[import-not-found]
        XInteractionHandler,
    )

    class Listener(unohelper.Base, XInteractionHandler):  # type: ignore[misc]
        def __init__(self) -> None:
            self.asked: list[str] = []

        def handle(self, request: Any) -> None:
            # What is asked is handed over as an exception, which `uno` cannot take; the answers
            # that are offered say enough.
            offered = {
                kind.typeName.rpartition(".")[2]
                for answer in request.getContinuations()
                for kind in answer.getTypes()
            }
            answers = sorted(name.removeprefix("XInteraction") for name in offered
                             if name.startswith("XInteraction"))
            self.asked.append("a question to be answered by " + " or ".join(answers))

    return Listener()


class Program:
    """A running office program."""

    def __init__(self, pipe: str) -> None:
        self.context = connect(pipe)
        self.desktop = self.make("com.sun.star.frame.Desktop")
        self.dispatcher = self.make("com.sun.star.frame.DispatchHelper")

    def make(self, service: str) -> Any:
        return self.context.ServiceManager.createInstanceWithContext(service, self.context)

    def lives(self) -> bool:
        """Return whether the program still answers."""
        try:
            return bool(self.desktop.getImplementationName())
        except Exception:  # whatever a lost connection is called
            return False

    def speak(self, locale: str) -> None:
        """Set the locale: the decimal sign that is typed and shown."""
        provider = self.make("com.sun.star.configuration.ConfigurationProvider")
        access = provider.createInstanceWithArguments(
            "com.sun.star.configuration.ConfigurationUpdateAccess",
            settings(nodepath="/org.openoffice.Setup/L10N"),
        )
        access.setPropertyValue("ooSetupSystemLocale", locale)
        access.commitChanges()

    def open(self, url: str, person: Any, *, hidden: bool) -> Any:
        """Open a workbook as a double click does: nothing is repaired, no macro runs."""
        return self.desktop.loadComponentFromURL(
            url, "_blank", 0, settings(Hidden=hidden, InteractionHandler=person)
        )


class Desk:
    """One open workbook with a cursor in it."""

    def __init__(self, program: Program, document: Any, how: str, *, window: bool) -> None:
        self.program, self.document, self.how, self.window = program, document, how, window
        self.view = document.getCurrentController()
        self.frame = self.view.getFrame()
        self.grid: Any = None
        if how == "keys":
            front = program.make("org.libreoffice.uitest.UITest").getTopFocusWindow()
            self.grid = front.getChild("grid_window")

    def type(self, sheet: str, address: str, text: str) -> dict[str, Any]:
        """Type a text into a cell and say what stands there then.

        By "keys" every sign is a key, so entry rules and the program's own completion act.  By
        "line" the text is handed over whole: locks and the locale act, entry rules do not, as when
        a value is pasted.
        """
        page = self.document.Sheets.getByName(sheet)
        cell = page.getCellRangeByName(address)
        before = cell.getFormula()
        self.view.setActiveSheet(page)
        self.view.select(cell)
        if self.how == "keys":
            self.grid.executeAction("TYPE", settings(TEXT=text))
            self.grid.executeAction("TYPE", settings(KEYCODE="RETURN"))
        elif self.window or not (page.isProtected() and cell.CellProtection.IsLocked):
            # Without a window the program breaks down where it wants to say that a cell is locked.
            line = settings(StringName=text)
            self.program.dispatcher.executeDispatch(self.frame, ".uno:EnterString", "", 0, line)
        after = cell.getFormula()
        return {
            "sheet": sheet,
            "address": address,
            "typed": text,
            "taken": after != before or cell.FormulaLocal.lstrip("'") == text,
            "value": content(cell),
            "shown": cell.getString(),
        }

    def close(self) -> None:
        self.document.close(True)


def content(cell: Any) -> float | str | None:
    """Return what a cell holds: a number, a text, nothing."""
    kind = cell.FormulaResultType2 if cell.Type.value == FORMULA else None
    if cell.Type.value == "EMPTY":
        return None
    if cell.Type.value == "VALUE" or kind == 1:
        return float(cell.getValue())
    return str(cell.getString())


def values(document: Any) -> dict[str, list[list[float | str]]]:
    """Return what every sheet shows, row by row from A1; an empty cell is an empty text."""
    found = {}
    for title in document.Sheets.ElementNames:
        area = used(document.Sheets.getByName(title))
        found[title] = [[x if isinstance(x, str) else float(x) for x in row]
                        for row in area.getDataArray()]
    return found


def used(page: Any) -> Any:
    """Return the area of a sheet from A1 to its last used cell."""
    cursor = page.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last = cursor.RangeAddress
    return page.getCellRangeByPosition(0, 0, last.EndColumn, last.EndRow)


def errors(document: Any) -> list[str]:
    """Return where formulas give an error."""
    return [
        page.queryFormulaCells(FORMULA_ERRORS).RangeAddressesAsString
        for page in (document.Sheets.getByName(title) for title in document.Sheets.ElementNames)
        if page.queryFormulaCells(FORMULA_ERRORS).Count
    ]


def do(program: Program, job: dict[str, Any]) -> dict[str, Any]:
    """Do one job and say what came of it."""
    seconds: dict[str, float] = {}

    def timed(what: str, act: Any) -> Any:
        start = time.perf_counter()
        result = act()
        seconds[what] = time.perf_counter() - start
        return result

    person = listener()
    program.speak(job["locale"])
    window = job["window"]
    document = timed("open", lambda: program.open(job["workbook"], person, hidden=not window))
    if document is None:
        return {"questions": person.asked, "failed": "it does not open"}
    desk = Desk(program, document, job["how"], window=window)
    try:
        opened = document.getArgs()
        loaded = next((item.Value for item in opened if item.Name == "FilterName"), "")
        typed = timed("type", lambda: [desk.type(*entry) for entry in job["entries"]])
        if job["recalculate"]:
            timed("recalculate", document.calculateAll)
        found = {
            "filter": loaded,
            "typed": typed,
            "values": timed("look", lambda: values(document)),
            "errors": errors(document),
        }
        for kind, url in job["saves"].items():
            how = {"FilterName": FILTERS[kind], "InteractionHandler": person}
            if job["password"]:
                how["Password"] = job["password"]
            timed(kind, lambda url=url, how=how: document.storeToURL(url, settings(**how)))
    finally:
        desk.close()
    return {**found, "questions": person.asked, "seconds": seconds, "failed": ""}


def do_all(program: Program) -> None:
    """Do the jobs of the standard input, one after the other."""
    outcomes = []
    for job in json.load(sys.stdin):
        try:
            outcomes.append(do(program, job))
        except Exception as error:  # a job must not stop the next
            told = getattr(error, "Message", "") or str(error) or type(error).__name__
            outcomes.append({"questions": [], "failed": told.splitlines()[0]})
            if not program.lives():
                sys.exit("it has ended by itself")
    json.dump(outcomes, sys.stdout)
    sys.stdout.flush()


def main() -> None:
    """Do what the command line asks."""
    program = Program(sys.argv[1])
    if sys.argv[2] == "do":
        do_all(program)
    elif sys.argv[2] == "leave":
        program.desktop.terminate()
    # The threads of `uno` now and then bring the interpreter down while it tidies up.
    os._exit(0)


if __name__ == "__main__":
    main()
