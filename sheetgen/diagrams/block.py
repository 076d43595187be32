"""Drawings of what is measured in the block: bores, housings and shells, deck."""

from __future__ import annotations

from sheetgen.diagrams.canvas import THIN, Canvas


def bores() -> Canvas:
    """A bore from above with its two axes, and cut open with its three depths."""
    c = Canvas()
    x, y, radius = 76, 92, 44
    c.words(8, 14, "from above", faint=True)
    c.box(x - 60, y - 60, 120, 120, filled=True)
    c.circle(x, y, radius, blank=True)
    c.axis(x - 74, y, x + 74, y)
    c.measure(x - radius, y, x + radius, y)
    c.measure(x, y - radius, x, y + radius)
    c.words(x + 4, y - 12, "thrust")
    c.words(x - 14, y + 14, "pin", at="middle")
    c.words(x, 170, "pin axis: along the crank", at="middle")
    left, right, top, foot = 196, 254, 24, 150
    c.words(180, 14, "cut open", faint=True)
    c.box(left - 18, top, 18, foot - top, filled=True)
    c.box(right, top, 18, foot - top, filled=True)
    for at, name in ((44, "top"), (84, "middle"), (124, "bottom")):
        c.measure(left, at, right, at)
        c.words(right + 24, at + 4, name)
    c.words(right + 24, top + 4, "deck", faint=True)
    c.line(left - 18, top, right + 22, top, wide=THIN)
    c.words((left + right) / 2, 170, "over the travel of the rings", at="middle")
    return c


def housings() -> Canvas:
    """A bearing housing with its three angles, and a pair of shells with the wall at the crown."""
    c = Canvas()
    x, y, radius = 78, 92, 40
    c.words(8, 14, "housing, torqued", faint=True)
    c.circle(x, y, radius + 12, filled=True)
    c.circle(x, y, radius, blank=True)
    c.axis(x - 74, y, x + 74, y)
    for angle in (0, 60, -60):
        c.measure(*c.round_point(x, y, radius, angle), *c.round_point(x, y, radius, angle + 180))
    c.words(x, y - radius - 16, "vertical", at="middle")
    c.words(x + 49, y - 28, "+60°")
    c.words(x - 49, y - 28, "-60°", at="end")
    c.words(x, 170, "three angles, 60° apart", at="middle")
    x, y = 238, 96
    c.words(178, 14, "shells", faint=True)
    for first, last, lift in ((-88, 88, -5), (92, 268, 5)):
        c.arc(x, y + lift, 46, first, last)
        c.arc(x, y + lift, 38, first, last)
    for angle, lift in ((-88, -5), (88, -5), (92, 5), (268, 5)):
        c.line(*c.round_point(x, y + lift, 38, angle), *c.round_point(x, y + lift, 46, angle))
    c.axis(x - 58, y, x + 58, y)
    c.arrow(x, y - 66, x, y - 51)
    c.arrow(x, y - 26, x, y - 43)
    c.words(x + 6, y - 58, "wall at the crown")
    c.words(x, y - 9, "upper", at="middle")
    c.words(x, y + 20, "lower", at="middle")
    c.words(x, 170, "ball anvil inside", at="middle")
    return c


def deck() -> Canvas:
    """A piston at top dead centre, from above and in its bore under a dial.

    From above: the two points on the pin axis and the one where it is rocked.
    """
    c = Canvas()
    x, y, radius = 76, 90, 48
    c.words(8, 14, "crown from above", faint=True)
    c.circle(x, y, radius + 4)
    c.circle(x, y, radius, wide=THIN)
    c.axis(x - 72, y, x + 72, y)
    for px, py, name, wx, wy, at in (
        (x - 36, y, "front", x - 29, y + 14, "middle"), (x + 36, y, "rear", x + 30, y + 14, "middle"),
        (x, y - 36, "rocked", x, y - 58, "middle"),
    ):
        c.circle(px, py, 3.2, blank=True)
        c.words(wx, wy, name, at=at)
    c.measure(x, y - 32, x, y, wide=THIN)
    c.words(x + 5, y - 13, "known")
    c.words(x, 170, "pin axis: along the crank", at="middle")
    left, right, top = 200, 272, 66
    c.words(180, 14, "dial zeroed on the deck", faint=True)
    c.box(left - 26, top, 26, 90, filled=True)
    c.box(right, top, 26, 90, filled=True)
    corners = [(left + 3, top - 12), (right - 8, top - 3), (right - 3, top + 76), (left + 7, top + 68)]
    c.path(corners, closed=True)
    c.circle((left + right) / 2, top + 36, 9)
    c.line(left - 30, top, right + 50, top, wide=THIN, dash="4 3")
    c.words(right + 54, top - 4, "deck", at="end", faint=True)
    c.circle(left + 12, 34, 11, blank=True)
    c.line(left + 12, 34, left + 17, 27, wide=1.1)
    c.arrow(left + 12, 45, left + 12, top - 12)
    c.words(left + 28, 38, "above deck: +")
    c.words((left + right) / 2, 170, "press one way, then the other", at="middle")
    return c
