"""The trade-off between parts on offer as one page: a plot and a table, nothing fetched from elsewhere."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape
from pathlib import Path

from validators.choosing.combinations import WISHES, Combination, Ranked

WIDTH, HEIGHT, EDGE = 760, 460, 64
GRID = "#d5dae0"
MOST_POINTS, MOST_ROWS = 3000, 200
STYLE = """
body{font:15px/1.45 sans-serif;margin:2rem auto;max-width:62rem;padding:0 1rem;color:#1d2530;background:#fff}
table{border-collapse:collapse;font-size:13px;font-variant-numeric:tabular-nums}
th,td{padding:.25rem .55rem;border-bottom:1px solid #d5dae0;text-align:right}
th:nth-child(-n+4),td:nth-child(-n+4),th:last-child,td:last-child{text-align:left}
td:nth-child(-n+4){white-space:nowrap}tr,svg{break-inside:avoid}
svg{width:100%;min-width:36rem;height:auto}text{font:13px sans-serif;fill:#1d2530}.scroll{overflow-x:auto}
@media print{body{margin:0;max-width:none}table{font-size:10px}th,td{padding:.15rem .35rem}
td:nth-child(-n+4){white-space:normal}svg{min-width:0}.scroll{overflow:visible}
rect,circle{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
"""


def combination_page(ranked: Ranked) -> str:
    """Return the page as HTML text."""
    name = escape(Path(ranked.file).name)
    told = "".join(
        f"<p>{escape(text)}</p>" for text in (*ranked.taken, *(f"Not judged: {t}" for t in ranked.left_out))
    )
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>Parts on offer: {name}</title><style>{STYLE}</style></head><body>"
        f"<h1>Parts on offer</h1><p>{name}: {ranked.good} of {len(ranked.combinations)} "
        f"combinations meet every "
        "wish that can be judged. Nominal figures, before anything is measured.</p>"
        f"{told}{_plot(ranked)}{_table(ranked)}</body></html>\n"
    )


def _plot(ranked: Ranked) -> str:
    points = [
        (c, c.figures["compression_ratio"], c.figures["head_clearance_static"])
        for c in ranked.combinations[:MOST_POINTS]
    ]
    points = [point for point in points if not math.isnan(point[1] + point[2])]
    if not points:
        return "<p>Ratio and squish cannot be computed, so there is no plot.</p>"
    across = _span([x for _, x, _ in points], ranked.limits["compression_ratio"])
    up = _span([y for _, _, y in points], ranked.limits["head_clearance_static"])

    def x_of(value: float) -> float:
        return EDGE + (value - across[0]) / (across[1] - across[0]) * (WIDTH - 2 * EDGE)

    def y_of(value: float) -> float:
        return HEIGHT - EDGE - (value - up[0]) / (up[1] - up[0]) * (HEIGHT - 2 * EDGE)

    low_x, high_x = (_or(ranked.limits["compression_ratio"][side], across[side]) for side in (0, 1))
    low_y, high_y = (_or(ranked.limits["head_clearance_static"][side], up[side]) for side in (0, 1))
    drawn = [
        f'<rect x="{x_of(low_x):.1f}" y="{y_of(high_y):.1f}" width="{x_of(high_x) - x_of(low_x):.1f}" '
        f'height="{y_of(low_y) - y_of(high_y):.1f}" fill="#e3efe3"/>',
    ]
    for value in _ticks(across):
        drawn.append(f'<path d="M{x_of(value):.1f} {EDGE}V{HEIGHT - EDGE + 5}" stroke="{GRID}"/>')
        drawn.append(
            f'<text x="{x_of(value):.1f}" y="{HEIGHT - EDGE + 20}" text-anchor="middle">{value:g}</text>'
        )
    for value in _ticks(up):
        drawn.append(f'<path d="M{EDGE - 5} {y_of(value):.1f}H{WIDTH - EDGE}" stroke="{GRID}"/>')
        drawn.append(f'<text x="{EDGE - 8}" y="{y_of(value) + 4:.1f}" text-anchor="end">{value:g}</text>')
    if ranked.target is not None and across[0] <= ranked.target <= across[1]:
        at = x_of(ranked.target)
        drawn.append(f'<path d="M{at:.1f} {EDGE}V{HEIGHT - EDGE}" stroke="#1d2530" stroke-dasharray="4 4"/>')
        drawn.append(f'<text x="{at:.1f}" y="{EDGE - 8}" text-anchor="middle">wanted</text>')
    drawn.append(f'<path d="M{EDGE} {EDGE}V{HEIGHT - EDGE}H{WIDTH - EDGE}" fill="none" stroke="#1d2530"/>')
    ranks = {id(c): number for number, c in enumerate(ranked.combinations, 1)}
    drawn += [_point(c, ranks[id(c)], x_of(x), y_of(y)) for c, x, y in reversed(points)]
    unit = escape(ranked.units["head_clearance_static"])
    drawn.append(f'<text x="{WIDTH / 2}" y="{HEIGHT - 16}" text-anchor="middle">compression ratio</text>')
    drawn.append(f'<text x="16" y="{EDGE - 28}">squish, at rest, {unit}</text>')
    return (
        '<div class="scroll">'
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}" role="img" '
        f'aria-label="Squish over compression ratio">{"".join(drawn)}</svg></div>'
        "<p>Filled: meets every wish. Ringed twice: none that does so beats it in ratio, squish "
        "and price at once; its number is its line in the table. "
        "Hollow: misses a wish. The tinted field lies within the limits of ratio and squish.</p>"
    )


def _or(value: float | None, other: float) -> float:
    return other if value is None else value


def _span(values: Sequence[float], limits: tuple[float | None, float | None]) -> tuple[float, float]:
    known = [*values, *(limit for limit in limits if limit is not None)]
    room = (max(known) - min(known)) * 0.06 or abs(known[0]) * 0.05 or 0.1
    return min(known) - room, max(known) + room


def _ticks(span: tuple[float, float]) -> list[float]:
    """Return round values within a span.

    Examples
    --------
    >>> _ticks((9.1, 10.3))
    [9.2, 9.4, 9.6, 9.8, 10.0, 10.2]
    """
    rough = (span[1] - span[0]) / 8
    ten = 10.0 ** math.floor(math.log10(rough))
    step = next(ten * m for m in (1, 2, 5, 10) if ten * m >= rough * 0.999)
    first = math.ceil(span[0] / step - 1e-9)
    return [round(n * step, 9) for n in range(first, math.floor(span[1] / step + 1e-9) + 1)]


def _point(c: Combination, rank: int, x: float, y: float) -> str:
    told = escape(
        f"{rank}: {c.rod}, {c.piston}, {c.gasket}" + (f"; misses {', '.join(c.missed)}" if c.missed else "")
    )
    fill = "none" if c.missed else "#2f6b3a"
    ring = ""
    if c.undominated:
        ring = (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="8" fill="none" stroke="#2f6b3a"/>'
            f'<text x="{x + 7:.1f}" y="{y - 8:.1f}">{rank}</text>'
        )
    stroke = "#9a5b1f" if c.missed else "#2f6b3a"
    return (
        f'{ring}<circle cx="{x:.1f}" cy="{y:.1f}" r="4.5" fill="{fill}" stroke="{stroke}">'
        f"<title>{told}</title></circle>"
    )


def _table(ranked: Ranked) -> str:
    heads = ["", "rod", "piston", "gasket"]
    heads += [
        f"{label}{f', {ranked.units[key]}' if ranked.units[key] not in ('', '1') else ''}"
        for key, label in WISHES
    ]
    heads += ["price", "misses"]
    rows = []
    for number, c in enumerate(ranked.combinations[:MOST_ROWS], 1):
        cells = [f"{number}{'*' if c.undominated else ''}", c.rod, c.piston, c.gasket]
        cells += [_shown(c.figures[key], 3) for key, _ in WISHES]
        cells += [_shown(c.price, 2), ", ".join(c.missed) or "nothing"]
        rows.append("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>")
    more = len(ranked.combinations) - MOST_ROWS
    return (
        '<div class="scroll"><table><thead><tr>'
        + "".join(f"<th>{escape(head)}</th>" for head in heads)
        + "</tr></thead><tbody>"
        + "".join(rows)
        + "</tbody></table></div>"
        + (f"<p>And {more} more.</p>" if more > 0 else "")
    )


def _shown(value: float, decimals: int) -> str:
    return "-" if math.isnan(value) else f"{value:.{decimals}f}"
