"""Contact pictures: every page and every screen of two workbooks, as they are issued and filled in.

``python -m sheetgen.pictures --every`` writes them into the folder `every`, some four minutes of work.  The
pages need LibreOffice and poppler.  The screens need Xvfb and the operating system's Python with `uno` too,
and are left as they are where those are missing.  Beside the pages lies a text, a line for each: number,
first word, a digest of all words, and how dark it is part by part.  A test makes that text again.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from sheetgen.build import new_build
from sheetgen.diagrams.render import grey_picture
from sheetgen.errors import DefinitionError
from sheetgen.pictures.filled import FOLDER as FILLED
from sheetgen.pictures.filled import filled_book
from sheetgen.pictures.programs import printed, run
from sheetgen.plan import plan_workbook
from sheetgen.workbook import workbook_bytes

ENGINES = {"flat-4": ("flat-4", "millimetre"), "v8": ("v8", "inch")}
BOOKS = {name: (engine, name != engine) for engine in ENGINES for name in (engine, f"{engine}_filled")}
"""Every workbook that is pictured: its engine, and whether it is filled in."""
COLUMNS, DOTS, GAP = 7, 32, 6
SCREEN, SCREEN_COLUMNS, SMALLER = (1500, 900), 4, 3
"""Dots of the screen, pictures in a row, and how many dots become one."""
PARTS = 4
"""How dark a page is, is told for so many parts across and down."""
GREY, WHITE = 200, 255
LEVELS = "0123456789abcdef"
SYSTEM_PYTHON = Path("/usr/bin/python3")
SCRIPT = Path(__file__).with_name("show_in_office.py")
SECONDS = 600
Grey = np.ndarray[tuple[int, int], np.dtype[np.uint8]]


def book(name: str) -> bytes:
    """Return one of the workbooks."""
    engine, filled = BOOKS[name]
    plan = plan_workbook(new_build(*ENGINES[engine]))
    return filled_book(plan, FILLED / f"{engine}.toml") if filled else workbook_bytes(plan)


def make_every(folder: Path) -> Iterator[Path]:
    """Make the contact pictures in a folder; yield each."""
    folder.mkdir(exist_ok=True)
    for name in BOOKS:
        with tempfile.TemporaryDirectory() as place:
            pdf = printed(book(name), Path(place), name)
            path = folder / f"{name}_print.png"
            path.write_bytes(grey_picture(side_by_side(pages(pdf, DOTS), COLUMNS), DOTS, name))
            path.with_suffix(".txt").write_text(told(pdf), encoding="utf-8")
            yield path
            if shutil.which("Xvfb") and SYSTEM_PYTHON.exists():
                shots = screens(Path(place), pdf.with_suffix(".xlsx"))
                path = folder / f"{name}_screen.png"
                path.write_bytes(grey_picture(side_by_side(shots, SCREEN_COLUMNS), DOTS, name))
                yield path


def pages(pdf: Path, dots: float) -> list[Grey]:
    """Return each page in grey."""
    return list(_grey_maps(run("pdftoppm", "-gray", "-r", str(dots), str(pdf))))


def _grey_maps(data: bytes) -> Iterator[Grey]:
    at = 0
    while at < len(data):
        head = re.compile(rb"P5\s+(\d+)\s+(\d+)\s+255\s").match(data, at)
        if head is None:
            raise DefinitionError("pdftoppm", "it gave no picture in grey")
        wide, tall = int(head[1]), int(head[2])
        at = head.end() + wide * tall
        yield np.frombuffer(data[head.end() : at], np.uint8).reshape(tall, wide)


def side_by_side(pictures: Sequence[Grey], columns: int) -> list[bytes]:
    """Return pictures in rows on a grey ground, as rows of dots."""
    rows = [pictures[at : at + columns] for at in range(0, len(pictures), columns)]
    tall = [max(one.shape[0] for one in row) for row in rows]
    wide = max(one.shape[1] for one in pictures)
    ground = np.full((sum(tall) + GAP * (len(rows) + 1), columns * (wide + GAP) + GAP), GREY, np.uint8)
    top = GAP
    for row, height in zip(rows, tall, strict=True):
        for number, one in enumerate(row):
            left = GAP + number * (wide + GAP)
            ground[top : top + one.shape[0], left : left + one.shape[1]] = one
        top += height + GAP
    return [line.tobytes() for line in ground]


def told(pdf: Path) -> str:
    """Return what the pages show as text, a line for each page."""
    lines = []
    texts = run("pdftotext", "-layout", str(pdf), "-").decode().split("\f")
    for number, page in enumerate(pages(pdf, DOTS), 1):
        words = texts[number - 1].split()
        digest = hashlib.sha256(" ".join(words).encode()).hexdigest()[:12]
        parts = (part for row in np.array_split(page, PARTS) for part in np.array_split(row, PARTS, axis=1))
        # Type covers little of a page: the scale is that of a page a third of which is black.
        dark = "".join(LEVELS[min(15, int(3 * (WHITE - part.mean()) * 15 / WHITE))] for part in parts)
        lines.append(f"{number} {words[0]} {digest} {dark}")
    return "\n".join(lines) + "\n"


def screens(folder: Path, path: Path) -> list[Grey]:
    """Return each sheet of a workbook as the office program shows it in a window."""
    store = folder / "screen"
    store.mkdir()
    size, (ready, told_ready) = f"{SCREEN[0]}x{SCREEN[1]}x24", os.pipe()
    server = subprocess.Popen(  # noqa: S603
        [shutil.which("Xvfb") or "Xvfb", "-displayfd", str(told_ready), "-noreset", "-screen", "0", size,
         "-fbdir", str(store)],
        pass_fds=[told_ready], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )
    os.close(told_ready)
    try:
        with os.fdopen(ready) as line:
            number = line.readline().strip()
        subprocess.run(  # noqa: S603
            [SYSTEM_PYTHON, SCRIPT, f":{number}", folder / "window", path, store, *map(str, SCREEN)],
            check=True, timeout=SECONDS, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
    finally:
        server.terminate()
        server.wait()
    return [_shrunk(shot.read_bytes()) for shot in sorted(store.glob("sheet_*"))]


def _shrunk(dump: bytes) -> Grey:
    """Return a dump of a screen in grey, each side a third."""
    fields = np.frombuffer(dump, ">u4", 25)
    start, wide, tall, colours = int(fields[0]), int(fields[4]), int(fields[5]), int(fields[19])
    dots = np.frombuffer(dump, np.uint8, wide * tall * 4, start + colours * 12).reshape(tall, wide, 4)
    grey = dots[:, :, :3].mean(axis=2)
    tall, wide = tall // SMALLER, wide // SMALLER
    grey = grey[: tall * SMALLER, : wide * SMALLER].reshape(tall, SMALLER, wide, SMALLER).mean(axis=(1, 3))
    return grey.astype(np.uint8)
