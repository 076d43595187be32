"""Random builds brought to the edge: entries chosen so that a comparison lies at its bound.

A build that is drawn blindly hardly ever has a figure exactly at a limit, two shell pairs equally
near the target, or a bore at the last micrometre that can still be honed. Here the core's results
of a build say which entry would bring that about; the entry is then put at the bound, just beside
it, or far from it. Which statement is right is not asked: both compute the changed build afresh.
"""

from __future__ import annotations

from collections.abc import Sequence

from validators.edge_assembly import Assembly
from validators.edge_choices import Choices
from validators.edge_entries import Edges, Figures
from validators.edge_films import Films
from validators.edge_limits import Limits
from validators.edge_noughts import Noughts
from validators.edge_pins import Pins
from validators.invented_engine import Value
from validators.random_builds import random_entries
from validators.recompute import Recomputer


def proof_builds(recomputer: Recomputer, seeds: Sequence[int]) -> list[dict[str, Value]]:
    """Return the builds of these seeds; the same plan and seeds give the same builds.

    Parameters
    ----------
    recomputer : Recomputer
        Of the plan whose inputs are filled.
    seeds : sequence of int
        One build for each.
    """
    batch = [random_entries(recomputer.plan, seed) for seed in seeds]
    for stage in (Figures, Edges, Assembly, Films, Pins, Limits, Choices, Noughts):
        results = recomputer.reference(batch)
        for number, seed in enumerate(seeds):
            values = {name: column[number] for name, column in results.items()}
            stage(recomputer, batch[number], values, seed).bring()
    return batch
