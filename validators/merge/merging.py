"""One workbook from copies filled by different hands; what hands differ in is never settled silently."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.plan import PlannedCell
from sheetgen.workbook import save_new, workbook_bytes
from validators.checked import Checked
from validators.copies import DAMAGE, open_copies, sheet_findings, titles
from validators.findings import Finding
from validators.merge.claims import Claim, Claims, Value, same_entry
from validators.sealed import seal_of

UNDISPUTED = "undisputed"
JOINT = " / "


@dataclass(frozen=True, slots=True)
class Conflict:
    """One entry in which hands differ, or that cannot be taken; `settled` says how, "" when it is not."""

    name: str
    label: str
    sheet: str
    cell: str
    claims: tuple[Claim, ...]
    settled: str = ""


@dataclass(frozen=True, slots=True)
class Merged:
    """What comes of merging."""

    out: str
    files: tuple[str, ...]
    taken: tuple[int, ...]
    """Entries of each copy that stand in the merged workbook."""
    together: int
    changed: tuple[Conflict, ...]
    """What was given when the workbook went out and is now something else, undisputed."""
    conflicts: tuple[Conflict, ...]
    damage: tuple[Finding, ...]
    """Why nothing was written, when copies are damaged."""

    @property
    def open(self) -> tuple[Conflict, ...]:
        """The conflicts that nobody has settled."""
        return tuple(conflict for conflict in self.conflicts if not conflict.settled)

    @property
    def exit_status(self) -> int:
        """0 nothing to act on, 1 conflicts are left open, 2 nothing was written."""
        return 2 if self.damage else 1 if self.open else 0


def merge(
    paths: Sequence[Path | str],
    out: Path | str,
    *,
    prefer: Path | str | None = None,
    join_notes: bool = False,
) -> Merged:
    """Write one workbook from copies that were filled by different hands.

    The workbook is written anew from the birth record and filled, so that its formulas are as they went
    out.  An entry is taken when every copy that changed it says the same; otherwise it is a conflict and
    stays as it was issued.

    Parameters
    ----------
    paths : paths
        Two or more returned copies of one issued workbook.
    out : path
        The workbook to write; an existing file is never overwritten.
    prefer : path, optional
        The copy, one of `paths`, whose entry stands where hands differ.
    join_notes : bool
        Whether free text that differs is put one after the other.

    Raises
    ------
    DefinitionError
        A copy cannot be read or is of another plan, the call is wrong, or `out` cannot be written.
    """
    out, copies_at = Path(out), [Path(path) for path in paths]
    _check_call(copies_at, out)
    copies = open_copies(copies_at)
    files = titles(copies)
    damage = tuple(f for copy in copies for f in sheet_findings(copy) if f.code in DAMAGE)
    if damage:
        return Merged(str(out), files, (0,) * len(files), 0, (), (), damage)
    preferred = "" if prefer is None else files[_place(copies_at, Path(prefer))]
    claims = Claims(copies, files)
    entries: dict[str, Value] = {}
    conflicts: list[Conflict] = []
    changed: list[Conflict] = []
    taken: Counter[str] = Counter()
    together = 0
    for cell in claims.plan.cells:
        told = claims.about(cell) if cell.is_input else ()
        if not told:
            continue
        entry = claims.plan.catalogue.entries[cell.key]
        text = entry.text
        usable = not any(claim.fault for claim in told)
        if usable and all(same_entry(claim.value, told[0].value, text) for claim in told):
            entries[cell.name] = told[0].value
            taken.update(claim.file for claim in told)
            together += 1
            if claims.issued[cell.name] is not None and entry.kind == "given":
                changed.append(_conflict(copies[0], cell, told, UNDISPUTED))
            continue
        settled, by = _settle(told, preferred, join_notes=join_notes and text == "note")
        if by:
            entries[cell.name] = settled
        conflicts.append(_conflict(copies[0], cell, told, by))
    seal = next(filter(None, map(seal_of, copies)), [])
    issued = workbook_bytes(claims.plan, stored_values=False, seal=seal)
    save_new(out, fill_workbook(issued, claims.plan, entries))
    counts = tuple(taken[file] for file in files)
    return Merged(str(out), files, counts, together, tuple(changed), tuple(conflicts), damage)


def _check_call(paths: Sequence[Path], out: Path) -> None:
    if len(paths) < 2:
        raise DefinitionError("merge", "name at least two returned copies")
    if out.suffix.lower() != ".xlsx":
        raise DefinitionError(str(out), "the workbook's name ends in .xlsx")
    if out.exists():
        raise DefinitionError(str(out), "there is a file of this name; it is not overwritten")


def _place(paths: Sequence[Path], prefer: Path) -> int:
    resolved = [path.resolve() for path in paths]
    if prefer.resolve() not in resolved:
        told = ", ".join(str(path) for path in paths)
        raise DefinitionError(str(prefer), f"--prefer names one of the copies that are merged: {told}")
    return resolved.index(prefer.resolve())


def _settle(told: Sequence[Claim], preferred: str, *, join_notes: bool) -> tuple[Value, str]:
    """Return what stands where hands differ, and who said so; ("", "") leaves it open."""
    for claim in told:
        if claim.file == preferred and not claim.fault and claim.value is not None:
            return claim.value, f"{preferred} is preferred"
    if join_notes and not any(claim.fault for claim in told):
        notes = dict.fromkeys(str(claim.value).strip() for claim in told if claim.value)
        return JOINT.join(notes), "notes are joined"
    return None, ""


def _conflict(copy: Checked, cell: PlannedCell, claims: tuple[Claim, ...], settled: str) -> Conflict:
    return Conflict(cell.name, copy.label(cell), cell.sheet, cell.address, claims, settled)
