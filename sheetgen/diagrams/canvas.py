"""A sheet of paper for one drawing: lines, circles, arrows and words, given out as a page of PDF."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sheetgen.look import look
from sheetgen.text_fit import PIXELS_PER_POINT, SAFETY, text_width

WIDTH, HEIGHT = 332, 176
"""Pixels of every drawing on the sheet; 96 to the inch."""
LETTER = 11.0
THICK, THIN = 1.6, 0.8
ARROW = 6.0
ROUND = 0.5523
"""How far the handles of a quarter of a circle reach, in radii."""
PAGE_SCALE = 72 / 96


class Canvas:
    """Collects the marks of one drawing.  Right and down are positive."""

    def __init__(self) -> None:
        colours = look()["colours"]
        self.ink, self.faint, self.ground = colours["ink"], colours["faint"], colours["head"]
        self.marks: list[str] = []

    def pdf(self) -> bytes:
        """Return the drawing as a file of one page."""
        turn = f"{PAGE_SCALE} 0 0 {-PAGE_SCALE} 0 {HEIGHT * PAGE_SCALE} cm"  # right and down are positive
        content = "\n".join(["1 j", turn, *self.marks]).encode("cp1252")
        fonts = "".join(
            f"/{name} << /Type /Font /Subtype /Type1 /BaseFont /{face} /Encoding /WinAnsiEncoding >> "
            for name, face in (("R", "Helvetica"), ("B", "Helvetica-Bold"))
        )
        paper = f"[0 0 {WIDTH * PAGE_SCALE} {HEIGHT * PAGE_SCALE}]"
        parts = [
            b"<< /Type /Catalog /Pages 2 0 R >>",
            b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
            f"<< /Type /Page /Parent 2 0 R /MediaBox {paper} /Contents 4 0 R "
            f"/Resources << /Font << {fonts}>> >> >>".encode(),
            b"<< /Length %d >>\nstream\n%s\nendstream" % (len(content), content),
        ]
        data, places = b"%PDF-1.4\n", []
        for number, part in enumerate(parts, 1):
            places.append(len(data))
            data += b"%d 0 obj\n%s\nendobj\n" % (number, part)
        table = b"".join(b"%010d 00000 n \n" % place for place in places)
        return data + b"xref\n0 %d\n0000000000 65535 f \n%strailer << /Size %d /Root 1 0 R >>\n" % (
            len(parts) + 1, table, len(parts) + 1
        ) + b"startxref\n%d\n%%%%EOF\n" % len(data)

    def path(
        self, points: Sequence[tuple[float, float]], *, wide: float = THICK, dash: str = "",
        closed: bool = False, filled: bool = False, faint: bool = False,
    ) -> None:
        """Draw a line through some points; closed and filled, it is an area of metal."""
        text = _through(points) + (" h" if closed else "")
        self._mark(text, wide, dash, filled=filled, faint=faint)

    def line(self, x1: float, y1: float, x2: float, y2: float, **style: object) -> None:
        """Draw a straight line."""
        self.path([(x1, y1), (x2, y2)], **style)  # type: ignore[arg-type]

    def axis(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """Draw a centre line: long, short, long."""
        self.path([(x1, y1), (x2, y2)], wide=THIN, dash="9 3 2 3", faint=True)

    def box(self, x: float, y: float, across: float, down: float, **style: object) -> None:
        """Draw a rectangle."""
        corners = [(x, y), (x + across, y), (x + across, y + down), (x, y + down)]
        self.path(corners, closed=True, **style)  # type: ignore[arg-type]

    def circle(
        self, x: float, y: float, radius: float, *, wide: float = THICK, dash: str = "", filled: bool = False,
        blank: bool = False,
    ) -> None:
        """Draw a circle; a blank one hides what is under it."""
        h = ROUND * radius
        text = (
            f"{x + radius:.2f} {y:.2f} m "
            f"{x + radius:.2f} {y + h:.2f} {x + h:.2f} {y + radius:.2f} {x:.2f} {y + radius:.2f} c "
            f"{x - h:.2f} {y + radius:.2f} {x - radius:.2f} {y + h:.2f} {x - radius:.2f} {y:.2f} c "
            f"{x - radius:.2f} {y - h:.2f} {x - h:.2f} {y - radius:.2f} {x:.2f} {y - radius:.2f} c "
            f"{x + h:.2f} {y - radius:.2f} {x + radius:.2f} {y - h:.2f} {x + radius:.2f} {y:.2f} c h"
        )
        self._mark(text, wide, dash, filled=filled, blank=blank)

    def arc(self, x: float, y: float, radius: float, start: float, end: float, **style: object) -> None:
        """Draw part of a circle, from one angle to another in degrees clockwise from the top."""
        steps = max(2, int(abs(end - start) / 4))
        points = [self.round_point(x, y, radius, start + (end - start) * n / steps) for n in range(steps + 1)]
        self.path(points, **style)  # type: ignore[arg-type]

    @staticmethod
    def round_point(x: float, y: float, radius: float, angle: float) -> tuple[float, float]:
        """Return the point at an angle, in degrees clockwise from the top."""
        return x + radius * math.sin(math.radians(angle)), y - radius * math.cos(math.radians(angle))

    def measure(self, x1: float, y1: float, x2: float, y2: float, *, wide: float = 1.1) -> None:
        """Draw where something is measured: a line with an arrow at either end."""
        self.path([(x1, y1), (x2, y2)], wide=wide)
        self._head(x2, y2, math.atan2(y2 - y1, x2 - x1))
        self._head(x1, y1, math.atan2(y1 - y2, x1 - x2))

    def arrow(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """Draw a pointer with an arrow at its end."""
        self.path([(x1, y1), (x2, y2)], wide=1.1)
        self._head(x2, y2, math.atan2(y2 - y1, x2 - x1))

    def words(
        self, x: float, y: float, text: str, *, at: str = "start", bold: bool = False, faint: bool = False,
    ) -> None:
        """Write a word with its foot at a point; `at` is start, middle or end."""
        wide = text_width(text, LETTER / PIXELS_PER_POINT, bold=bold) / SAFETY
        x -= {"start": 0.0, "middle": wide / 2, "end": wide}[at]
        told = text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
        self.marks.append(
            f"BT {_colour(self.faint if faint else self.ink)} rg /{'B' if bold else 'R'} {LETTER} Tf "
            f"1 0 0 -1 {x:.2f} {y:.2f} Tm ({told}) Tj ET"
        )

    def _head(self, x: float, y: float, angle: float) -> None:
        corners = [(x, y)]
        for side in (-0.38, 0.38):
            corners.append((x - ARROW * math.cos(angle + side), y - ARROW * math.sin(angle + side)))
        self.marks.append(f"{_colour(self.ink)} rg {_through(corners)} h f")

    def _mark(
        self, text: str, wide: float, dash: str, *, filled: bool = False, blank: bool = False,
        faint: bool = False,
    ) -> None:
        ground = self.ground if filled else "#FFFFFF"
        self.marks.append(
            f"{_colour(ground)} rg {_colour(self.faint if faint else self.ink)} RG {wide} w [{dash}] 0 d "
            f"{text} {'B' if filled or blank else 'S'}"
        )


def _through(points: Sequence[tuple[float, float]]) -> str:
    """Return a path through some points."""
    return " ".join(f"{x:.2f} {y:.2f} {'l' if number else 'm'}" for number, (x, y) in enumerate(points))


def _colour(code: str) -> str:
    """Return a colour the way a page speaks of it.

    Examples
    --------
    >>> _colour("#FF0080")
    '1.000 0.000 0.502'
    """
    return " ".join(f"{int(code[at : at + 2], 16) / 255:.3f}" for at in (1, 3, 5))
