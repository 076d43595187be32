"""The birth record of a returned workbook: which plan it was written from."""

from __future__ import annotations

from functools import lru_cache

from sheetgen.build import build_from_text
from sheetgen.errors import DefinitionError
from sheetgen.plan import BIRTH_SHEET, Plan, plan_workbook
from sheetgen.template import template_version
from validators.errors import UnreadableFile, quoted
from validators.recompute import Recomputer
from validators.returned import ReturnedWorkbook

ASK = "Ask for the file that was sent out to be filled in and returned, saved as an .xlsx workbook."


def read_birth(workbook: ReturnedWorkbook) -> Recomputer:
    """Rebuild, from the birth record alone, what a workbook was written from.

    Raises
    ------
    UnreadableFile
        BIRTH01 there is no birth record, BIRTH02 it speaks of another edition of the templates,
        BIRTH03 it is damaged.
    """
    sheet = workbook.sheet(BIRTH_SHEET)
    rows: dict[str, str] = {}
    if sheet is not None:
        for row in range(1, 60):
            key, value = sheet.cell(f"A{row}").value, sheet.cell(f"B{row}").value
            if isinstance(key, str) and value is not None:
                rows[key] = value if isinstance(value, str) else f"{value:g}"
    if rows.get("record") != "boreledger birth record":
        known = "template" in " ".join(workbook.custom)
        raise UnreadableFile(
            "BIRTH01",
            "a workbook without a birth record" if not known else "a workbook that has lost its birth record",
            "a workbook written by boreledger, with its hidden sheet",
            ASK,
        )
    if rows.get("template version") != str(template_version()):
        raise UnreadableFile(
            "BIRTH02",
            f"template version {quoted(rows.get('template version', 'none'))}",
            f"template version {template_version()}, the one this program knows",
            "Check it with the program that wrote it, or carry the job on in a new workbook.",
        )
    text = "".join(rows.get(f"build definition {number}", "") for number in range(1, 50))
    recomputer = recomputer_for(text)
    digest = recomputer.plan.digest
    if rows.get("plan digest") != digest:
        raise UnreadableFile(
            "BIRTH02",
            f"plan {quoted(rows.get('plan digest', 'none')[:12])}",
            f"plan {digest[:12]}, which this program makes from the same build definition",
            "Check it with the program that wrote it: its templates are not those of this one.",
        )
    return recomputer


@lru_cache(maxsize=64)
def recomputer_for(text: str) -> Recomputer:
    """Return the recomputer for one build definition; sheets of one build share it."""
    try:
        plan: Plan = plan_workbook(build_from_text(text))
    except DefinitionError as error:
        raise UnreadableFile("BIRTH03", error.why, "the build definition that was written", ASK) from None
    return Recomputer(plan)
