"""What the record of a build says: who measured what with what, every verdict, and what still holds it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.compare.comparison import entry_text
from validators.copies import open_copy, sheet_findings
from validators.findings import Finding, Severity, Verdict
from validators.judged import CHECK_ENTRY, CHOICE_AXIS
from validators.record.figures import Row, decimals, figure, rows_of

RELEASED = "no measurement holds it"
HELD = "held"
JOB = (
    "job_number", "engine_name", "builder_name", "job_date", "machinist_name", "measured_date", "job_note"
)
BUILD = ("chosen_candidate", "stroke_nominal", "rod_length", "compression_height", "displacement_total")
GAUGE = (
    ("Gauge", ("gauge_name",)),
    ("Calibrated on", ("gauge_calibrated",)),
    ("Read", ("gauge_use",)),
    ("Resolution, UNIT", ("gauge_resolution",)),
    ("Certificate U, UNIT; k", ("gauge_certificate_uncertainty", "gauge_certificate_factor")),
    ("Repeats s, UNIT; n", ("gauge_repeat_spread", "gauge_repeat_count")),
    ("Typed as", ("entry_form",)),
    ("Part; gauge, °C", ("part_temperature", "gauge_temperature")),
    ("U of a reading, UNIT", ("size_guard",)),
)
"""Columns of the table of gauges; UNIT is the unit of length."""
COMMON = (
    "one_thermometer", "thermometer_bound", "guard_factor", "burette_resolution", "burette_uncertainty",
    "surface_uncertainty",
)
FITTED = (
    "piston_mark", "crown_mark", "rod_mark", "ring_mark", "rod_shell_upper", "rod_shell_lower",
    "torque_plate", "main_shell_upper", "main_shell_lower", "gasket_chosen", "retainer_state",
    "ring_hold_state", "fitted_state",
)
MASSES = (
    "piston_mass", "pin_mass", "rod_small_mass", "rod_big_mass", "rod_total_mass",
    "cylinder_reciprocating_mass", "bob_weight",
)
GAP_ANGLE = "ring_gap_angle"
STEPS = ("step_state", "step_by", "step_date")
LONGEST = 600
"""Characters of a note that are printed; the rest stays in the workbook."""

COUNTED = {
    "missing_total": "entries still missing",
    "mark_faults": "marks missing, doubled or in another bore",
    "fitted_faults": "bores with another part than was measured for them",
    "fit_points_open": "points of rings, pins and retainers that are not passed",
}
"""What holds the assembly besides verdicts."""
WORDS = ("under", "over", "too close to call", "not measured", "no limit set", "check limits", CHECK_ENTRY)


@dataclass(frozen=True, slots=True)
class Told:
    """A figure or text with what it is called."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the assembly: what it is, how it stands, and who signed it when."""

    title: str
    state: str
    by: str
    date: str


@dataclass(frozen=True, slots=True)
class Record:
    """All that is printed."""

    title: str
    file: str
    digest: str
    template_version: str
    family: str
    state: str
    job: tuple[Told, ...]
    build: tuple[Told, ...]
    holds: tuple[str, ...]
    looks: int
    """Findings about the sheet that need a look and hold nothing."""
    counted: tuple[Told, ...]
    checks: tuple[tuple[str, tuple[Row, ...]], ...]
    gauge_heads: tuple[str, ...]
    gauges: tuple[tuple[str, ...], ...]
    common: tuple[Told, ...]
    fitted: tuple[tuple[str, str, tuple[str, ...]], ...]
    """Label, what they are one for each of, and the marks."""
    masses: tuple[tuple[str, str, tuple[str, ...]], ...]
    """The same of what was weighed; kinds that were not weighed are left out."""
    rings: tuple[Told, ...]
    """Where the gap of each ring stands."""
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]

    @property
    def exit_status(self) -> int:
        """0 nothing holds the assembly, 1 something does."""
        return 0 if self.state == RELEASED else 1


def record(path: Path | str) -> Record:
    """Return the record of a build, from a workbook as it came back.

    Everything is recomputed; what the file stores for its formulas is not believed.

    Raises
    ------
    DefinitionError
        The file cannot be read or is no workbook of ours.
    """
    sheet = open_copy(Path(path))
    plan = sheet.plan
    faults = sheet_findings(sheet)
    holds = tuple(_holds(sheet, faults))
    measured = str(sheet.reference["assembly_state"])
    number, unit = _entry(sheet, "job_number"), plan.unit("gauge_resolution")
    words = Counter(verdict.word for verdict in sheet.verdicts)
    return Record(
        title=f"Build record {number}".rstrip(),
        file=sheet.path.name,
        digest=sheet.returned.digest,
        template_version=str(plan.version),
        family=plan.build.family,
        state=measured if measured != RELEASED or not holds else HELD,
        job=(
            *(Told(sheet.label(plan.by_name[key]), _entry(sheet, key)) for key in JOB),
            Told("Layout", f"{plan.build.layout.name}, {plan.build.family} family"),
        ),
        build=tuple(_told(sheet, key) for key in BUILD),
        holds=holds,
        looks=sum(finding.severity is Severity.LOOK for finding in faults),
        counted=tuple(Told(word, str(words[word])) for word in ("within", *WORDS) if words[word]),
        checks=tuple(_checks(sheet)),
        gauge_heads=("Of", *(head.replace("UNIT", unit) for head, _ in GAUGE)),
        gauges=tuple(_gauges(sheet)),
        common=tuple(_told(sheet, key) for key in COMMON),
        fitted=tuple(_each(sheet, FITTED)),
        masses=tuple(row for row in _each(sheet, MASSES) if any(row[2])),
        rings=tuple(
            Told(sheet.plan.catalogue.axes["ringgap"].elements[cell.index[0]], shown(sheet, cell))
            for cell in plan.by_key[GAP_ANGLE]
        ),
        steps=tuple(_steps(sheet)),
        cautions=tuple(str(cell.value) for cell in plan.cells if cell.role == "caution"),
    )


