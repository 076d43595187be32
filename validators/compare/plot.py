"""Difference against mean of one kind of reading, as a picture in SVG."""

from __future__ import annotations

from collections.abc import Iterator

from validators.compare.comparison import Kind
from validators.markup import Markup, element

WIDTH, HEIGHT = 640, 250
LEFT, RIGHT, TOP, BOTTOM = 74, 150, 14, 40
ROOM = 0.08
"""Share of the span that is left free at both ends of an axis."""


def plot(kind: Kind) -> Markup:
    """Return the picture: a point for each pair, bias, limits of agreement, and the band of U."""
    means = [pair.mean for pair in kind.pairs]
    differences = [pair.difference for pair in kind.pairs]
    lines = list(_levels(kind))
    band = kind.pairs[0].expanded
    heights = [0.0, *differences, *(value for _, value, _ in lines), *((band, -band) if band else ())]
    across = Axis(means, LEFT, WIDTH - RIGHT, 10.0**-kind.decimals)
    up = Axis(heights, HEIGHT - BOTTOM, TOP, 10.0**-kind.decimals)
    drawn: list[Markup] = []
    if band:
        top, bottom = up(band), up(-band)
        drawn.append(
            element("rect", class_="band", x=LEFT, y=f"{top:.1f}", width=WIDTH - LEFT - RIGHT,
                    height=f"{bottom - top:.1f}")
        )
        drawn.append(_text(WIDTH - RIGHT + 6, top + 9, "shaded: ± U", "start"))
    drawn.append(_level("zero", up(0.0)))
    placed: list[float] = [up(band) + 9] if band else []
    for name, value, style in lines:
        at = up(value)
        drawn.append(_level(style, at))
        label = at + 3
        while any(abs(label - other) < 11 for other in placed):
            label += 1
        placed.append(label)
        drawn.append(_text(WIDTH - RIGHT + 6, label, f"{name} {value:+.{kind.decimals + 1}f}", "start"))
    for pair in kind.pairs:
        title = element("title", f"{pair.label}: {pair.difference:+.{kind.decimals + 1}f} {kind.unit}")
        x, y = across(pair.mean), up(pair.difference)
        if pair.disagrees:
            points = f"{x - 4:.1f},{y + 3.5:.1f} {x + 4:.1f},{y + 3.5:.1f} {x:.1f},{y - 4:.1f}"
            drawn.append(element("polygon", title, class_="off", points=points))
        else:
            drawn.append(element("circle", title, class_="point", cx=f"{x:.1f}", cy=f"{y:.1f}", r=3))
    drawn += _scales(kind, means, heights, across, up)
    return element(
        "svg", drawn, xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH} {HEIGHT}", role="img",
        aria_label=f"{kind.label}: difference against mean",
    )


def _levels(kind: Kind) -> Iterator[tuple[str, float, str]]:
    told = kind.agreement
    yield "bias", told.bias, "bias"
    if told.limits is not None and told.spread:
        yield "+1.96 s", told.limits.upper, "limit"
        yield "−1.96 s", told.limits.lower, "limit"


class Axis:
    """Where a value stands on paper; equal values get room of one step of their cell."""

    def __init__(self, values: list[float], start: float, end: float, step: float) -> None:
        low, high = min(values), max(values)
        if high - low < step:
            low, high = low - step, high + step
        free = (high - low) * ROOM
        self.low, self.high, self.start, self.end = low - free, high + free, start, end

    def __call__(self, value: float) -> float:
        """Return where a value stands."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


def _scales(
    kind: Kind, means: list[float], heights: list[float], across: Axis, up: Axis
) -> Iterator[Markup]:
    yield element("path", class_="frame", d=f"M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}")
    ends = {min(means), max(means)}
    for value in sorted(ends):
        yield _text(across(value), HEIGHT - BOTTOM + 14, f"{value:.{kind.decimals}f}", "middle")
    for value in sorted({min(heights), 0.0, max(heights)}):
        yield _text(LEFT - 6, up(value) + 3, f"{value:+.{kind.decimals + 1}f}", "end")
    middle = (LEFT + WIDTH - RIGHT) / 2
    yield _text(middle, HEIGHT - 8, f"mean of both, {kind.unit}", "middle")
    side = (TOP + HEIGHT - BOTTOM) / 2
    turned = f"translate(11 {side}) rotate(-90)"
    yield element("text", f"difference, {kind.unit}", transform=turned, text_anchor="middle")


def _level(style: str, y: float) -> Markup:
    return element("line", class_=style, x1=LEFT, x2=WIDTH - RIGHT, y1=f"{y:.1f}", y2=f"{y:.1f}")


def _text(x: float, y: float, text: str, anchor: str) -> Markup:
    return element("text", text, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor)
