"""Make the pictures of the documentation again: ``python -m sheetgen.pictures``.

With ``--every`` it makes the sheets of contact pictures as well: see `every`.

The demo's workbook is written, filled as its second copy is, turned into pages by LibreOffice and cropped by
pdftoppm; both programs must be installed.  The pictures land beside this file.

Beside each picture lies what it shows, as text: its digest, its words, and how dark it is, place by place. A
test makes that text again and compares, so that a picture that no longer shows the sheet is found.
"""

from __future__ import annotations

import hashlib
import itertools
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

from sheetgen.demo_entries import demo_entries, demo_plan
from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.pictures.every import make_every
from sheetgen.pictures.programs import printed, run
from sheetgen.workbook import workbook_bytes

HERE = Path(__file__).resolve().parent
SECTIONS = ("all", "parts_out")
"""The readings that the pictures show: those of the copy whose parts are out of their limits."""
POINTS_PER_INCH, POINTS_PER_CELL = 72, 8
EDGE, RULE, FOOT = 12, 7, 28
"""Points of white around a picture, over a block's title with its rule, and at the foot of a page."""
LEVELS = "0123456789abcdef"
WORD = "{http://www.w3.org/1999/xhtml}"


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture: its file, its sheet, its dots per inch, and the block before which it ends."""

    file: str
    sheet: str
    dots: int
    until: str = ""


PICTURES = (
    Picture("bores_filled.png", "Bores", 110),
    Picture("job_card_filled.png", "Job card", 100, "How to fill it in"),
    Picture("summary_filled.png", "Summary", 110),
)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of print: its page, how wide that is, its text, and where it stands."""

    page: int
    width: float
    text: str
    left: float
    top: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Box:
    """A part of a page, in points from its left upper corner."""

    page: int
    left: float
    top: float
    width: float
    height: float

    def cut(self, dots: float) -> list[str]:
        """Return the options that cut it out at a resolution."""
        sides = zip("xyWH", (self.left, self.top, self.width, self.height), strict=True)
        cut = [word for side, points in sides
               for word in (f"-{side}", str(round(points * dots / POINTS_PER_INCH)))]
        return ["-f", str(self.page), "-l", str(self.page), "-r", str(dots), *cut]


def filled() -> bytes:
    """Return the filled workbook of the demo."""
    plan = demo_plan()
    return fill_workbook(workbook_bytes(plan), plan, demo_entries(plan, SECTIONS))


def lines(pdf: Path) -> Iterator[Line]:
    """Yield each line of print, without the feet of the pages."""
    root = ElementTree.fromstring(run("pdftotext", "-bbox-layout", str(pdf), "-"))  # noqa: S314  # our own pages
    for number, page in enumerate(root.iter(f"{WORD}page"), 1):
        width, height = (float(page.attrib[side]) for side in ("width", "height"))
        for line in page.iter(f"{WORD}line"):
            left, top, bottom = (float(line.attrib[side]) for side in ("xMin", "yMin", "yMax"))
            if bottom < height - FOOT:
                yield Line(number, width, " ".join(word.text or "" for word in line), left, top, bottom)


def box_of(picture: Picture, print_lines: Sequence[Line]) -> Box:
    """Return the part of the page that a picture shows: between its margins, down to where it ends.

    Raises
    ------
    DefinitionError
        There is no such sheet, or no such line on its first page.
    """
    first: dict[int, str] = {}
    for line in print_lines:
        first.setdefault(line.page, line.text)
    page = next((number for number, text in first.items() if text == picture.sheet), 0)
    on_page = [line for line in print_lines if line.page == page]
    ends = [line.top - RULE for line in on_page if picture.until and line.text == picture.until]
    if not page or (picture.until and not ends):
        raise DefinitionError(picture.file, f"there is no sheet '{picture.sheet}' with '{picture.until}'")
    bottom = ends[0] if ends else max(line.bottom for line in on_page) + RULE
    left = max(min(line.left for line in on_page) - EDGE, 0)
    top = max(min(line.top for line in on_page) - EDGE, 0)
    return Box(page, left, top, on_page[0].width - 2 * left, bottom - top)


def shown(pdf: Path, box: Box, digest: str) -> str:
    """Return what a picture shows as text: digest, words, darkness from 0 (white) to f (black)."""
    words = run("pdftotext", *box.cut(POINTS_PER_INCH), "-layout", str(pdf), "-").decode().split()
    grey = run("pdftoppm", *box.cut(POINTS_PER_INCH / POINTS_PER_CELL), "-gray", str(pdf))
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", grey)
    if head is None:
        raise DefinitionError("pdftoppm", "it gave no picture in grey")
    width, dots = int(head[1]), grey[head.end():]
    dark = ["".join(LEVELS[(255 - value) * 15 // 255] for value in dots[at : at + width])
            for at in range(0, len(dots), width)]
    return "\n".join([f"sha256 {digest}", "", " ".join(words), "", *dark]) + "\n"


def make(folder: Path) -> Iterator[Path]:
    """Make the pictures and what they show in a folder; yield each picture."""
    with tempfile.TemporaryDirectory() as place:
        pdf = printed(filled(), Path(place))
        print_lines = list(lines(pdf))
        for picture in PICTURES:
            box = box_of(picture, print_lines)
            path = folder / picture.file
            png = ("-png", "-singlefile", str(pdf), str(path.with_suffix("")))
            run("pdftoppm", *box.cut(picture.dots), *png)
            digest = hashlib.sha256(path.read_bytes()).hexdigest()
            path.with_suffix(".txt").write_text(shown(pdf, box, digest), encoding="utf-8")
            yield path


def main(*options: str) -> int:
    """Write the pictures; return 0, or 2 where that cannot be done."""
    if set(options) - {"--every"}:
        print("sheetgen.pictures: the only option is --every", file=sys.stderr)
        return 2
    for program in ("soffice", "pdftoppm", "pdftotext"):
        if shutil.which(program) is None:
            print(f"sheetgen.pictures: {program} is not installed", file=sys.stderr)
            return 2
    try:
        for path in itertools.chain(make(HERE), make_every(HERE / "every") if options else ()):
            print(f"{path.name}: {path.stat().st_size // 1000} kB")
    except (DefinitionError, subprocess.SubprocessError) as error:
        print(f"sheetgen.pictures: {error}", file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
