"""Ranked combinations of parts as text and as JSON."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any

from validators.choosing.combinations import WISHES, Ranked
from validators.reports.as_text import printable

SHAPE, VERSION = "boreledger combinations", 1
MOST_SHOWN = 20
MOST_WIDE = 28


def combinations_text(ranked: Ranked) -> str:
    """Return the ranking as text."""
    lines = [printable(ranked.file), ""]
    count = len(ranked.combinations)
    lines.append(
        f"  {ranked.good} of {count} combinations meet every wish that can be judged (nominal figures)."
    )
    for told in (*ranked.taken, *(f"not judged: {text}" for text in ranked.left_out)):
        lines.append(f"  {printable(told)}")
    shown = ranked.combinations[:MOST_SHOWN]
    wide = [
        max([12, *(min(len(printable(getattr(c, kind))), MOST_WIDE) for c in shown)])
        for kind in ("rod", "piston", "gasket")
    ]
    lines += [
        "",
        f"  {'':>4} {'rod':<{wide[0]}} {'piston':<{wide[1]}} {'gasket':<{wide[2]}} "
        f"{'deck':>8} {'L/S':>6} {'angle':>6} "
        f"{'rest':>7} {'speed':>7} {'ratio':>6} {'price':>9}",
    ]
    for number, c in enumerate(shown, 1):
        f = [c.figures[key] for key, _ in WISHES]
        missed = f"  misses {', '.join(c.missed)}" if c.missed else ""
        close = f"  nearer to its limit than it can be measured: {', '.join(c.close)}" if c.close else ""
        lines.append(
            printable(
                f"  {number:>3}{'*' if c.undominated else ' '} {c.rod:<{wide[0]}} {c.piston:<{wide[1]}} "
                f"{c.gasket:<{wide[2]}} "
                f"{f[0]:>8.3f} "
                f"{f[1]:>6.3f} {f[2]:>6.2f} {f[3]:>7.3f} {f[4]:>7.3f} {f[5]:>6.2f} {c.price:>9.2f}"
                f"{missed}{close}"
            ).replace("nan", "  -")
        )
    if count > MOST_SHOWN:
        lines.append(f"  and {count - MOST_SHOWN} more: --report and --json show them all")
    lines += [
        "",
        "  * meets every wish, and none that does so is nearer the wanted ratio, tighter in squish and "
        "cheaper at once",
    ]
    return "\n".join(lines) + "\n"


def combinations_json(ranked: Ranked) -> str:
    """Return the ranking as JSON text."""
    data = {
        "shape": SHAPE,
        "version": VERSION,
        "exit_status": ranked.exit_status,
        "file": ranked.file,
        "sha256": ranked.digest,
        "units": ranked.units,
        "limits": {key: {"lower": low, "upper": high} for key, (low, high) in ranked.limits.items()},
        "ratio_wanted": ranked.target,
        "left_out": list(ranked.left_out),
        "taken": list(ranked.taken),
        "combinations": list(_plain(ranked)),
    }
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _plain(ranked: Ranked) -> Iterator[dict[str, Any]]:
    for number, c in enumerate(ranked.combinations, 1):
        yield {
            "rank": number,
            "rod": c.rod,
            "piston": c.piston,
            "gasket": c.gasket,
            **{key: None if math.isnan(value) else value for key, value in c.figures.items()},
            "mass": None if math.isnan(c.mass) else c.mass,
            "price": None if math.isnan(c.price) else c.price,
            "missed": list(c.missed),
            "miss": c.miss,
            "nearer_than_measured": list(c.close),
            "undominated": c.undominated,
        }
