"""The demo: an invented engine, its workbook, and three copies as they come back from a machine shop."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sheetgen.demo_entries import FOLDER, demo_entries, demo_plan
from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook, type_in
from sheetgen.plan import Plan
from sheetgen.sources import read_toml
from sheetgen.workbook import save_new, store_values, workbook_bytes

ISSUED, RETURNED = "WB-017-issued.xlsx", "returned"
"""The workbook as it goes out, and the folder of the copies as they come back."""
BESIDE = ("build.toml", "shells.csv", "masses.csv", "parts.csv")
"""What is to be tried as well: the build file, and lists for choosing: stock, masses, parts on offer."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One returned copy: what it is called and what is special about it."""

    file: str
    about: str
    sections: tuple[str, ...]
    typed_over: str = ""


COPIES = (
    Copy("WB-017-clean.xlsx", "everything measured and within its limits", ("all",)),
    Copy(
        "WB-017-parts-out.xlsx",
        "typed without a fault, but a piston rocks above its deck, a main bearing needs an odd shell, "
        "a bore is out of round, a rod bolt has stretched for good and a piston is heavy",
        ("all", "parts_out"),
    ),
    Copy(
        "WB-017-faults.xlsx",
        "a formula typed over, an inch value in a millimetre cell, a decimal comma, a deviation where "
        "a size belongs, two pistons with one mark, the lengths of a bolt swapped, a rod weighed askew",
        ("all", "faults"),
        "typed_over",
    ),
)


def write_demo(folder: Path) -> tuple[Path, list[Path]]:
    """Write the issued workbook, its returned copies and what was used for them into a folder.

    Raises
    ------
    DefinitionError
        A file of that name is there already, or the folder cannot be written to.
    """
    try:
        (folder / RETURNED).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DefinitionError(str(folder), f"the folder cannot be made ({error.strerror})") from None
    plan = demo_plan()
    issued = workbook_bytes(plan)
    save_new(folder / ISSUED, issued)
    returned = []
    for copy in COPIES:
        path = folder / RETURNED / copy.file
        save_new(path, returned_copy(issued, plan, copy))
        returned.append(path)
    for name in BESIDE:
        save_new(folder / name, (FOLDER / name).read_bytes())
    return folder / ISSUED, returned


def returned_copy(issued: bytes, plan: Plan, copy: Copy) -> bytes:
    """Return one copy as it comes back."""
    data = fill_workbook(issued, plan, copy_entries(plan, copy))
    over = read_toml(FOLDER / "readings.toml").get(copy.typed_over, {})
    if over:
        cells = plan.by_name
        data = store_values(
            type_in(data, {(cells[name].sheet, cells[name].address): value for name, value in over.items()})
        )
    return data


def copy_entries(plan: Plan, copy: Copy) -> dict[str, Any]:
    """Return what is typed into one copy: cell name to value."""
    return demo_entries(plan, copy.sections)
