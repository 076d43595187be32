"""Random builds for the proof: natural values first, then blanks, edges and slips."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetgen.catalogue import Entry
from sheetgen.plan import Plan, PlannedCell
from validators.invented_engine import AS_IT_SHOULD_BE, InventedEngine, Value


@dataclass(frozen=True, slots=True)
class Mood:
    """How much of a random build is disturbed.

    Parameters
    ----------
    blank, edge, slip : float
        Shares of entries that are left blank, lie at the edge of what is believed, or are slips.
    left_out, at_edge : int
        Entries, one after the other from build to build, that are left blank or put at an edge on
        top of that: each is missed, or extreme, once while all others are as they should be.
    row_out : float
        Share of builds in which one sheet has nothing for one cylinder, bearing or bank.
    tidy : bool
        A job without a fault.
    """

    blank: float = 0.0
    edge: float = 0.0
    slip: float = 0.0
    left_out: int = 0
    at_edge: int = 0
    row_out: float = 0.0
    tidy: bool = False


MOODS = (
    Mood(tidy=True),
    Mood(left_out=3),
    Mood(left_out=3, row_out=1.0),
    Mood(blank=0.01, edge=0.01, at_edge=4),
    Mood(at_edge=10),
    Mood(blank=0.03, edge=0.02, slip=0.03, at_edge=4),
    Mood(blank=0.15, edge=0.03, slip=0.03, row_out=1.0),
    Mood(blank=0.5, edge=0.02, slip=0.02),
)
COUNTED_AXES = ("cylinder", "main", "crankpin", "bank", "grade")
PLAIN_FEATURES = ("width", "deck", "ring_gap", "shell_wall")
"""Features that formulas speak of by name; the others only stand for themselves."""
EDGES = {
    "part_temperature": (5.0, 40.0, 45.0),
    "gauge_temperature": (5.0, 40.0, 45.0),
    "gauge_repeat_count": (1.0, 1.0, 0.5),
    "ratio_target": (1.0, 1.0, 5.0, 20.0),
    "crosshatch_wanted": (0.0, 179.5, 180.0, 181.0),
    "engine_speed": (0.0, 0.5, 20000.0, -100.0),
    "gasket_bore": (0.0, 0.5, -10.0),
    "hone_turns": (0.0, -1.0),
    "hone_stroke_length": (0.0, -1.0),
    "hone_stroke_rate": (0.0, -1.0),
    "deck_reading": (-10.0, 3.0),
    "rocked_reading": (-10.0, 3.0),
    "gauge_certificate_factor": (0.0, -0.5, -0.5, 1.0),
    "burette_factor": (0.0, -0.5, -0.5, 1.0),
    "main_installed_bore": (0.5, 400.0),
    "rod_installed_bore": (0.5, 400.0),
}
READING_EDGES = (-1.5, 1.5, 0.5, 400.0)
"""A dial's travel and the sizes that are believed."""
BESIDE_EDGE = (1 - 1e-7, 1 + 1e-7)
"""Nobody can type an edge of the other family of units exactly, so there it is not tried."""


def mood_of(seed: int) -> Mood:
    """Return the mood of one build."""
    return MOODS[seed % len(MOODS)]


def random_entries(plan: Plan, seed: int) -> dict[str, Value]:
    """Return one random build: every input's name to what is typed, in the shown unit.

    The same plan and seed give the same build.
    """
    chance = random.Random(f"{plan.build.layout.name} {plan.build.family} {seed}")
    mood = mood_of(seed)
    engine = InventedEngine(chance, plan, tidy=mood.tidy)
    typing = _Typing(plan, chance, engine, mood)
    entries = {cell.name: typing.typed(cell) for cell in plan.cells if cell.is_input}
    for name in _in_turn(plan, seed, chance, "at_edge"):
        entries[name] = typing.at_edge(plan.by_name[name])
    left_out = _in_turn(plan, seed, chance, "left_out")
    if mood.tidy:
        _put_one_fault(seed, chance, entries)
    if chance.random() < mood.row_out:
        left_out += _row(plan, chance)
    return blanked(entries, left_out)


def _put_one_fault(seed: int, chance: random.Random, entries: dict[str, Value]) -> None:
    """Give a tidy job the one fault whose turn it is: none, an entry missing, a part elsewhere."""
    turn = seed // len(MOODS) % 5
    if turn == 1:
        entries[chance.choice(["job_number", "machinist_name", "measured_date"])] = None
    elif turn == 2:
        entries[chance.choice([name for name in entries if name.startswith("crown_mark_")])] = "Z 99"
    elif turn == 3:
        entries[chance.choice([name for name in entries if name.startswith("fitted_rod_")])] = "Z 99"
    elif turn == 4:
        entries[chance.choice([name for name in entries if name.startswith("ring_side_up_")])] = "mark down"


