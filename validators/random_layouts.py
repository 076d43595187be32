"""Random layouts for the proof: what a build file may say, beyond the layouts known by name."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path

from sheetgen.build import BuildDefinition, read_build
from sheetgen.catalogue import FAMILIES
from sheetgen.layout import LAYOUTS, MOST_CYLINDERS, MOST_GROUPS
from sheetgen.layout_file import NUMBERINGS

MOST_MAINS, MOST_GRADES = 25, 5


def layout_file(seed: int) -> str:
    """Return the text of a build file with a random layout; the same seed gives the same text.

    Examples
    --------
    >>> layout_file(3) == layout_file(3), layout_file(3) == layout_file(4)
    (True, False)
    """
    chance = random.Random(f"layout {seed}")
    kind = LAYOUTS[seed % len(LAYOUTS)]
    cylinders = chance.randint(1, MOST_CYLINDERS)
    lines = [
        "[engine]",
        f'layout = "{kind}"',
        f"cylinders = {cylinders}",
        f'units = "{chance.choice(FAMILIES)}"',
        f'numbering = "{chance.choice(NUMBERINGS)}"',
        f"shell_grades = {chance.randint(1, MOST_GRADES)}",
        f"fastener_groups = {chance.randint(1, MOST_GROUPS)}",
        f"top_end = {chance.choice(('true', 'false'))}",
    ]
    if kind != "inline":
        lines.append(f"rods_per_crankpin = {chance.randint(1, 2)}")
        if chance.random() < 0.3:
            banks = [chance.randint(1, 2) for _ in range(cylinders)]
            lines.append(f"banks = {banks if set(banks) == {1, 2} else [1] * cylinders}")
    if chance.random() < 0.7:
        lines.append(f"main_bearings = {_mains(chance, cylinders)}")
    if chance.random() < 0.2:
        lines.append(f"crankpins = {_crankpins(chance, cylinders)}")
    return "\n".join(lines) + "\n"


def _mains(chance: random.Random, cylinders: int) -> int:
    """Return any number of main bearings; mostly one that the crank could have."""
    if chance.random() < 0.25:
        return chance.randint(1, MOST_MAINS)
    return chance.randint(1, cylinders + 1)


def _crankpins(chance: random.Random, cylinders: int) -> list[int]:
    """Return the crankpin of each cylinder: one or two rods on each, in any order."""
    pins: list[int] = []
    while len(pins) < cylinders:
        pins += [max(pins, default=0) + 1] * chance.randint(1, 2)
    pins = pins[:cylinders]
    chance.shuffle(pins)
    return pins


def random_layout(seed: int) -> BuildDefinition:
    """Return a build definition with a random layout, read from a build file like any other."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"layout-{seed}.toml"
        path.write_text(layout_file(seed), encoding="utf-8")
        return read_build(path)