def _told(sheet: Checked, key: str) -> Told:
    return Told(sheet.plan.catalogue.entries[key].label, shown(sheet, sheet.plan.by_name[key]))


def _entry(sheet: Checked, name: str) -> str:
    text = entry_text(sheet, sheet.plan.by_name[name]).strip()
    return text if len(text) <= LONGEST else f"{text[:LONGEST]} ... (longer in the workbook)"


def _unit(sheet: Checked, key: str) -> str:
    unit = sheet.plan.unit(key)
    return f", {unit}" if unit else ""


def shown(sheet: Checked, cell: PlannedCell, *, unit: bool = True) -> str:
    """Return an entry or a result as its cell shows it; "" when it is not there or must be put right."""
    entry = sheet.plan.catalogue.entries[cell.key]
    if cell.name in sheet.spoilt:
        return CHECK_ENTRY
    if not cell.is_input:
        value = sheet.reference.get(cell.name)
    elif entry.measure:
        value = sheet.values[cell.name]
    else:
        return _entry(sheet, cell.name)
    if not isinstance(value, int | float):
        return str(value or "")
    text = figure(float(value), decimals(sheet, cell.key))
    return f"{text} {sheet.plan.unit(cell.key)}".rstrip() if unit else text


def _holds(sheet: Checked, faults: Sequence[Finding]) -> Iterator[str]:
    """Yield every reason why the assembly is held, in words."""
    plan, results = sheet.plan, sheet.reference
    by_item: dict[str, list[Verdict]] = {}
    for verdict in sheet.verdicts:
        by_item.setdefault(plan.by_name[verdict.name].key, []).append(verdict)
    for key, verdicts in by_item.items():
        cell = plan.by_name[verdicts[0].name]
        entry = plan.catalogue.entries[key]
        told = []
        for word in WORDS:
            where = [plan.by_name[v.name] for v in verdicts if v.word == word]
            if where and not (entry.optional and word in ("not measured", "no limit set")):
                told.append(f"{word} {_places(sheet, where, len(verdicts))}".rstrip())
        if told:
            yield f"{entry.label} ({cell.sheet}): {'; '.join(told)}"
    for key, told_as in COUNTED.items():
        count = results.get(key)
        if isinstance(count, float) and count:
            yield f"{count:.0f} {told_as}"
    for finding in faults:
        if finding.severity is Severity.BLOCKS:
            about = f"{finding.code} {finding.name}, {finding.place}: {finding.found}"
            yield f"about the sheet: {about}"


def _places(sheet: Checked, cells: Sequence[PlannedCell], total: int) -> str:
    over = sheet.plan.catalogue.entries[cells[0].key].over
    if not over or over == (CHOICE_AXIS,):
        return ""
    if len(cells) == total:
        return "everywhere"
    axes = [sheet.plan.catalogue.axes[axis] for axis in over]
    first = ", ".join(dict.fromkeys(axes[0].elements.get(c.index[0], c.index[0]) for c in cells))
    return f"at {axes[0].label} {first}"


def _checks(sheet: Checked) -> Iterator[tuple[str, tuple[Row, ...]]]:
    """Yield every verdict, sheet by sheet, one row for each judged quantity."""
    grouped: dict[str, list[Verdict]] = {}
    order = [s.template.title for s in sheet.plan.sheets]
    for verdict in sheet.verdicts:
        grouped.setdefault(sheet.plan.by_name[verdict.name].sheet, []).append(verdict)
    for title in sorted(grouped, key=order.index):
        yield title, tuple(rows_of(sheet, grouped[title]))


def _gauges(sheet: Checked) -> Iterator[tuple[str, ...]]:
    plan = sheet.plan
    for feature, label in plan.catalogue.axes["feature"].elements.items():
        row = [label]
        for _, keys in GAUGE:
            cells = [plan.by_name.get(f"{key}_{feature}") for key in keys]
            if keys == ("size_guard",) and cells == [None]:
                cells = [plan.by_name[f"plain_guard_{feature}"]]
            texts = [shown(sheet, cell, unit=False) for cell in cells if cell is not None]
            row.append("; ".join(text for text in texts if text))
        yield tuple(row)


def _steps(sheet: Checked) -> Iterator[Step]:
    by_key = sheet.plan.by_key
    for cells in zip(*(by_key[key] for key in STEPS), strict=True):
        title = sheet.row_labels[cells[0].sheet, cells[0].row]
        yield Step(title, *(shown(sheet, cell) for cell in cells))


def _each(sheet: Checked, keys: Sequence[str]) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield label, axis and values of quantities that each part has."""
    plan = sheet.plan
    for key in keys:
        entry, cells = plan.catalogue.entries[key], plan.by_key[key]
        axis = plan.catalogue.axes[entry.over[0]].label
        where = f" ({cells[0].sheet.lower()})" if "shell" in key else ""
        values = tuple(shown(sheet, cell, unit=False) for cell in cells)
        yield f"{entry.label}{where}{_unit(sheet, key)}", axis, values
