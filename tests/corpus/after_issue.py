"""Faults that only show beside what was issued: a limit changed in the birth record too, or written anew."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from sheetgen.plan import PlannedCell
from sheetgen.seal import ShopKey
from sheetgen.workbook import birth_rows
from tests.corpus.copies import Ordered, written
from tests.corpus.detection import Outcome, outcomes
from tests.corpus.engines import ENGINES, CorpusEngine, corpus_engine
from tests.corpus.fault import Fault, fault
from tests.corpus.readings import Copy, clean_copy
from tests.returned.edits import edit_birth
from validators.issued import Issued, read_issued
from validators.sheet import check_workbook

KEY = ShopKey(bytes.fromhex("5a" * 32))
SETS = 4
"""So many engines with a changed limit are written for each engine: a plan of its own costs a second."""


@dataclass(frozen=True)
class Sent:
    """A returned copy, and what it is compared with."""

    order: Ordered
    issued: Sequence[bytes] = ()
    key: ShopKey | None = None


@cache
def sealed(engine: CorpusEngine) -> CorpusEngine:
    """Return the engine as a shop sends it out that seals its birth records."""
    return replace(engine, key=KEY)


@cache
def changed(engine: CorpusEngine, number: int) -> tuple[CorpusEngine, PlannedCell]:
    """Return the engine with one limit moved in its build definition, and the cell of that limit."""
    chance = random.Random(f"limit {engine.name} {number}")
    cell = chance.choice(limits(engine))
    moved = round(float(cell.value) * chance.choice([0.9, 1.1]), 6)
    entries = {**engine.build.entries, (cell.key, cell.index): moved}
    return replace(engine, build=replace(engine.build, entries=entries)), cell


def limits(engine: CorpusEngine) -> list[PlannedCell]:
    """Return the cells of limits that were given as numbers."""
    entries = engine.plan.catalogue.entries
    return [
        cell for cell in engine.plan.cells
        if cell.is_input and entries[cell.key].of and isinstance(cell.value, int | float) and cell.value
        and (cell.key, cell.index) in engine.build.entries
    ]


def edited_record(copy: Copy, chance: random.Random, number: int) -> Sent:
    """A limit moved in its cell and in the birth record, by hand: the digest no longer fits."""
    other, cell = changed(copy.engine, number)

    def edit(data: bytes) -> bytes:
        rows = zip(pieces(copy.engine), pieces(other), strict=False)
        for row, (one, two) in enumerate(rows, start=1):
            if one != two:
                data = edit_birth(data, f"build definition {row}", lambda _, new=two: new)
        return data

    value = other.build.entries[cell.key, cell.index]
    return Sent(Ordered("", 0, copy, (fault("BIRTH03", typed={cell.name: value}, edit=edit),)))


def pieces(engine: CorpusEngine) -> list[str]:
    """Return the build definition as the birth record holds it, row by row."""
    return [text for key, text in birth_rows(engine.plan) if key.startswith("build definition")]


def written_anew(copy: Copy, chance: random.Random, number: int) -> Sent:
    """The workbook written anew with another limit, under the same job, sound in itself."""
    other, cell = changed(copy.engine, number)
    found = Fault(frozenset({"CELL09", "CELL13"}), frozenset({cell.name}))
    anew = replace(copy, engine=other)
    return Sent(Ordered("", 0, anew, (found,)), issued=[copy.engine.issued.whole()])


def another_seal(copy: Copy, chance: random.Random, number: int) -> Sent:
    """The same, compared with nothing that was sent but by the shop's key alone."""
    other, _ = changed(copy.engine, number)
    return Sent(Ordered("", 0, replace(copy, engine=other), (fault("CELL12"),)), key=KEY)


def forged_seal(copy: Copy, chance: random.Random, number: int) -> Sent:
    """The same, with the keyed digest of what was sent copied into it."""
    other, _ = changed(sealed(copy.engine), number)
    true = KEY.digest(copy.engine.plan)
    forged = fault("CELL12", edit=lambda data: edit_birth(data, "keyed digest", lambda _: true))
    return Sent(Ordered("", 0, replace(copy, engine=other), (forged,)), key=KEY)


def typed_after_issue(copy: Copy, chance: random.Random, number: int) -> Sent:
    """A limit that stood open when the workbook was sent, and is filled when it comes back."""
    engine = copy.engine
    cell = random.Random(f"open {engine.name} {number}").choice(limits(engine))
    entries = dict(engine.build.entries)
    del entries[cell.key, cell.index]
    open_one = replace(engine, build=replace(engine.build, entries=entries))
    came = fault("CELL09", cell.name, typed={cell.name: float(cell.value)})
    return Sent(Ordered("", 0, replace(copy, engine=open_one), (came,)), issued=[open_one.issued.whole()])


def as_sent(copy: Copy, chance: random.Random, number: int) -> Sent:
    """No fault: sealed, sent, filled, and compared with what was sent."""
    engine = sealed(copy.engine)
    return Sent(Ordered("", 0, replace(copy, engine=engine), ()), issued=[engine.issued.whole()], key=KEY)


AFTER_ISSUE: dict[str, tuple[str, Callable[[Copy, random.Random, int], Sent]]] = {
    "record-edited": ("limit moved in cell and birth record", edited_record),
    "anew": ("written anew with another limit, beside what was issued", written_anew),
    "anew-key": ("written anew with another limit, by the key alone", another_seal),
    "forged": ("written anew, with the keyed digest of the true one", forged_seal),
    "typed-after": ("limit left open, typed after issue", typed_after_issue),
}
UNCHANGED = "as-sent"


def measure_after_issue(
    each: int, clean: int, engines: Sequence[str] = tuple(ENGINES)
) -> list[Outcome]:
    """Check so many copies of each kind, and so many as they were sent, each beside what was issued."""
    found = []
    for kind, make, count in (
        *((kind, make, each) for kind, (_, make) in AFTER_ISSUE.items()), (UNCHANGED, as_sent, clean),
    ):
        for number in range(count):
            engine = corpus_engine(engines[number % len(engines)])
            chance = random.Random(f"{kind} {number}")
            sent = make(clean_copy(engine, chance), chance, number // len(engines) % SETS)
            found += checked(kind, number, sent)
    return found


def checked(kind: str, number: int, sent: Sent) -> list[Outcome]:
    """Write a copy and what was issued into a folder, and check the one beside the other."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{kind}-{number}.xlsx"
        path.write_bytes(written([sent.order])[0])
        issued = [Path(folder) / f"issued-{n}.xlsx" for n in range(len(sent.issued))]
        for place, data in zip(issued, sent.issued, strict=True):
            place.write_bytes(data)
        report = check_workbook(path, Issued(read_issued(issued), sent.key))
    return list(outcomes(replace(sent.order, kind=kind, seed=number), report))
