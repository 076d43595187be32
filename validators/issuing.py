"""A workbook made ready to be sent: what the builder typed into it becomes part of its birth record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.layout import Index
from sheetgen.plan import Plan, plan_workbook
from sheetgen.seal import ShopKey
from sheetgen.workbook import save_new, workbook_bytes
from validators.checked import Checked
from validators.contents import Held, held_in, same_held
from validators.copies import DAMAGE, open_copy, sheet_findings

MOST_NAMED = 6
UNDATED = "undated"


def issue(path: Path, out: Path, *, key: ShopKey | None = None) -> Plan:
    """Write a workbook anew, with all that is given in it in its birth record.

    Limits, targets and sizes that were typed since it was written are then compared when it returns; so is
    the keyed digest, when there is a key.  Readings that were typed stand in it as well, and stay readings.

    Raises
    ------
    DefinitionError
        The workbook cannot be read, is damaged, or holds entries that cannot be used; or `out` cannot be
        written.
    """
    if out.suffix.lower() != ".xlsx":
        raise DefinitionError(str(out), "the workbook's name ends in .xlsx")
    if out.exists():
        raise DefinitionError(str(out), "there is a file of this name; it is not overwritten")
    sheet = open_copy(path)
    _refuse_faulty(sheet)
    plan = plan_workbook(replace(sheet.plan.build, entries=_given(sheet)))
    data = workbook_bytes(plan, key=key)
    readings = _readings(sheet, plan)
    save_new(out, fill_workbook(data, plan, readings) if readings else data)
    return plan


def _refuse_faulty(sheet: Checked) -> None:
    damage = [finding for finding in sheet_findings(sheet) if finding.code in DAMAGE]
    if damage:
        first = damage[0]
        told = f"{first.code} {first.name}, {first.place}: {first.found}"
        why = f"{told}. Mend it, or start from a new workbook"
        raise DefinitionError(str(sheet.path), why)
    entries = sheet.entries
    faulty = [name for name in entries if name in sheet.unusable or entries[name].fault == UNDATED]
    if faulty:
        cells = [sheet.place(sheet.plan.by_name[name]) for name in faulty[:MOST_NAMED]]
        more = f" and {len(faulty) - MOST_NAMED} more" if len(faulty) > MOST_NAMED else ""
        told = "; ".join(map(str, cells))
        raise DefinitionError(str(sheet.path), f"entries that must be put right first: {told}{more}")


def _given(sheet: Checked) -> dict[tuple[str, Index], Any]:
    """Return the build's entries as they stand in the workbook now; what is as written stays as it was."""
    entries = dict(sheet.plan.build.entries)
    for reading in sheet.entries.values():
        cell = reading.planned
        entry = sheet.plan.catalogue.entries[cell.key]
        if entry.kind != "given":
            continue
        now = reading.value if entry.words else held_in(sheet, reading)
        place = cell.key, cell.index
        if isinstance(now, float) and not sheet.plan.catalogue.measure_of(cell.key):
            now = f"{now:.15g}"  # a mark that looks like a number
        if now is None:
            entries.pop(place, None)
        elif place not in entries or not same_held(now, cell.value):
            entries[place] = now
    return entries


def _readings(sheet: Checked, plan: Plan) -> dict[str, Any]:
    """Return what is typed besides what is given, as it is stored."""
    found: dict[str, Any] = {}
    for name, reading in sheet.entries.items():
        now: Held = held_in(sheet, reading)
        if not same_held(now, plan.by_name[name].value):
            is_day = plan.catalogue.entries[reading.planned.key].text == "date"
            found[name] = _day(now) if is_day and isinstance(now, str) else now
    return found


def _day(text: str) -> date | str:
    """Return a day as it is typed into a cell; what is no day stays as it is."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text
