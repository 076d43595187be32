"""From a returned workbook to every choice over its engine, in the order in which they touch."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from validators.checked import Checked
from validators.checks.registry import find_all
from validators.choosing.answers import Answer, Choice
from validators.choosing.gaskets import choose_gasket
from validators.choosing.masses import choose_masses
from validators.choosing.measured import Measured
from validators.choosing.moves import moved_cylinders, moved_entries, to_measure_again
from validators.choosing.pairing import choose_pistons
from validators.choosing.shells import choose_shells
from validators.choosing.stock_lists import ShellStock, Weighed
from validators.choosing.weighings import weighed_on_the_sheet
from validators.findings import Severity
from validators.sheet import read_sheet

Value = float | str | None


def choose(
    path: Path | str,
    stock: Mapping[str, ShellStock] | None = None,
    masses: Mapping[str, Weighed] | None = None,
    *,
    banks_alike: bool = False,
    leave_rods: bool = False,
) -> Choice:
    """Choose shells, pistons, pins and rods, and the gasket for a returned workbook; nothing is written.

    Parameters
    ----------
    path : path
        The file as it came back.
    stock : mapping, optional
        Shells in stock by kind of bearing, as `read_stock` gives them; unlimited if not given.
    masses : mapping, optional
        Masses by kind of part, as `read_masses` gives them; those of the workbook if not given.
    banks_alike : bool
        Whether every bank gets a gasket of the same thickness.
    leave_rods : bool
        Whether every rod stays in its cylinder and every pin in its piston.

    Returns
    -------
    Choice
        What must be put right first, and the answers in the order in which they rest on each other.
    """
    return choose_for(read_sheet(path), stock, masses, banks_alike=banks_alike, leave_rods=leave_rods)


def choose_for(
    sheet: Checked,
    stock: Mapping[str, ShellStock] | None = None,
    masses: Mapping[str, Weighed] | None = None,
    *,
    banks_alike: bool = False,
    leave_rods: bool = False,
) -> Choice:
    """Choose for a sheet that is read already; see `choose`."""
    if sheet.unreadable is not None:
        return Choice(file=str(sheet.path), readable=False, first=tuple(find_all(sheet)))
    read = Measured(sheet)
    pistons, piston_from = choose_pistons(read)
    answers, rod_from = [pistons], dict[int, int]()
    pin_from = dict(piston_from)  # a pin stays in its piston
    if masses is not None or (not leave_rods and weighed_on_the_sheet(read)):
        matched, by_mass_pin, rod_from = choose_masses(read, masses, piston_from)
        answers.append(matched)
        pin_from = by_mass_pin or pin_from
    stock = stock or {}
    shell_changes: dict[str, Value] = {}
    for kind in ("main", "rod"):
        answer, changed = choose_shells(read, kind, stock.get(kind, ShellStock()), rod_from)
        answers.append(answer)
        shell_changes |= changed
    sources = moved_entries(read, piston_from, pin_from, rod_from)
    moved = moved_cylinders(piston_from, rod_from)
    pins_apart = [
        n for n, before in pin_from.items() if before != piston_from.get(n, n)
    ]
    again = to_measure_again(read, moved, moved_cylinders(rod_from), pins_apart)
    usable: dict[str, Value] = {
        name: None if source in sheet.unusable else sheet.values.get(source)
        for name, source in sources.items()
    }
    gasket, gasket_changes = choose_gasket(read, {**usable, **shell_changes}, moved, banks_alike=banks_alike)
    answers.append(gasket)
    changes: dict[str, Value] = {name: typed(sheet, source) for name, source in sources.items()}
    changes |= dict.fromkeys(again)
    changes |= {**shell_changes, **gasket_changes}
    return Choice(
        file=str(sheet.path),
        digest=sheet.returned.digest,
        job=read.mark("job_number"),
        layout=read.plan.build.layout.name,
        family=read.plan.build.family,
        unit=read.unit("bore_mean"),
        first=tuple(
            finding
            for finding in find_all(sheet)
            if finding.severity is Severity.BLOCKS and not finding.about_engine
        ),
        answers=tuple(answers),
        sequence=tuple(_sequence(answers, moved, moved_cylinders(rod_from))),
        changes={name: value for name, value in changes.items() if value != typed(sheet, name)},
    )


def typed(sheet: Checked, name: str) -> Value:
    """Return what stands in an entry, usable or not, None when it is empty."""
    reading = sheet.entries[name]
    return reading.value if reading.value is not None else reading.text or None


def _sequence(answers: list[Answer], moved: list[int], rods_moved: list[int]) -> list[str]:
    told = [
        "Pistons first: which piston stands in which bore decides its clearance, its height at "
        "the deck and its "
        "ratio."
    ]
    if any(answer.topic == "reciprocating masses" for answer in answers):
        told.append("Then pins and rods, to the pistons as they are placed now.")
    if rods_moved:
        told.append(
            "Then shells: the rod bearings are reckoned with each rod's housing on its new "
            "crankpin, from the "
            "sizes as measured."
        )
    told.append(
        "The gasket last: it rests on the heights at the deck and on the largest clearances of the bearings."
    )
    if moved:
        told.append(
            "Heights, rocked readings, crown marks and what was noted at assembly of "
            + ", ".join(f"cylinder {n}" for n in moved)
            + " were taken with the old parts. They are empty in the copy: measure them again, "
            "enter them, and "
            "choose again. Until then the gasket and the ratio of those cylinders are provisional."
        )
    return told