def _in_turn(plan: Plan, seed: int, chance: random.Random, what: str) -> list[str]:
    """Return the entries whose turn it is to be missing, or at an edge.

    Elements that differ in what they are take their turn one by one; of elements that differ only
    in their number one is drawn.
    """
    groups: dict[tuple[str, ...], list[str]] = {}
    for cell in plan.cells:
        entry = plan.catalogue.entries.get(cell.key)
        if not cell.is_input or entry is None or entry.of or entry.text in ("note", "date"):
            continue
        if what == "at_edge" and not entry.measure:
            continue
        if what == "left_out" and entry.over[:1] in (("cylinder",), ("main",), ("crankpin",)):
            continue  # missing often enough in the other moods
        groups.setdefault((cell.key, *_told_apart(entry, cell)), []).append(cell.name)
    turns = list(groups.values())
    step = next(n for n in range(len(turns) * 3 // 8, len(turns)) if math.gcd(n, len(turns)) == 1)
    each = [getattr(mood, what) for mood in MOODS]
    before = sum(each) * (seed // len(MOODS)) + sum(each[: seed % len(MOODS)])
    # Neighbours on a sheet serve one result and would hide each other: the next one stands far away.
    mine = [(before + n) * step % len(turns) for n in range(each[seed % len(MOODS)])]
    return [chance.choice(turns[n]) for n in mine]


def _told_apart(entry: Entry, cell: PlannedCell) -> list[str]:
    """Return those labels of a cell by which it differs in what it is."""
    return [
        label if axis != "feature" or label in PLAIN_FEATURES else ""
        for axis, label in zip(entry.over, cell.index, strict=True)
        if axis not in COUNTED_AXES
    ]


def _row(plan: Plan, chance: random.Random) -> list[str]:
    """Return the entries of one sheet for one cylinder, bearing, crankpin or bank."""
    rows: dict[tuple[str, str, str], list[str]] = {}
    for cell in plan.cells:
        entry = plan.catalogue.entries.get(cell.key)
        if cell.is_input and entry is not None and entry.over and entry.over[0] in COUNTED_AXES:
            rows.setdefault((cell.sheet, entry.over[0], cell.index[0]), []).append(cell.name)
    return chance.choice(list(rows.values()))


class _Typing:
    """What somebody types, in one mood."""

    def __init__(self, plan: Plan, chance: random.Random, engine: InventedEngine, mood: Mood) -> None:
        self.plan, self.chance, self.engine, self.mood = plan, chance, engine, mood
        self.catalogue, self.family = plan.catalogue, plan.build.family

    def typed(self, cell: PlannedCell) -> Value:
        """Return what is typed into one cell."""
        entry, chance, mood = self.catalogue.entries[cell.key], self.chance, self.mood
        if chance.random() < mood.blank:
            return None
        kept = cell.value is not None and chance.random() < 0.6
        if entry.words:
            words = self.catalogue.words[entry.words]
            if entry.key in ("entry_form", "dial_sense", "pin_fit") and chance.random() >= mood.slip:
                return self.engine.natural(entry, cell)
            if entry.key in AS_IT_SHOULD_BE and (mood.tidy or chance.random() < 0.8):
                return self.engine.natural(entry, cell)
            return str(cell.value) if kept else chance.choice(words)
        if not entry.measure:
            return self.engine.natural(entry, cell)
        if chance.random() < mood.edge:
            return self.at_edge(cell)
        if kept:
            return float(cell.value)
        value = self.engine.natural(entry, cell)
        if value is None or isinstance(value, str):
            return value
        if chance.random() < mood.slip:
            value = self.slip(entry, value)
        return self.shown(entry, value)

    def shown(self, entry: Entry, value: float) -> float:
        """Return a number of the millimetre family in the unit of the workbook."""
        return self.catalogue.measures[entry.measure].from_millimetre(value, self.family)

    def slip(self, entry: Entry, value: float) -> float:
        """Return what a slip makes of a number: another sign, unit or decimal point, or nothing."""
        highest = (entry.range or (-1.0, 1.0))[1]
        slips = [0.0, -value, value * 25.4, value / 25.4, value * 10, value / 10, highest * 3]
        return self.chance.choice(slips)

    def at_edge(self, cell: PlannedCell) -> float:
        """Return a number at the edge of what is believed of an entry, nought, or one below it."""
        entry = self.catalogue.entries[cell.key]
        low, high = entry.range or (-1.0, 1.0)
        edges = READING_EDGES if low == READING_EDGES[0] else EDGES.get(entry.key, (low, high, 0.0, -high))
        nudges = (*BESIDE_EDGE, 1.0, 1.0) if self.family == "millimetre" else BESIDE_EDGE
        return self.shown(entry, self.chance.choice(edges) * self.chance.choice(nudges))


def blanked(entries: Mapping[str, Value], names: Sequence[str]) -> dict[str, Value]:
    """Return the same build with some entries left blank.

    Examples
    --------
    >>> blanked({"bore_setting_1": 86.0, "pin_offset": 0.8}, ["pin_offset"])
    {'bore_setting_1': 86.0, 'pin_offset': None}
    """
    return {name: None if name in names else value for name, value in entries.items()}
