"""The birth record of a returned workbook: which plan it was written from."""

from __future__ import annotations

import math
from functools import lru_cache

from sheetgen.build import BuildDefinition, build_from_text
from sheetgen.errors import DefinitionError
from sheetgen.optional_sheets import catalogue_without
from sheetgen.plan import BIRTH_SHEET, Plan, plan_workbook
from sheetgen.template import template_version
from validators.errors import UnreadableFile, quoted
from validators.readings import stored_day
from validators.recompute import Recomputer
from validators.returned import ReturnedSheet, ReturnedWorkbook

ASK = "Ask for the file that was sent out to be filled in and returned, saved as an .xlsx workbook."
RECORD = "boreledger birth record"
LAST_ROW = 60
UNREADABLE = "the build definition cannot be read"
LONGEST_REASON = 120
LONGEST_NOTE = 32_767


def read_birth(workbook: ReturnedWorkbook) -> Recomputer:
    """Rebuild, from the birth record alone, what a workbook was written from.

    Raises
    ------
    UnreadableFile
        BIRTH01 there is no birth record, BIRTH02 it speaks of another template version, BIRTH03 it is
        damaged or was edited.
    """
    sheet, rows = workbook.sheet(BIRTH_SHEET), record_rows(workbook)
    if rows.get("record") != RECORD:
        lost = "boreledger template" in workbook.custom or sheet is not None
        raise UnreadableFile(
            "BIRTH01",
            "a workbook that has lost its birth record" if lost else "a workbook without a birth record",
            "a workbook written by boreledger, with its hidden sheet",
            ASK,
        )
    version = rows.get("template version", "")
    if version != str(template_version()):
        raise UnreadableFile(
            "BIRTH02",
            f"template version {quoted(version)}" if version else "no template version",
            f"template version {template_version()}, the one this program knows",
            "Check it with the program that wrote it, or carry the job on in a new workbook.",
        )
    recomputer = recomputer_for("".join(rows.get(f"build definition {n}", "") for n in range(1, LAST_ROW)))
    digest, told = recomputer.plan.digest, rows.get("plan digest", "")
    if told != digest:
        raise UnreadableFile(
            "BIRTH03",
            f"a build definition that does not give the plan {quoted(told[:12])} it was written from"
            if told else "no plan digest",
            f"plan '{digest[:12]}', which follows from the build definition in the file",
            "Ask for the file that was sent out: somebody edited the hidden sheet of this one, or it was "
            "written by another edition of the program.",
        )
    return recomputer


def record_rows(workbook: ReturnedWorkbook) -> dict[str, str]:
    """Return what a birth record says, by the heads of its rows; nothing where there is none."""
    sheet = workbook.sheet(BIRTH_SHEET)
    return {} if sheet is None else _rows(sheet)


def _rows(sheet: ReturnedSheet) -> dict[str, str]:
    rows: dict[str, str] = {}
    for row in range(1, LAST_ROW):
        key, value = sheet.cell(f"A{row}").value, sheet.cell(f"B{row}").value
        if isinstance(key, str) and isinstance(value, str | float):
            rows[key] = value if isinstance(value, str) else f"{value:.15g}"
    return rows


@lru_cache(maxsize=64)
def recomputer_for(text: str) -> Recomputer:
    """Return the recomputer for one build definition; sheets of one build share it.

    Raises
    ------
    UnreadableFile
        BIRTH03 the text is no build definition, or one that cannot be.
    """
    try:
        build = build_from_text(text)
        _check_values(build)
        plan: Plan = plan_workbook(build)
    except DefinitionError as error:
        raise _damaged(error.why) from None
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError):
        raise _damaged(UNREADABLE) from None
    return Recomputer(plan)


def _check_values(build: BuildDefinition) -> None:
    """Refuse what a stranger may have put into a build definition where a value belongs."""
    entries = catalogue_without(build.left_out).entries
    for (key, _), value in build.entries.items():
        entry = entries[key]
        if entry.measure:
            good = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        elif entry.text == "date":
            good = isinstance(value, str) and stored_day(value) is not None
        else:
            good = isinstance(value, str) and len(value) <= LONGEST_NOTE
        if not good:
            raise DefinitionError("birth record", f"no proper value of {key}")


def _damaged(why: str) -> UnreadableFile:
    reason = "" if why.startswith(UNREADABLE) else f": {quoted(why, LONGEST_REASON)[1:-1]}"
    found = f"a build definition that is cut or was changed{reason}"
    return UnreadableFile("BIRTH03", found, "the build definition as it was written", ASK)
