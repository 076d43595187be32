"""Make the pictures of the documentation again: ``python -m sheetgen.pictures``.

A workbook of an invented inline-6 is written, filled, turned into pages by LibreOffice and cropped by
pdftoppm; both programs must be installed.  The pictures land beside this file.
"""

from __future__ import annotations

import datetime
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from sheetgen.build import new_build
from sheetgen.fill import Typed, fill_workbook
from sheetgen.look import look
from sheetgen.paper import column_widths, page_breaks, print_scale, row_heights
from sheetgen.plan import Plan, plan_workbook
from sheetgen.text_fit import PIXELS_PER_POINT, column_pixels
from sheetgen.workbook import workbook_bytes

HERE = Path(__file__).resolve().parent
POINTS_PER_INCH = 72
EDGE = 12
"""Points of white around a picture."""
PICTURES = (
    ("bores_filled.png", "Bores", 120, 4),
    ("job_card_filled.png", "Job card", 100, 5),
)
"""Each picture: its file, its sheet, its dots per inch, and how many bands of rows it shows."""

BORE = 86.0
THRUST = (  # micrometres over 86 mm on the thrust axis, top, middle, bottom; then the pin axis
    (6, 4, 1, 2, 1, 0),
    (3, 2, 2, 1, 1, 3),
    (14, 9, 5, 2, 3, 4),
    (5, 5, 3, 4, 2, 2),
    (26, 15, 8, 12, 10, 7),
    (2, 4, 3, 1, 0, 2),
)
PISTONS = (85.957, 85.957, 85.959, 85.958, 85.956, 85.957)
SURFACE = {"ra": 0.38, "rz": 4.4, "rpk": 0.21, "rk": 0.74, "rvk": 1.35}
NOMINAL = {
    "bore": BORE, "piston": 85.955, "main_housing": 64.0, "rod_housing": 53.0, "main_journal": 60.0,
    "crankpin": 50.0, "shell_wall": 1.975, "pin_hole": 22.006, "pin": 22.0, "bush": 22.012,
}
MATERIALS = {
    "bore": "grey iron", "block": "grey iron", "piston": "forged piston alloy 4032", "rod": "steel",
    "crank": "steel", "pin": "steel", "ring": "steel", "shell": "steel",
}


def entries(plan: Plan) -> Iterator[tuple[str, Typed]]:
    """Return what is typed into the workbook of the pictures."""
    day = datetime.date(2031, 4, 17)
    yield from (
        ("job_number", "4711"), ("builder_name", "Bench two"), ("job_date", day), ("measured_date", day),
        ("engine_name", "Six in line, green block"), ("machinist_name", "Third bench"),
        ("piston_clearance_target", 0.045), ("stroke_nominal", 90.0), ("deck_height", 215.0),
        ("engine_speed", 6200.0),
    )
    for feature, size in NOMINAL.items():
        yield f"nominal_size_{feature}", size
        yield f"part_temperature_{feature}", 20.0
        yield f"gauge_temperature_{feature}", 20.0
    for body, material in MATERIALS.items():
        yield f"body_material_{body}", material
    for number, (readings, piston) in enumerate(zip(THRUST, PISTONS, strict=True), 1):
        yield f"torque_plate_{number}", "on"
        yield f"piston_mark_{number}", f"P{number}"
        yield f"rod_mark_{number}", f"R{number}"
        yield f"piston_reading_{number}", piston
        places = [(depth, axis) for axis in ("thrust", "pin") for depth in ("top", "middle", "bottom")]
        for (depth, axis), over in zip(places, readings, strict=True):
            yield f"bore_reading_{number}_{depth}_{axis}", round(BORE + over / 1000, 3)
        for kind, value in SURFACE.items():
            yield f"roughness_{kind}_{number}", round(value * (1 + 0.04 * ((number * 5) % 7 - 3)), 2)


def extent(plan: Plan, title: str, bands: int) -> tuple[int, tuple[int, int, int, int]]:
    """Return the page a sheet begins on, and the box its first bands of rows take up there.

    The box is left, top, width and height in points.
    """
    page, family = 1, plan.build.family
    for sheet in plan.sheets:
        cells = [cell for cell in plan.cells if cell.sheet == sheet.template.title]
        widths = column_widths(sheet, cells)
        heights = row_heights(sheet, cells, widths, plan.catalogue)
        breaks = page_breaks(sheet, widths, heights, family)
        if sheet.template.title != title:
            page += len(breaks) + 1
            continue
        scale = print_scale(widths, family, portrait=sheet.template.portrait)
        across = sum(map(column_pixels, widths[: sheet.columns])) / PIXELS_PER_POINT * scale
        down = sum(heights[: sheet.bands[bands - 1].last]) * scale
        paper = look()["paper"]
        left, top = (round(paper[side] * POINTS_PER_INCH) - EDGE for side in ("left", "top"))
        return page, (left, top, round(across) + 2 * EDGE, round(down) + 2 * EDGE)
    raise KeyError(title)


def run(*command: str) -> None:
    """Run a program; its chatter is kept back."""
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # noqa: S603


def main() -> int:
    """Write the pictures; return 0, or 2 where a program is missing."""
    for program in ("soffice", "pdftoppm"):
        if shutil.which(program) is None:
            print(f"{program} is not installed", file=sys.stderr)
            return 2
    plan = plan_workbook(new_build("inline-6"))
    data = fill_workbook(workbook_bytes(plan), plan, dict(entries(plan)))
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder, "book.xlsx")
        book.write_bytes(data)
        run("soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", "pdf",
            "--outdir", folder, str(book))
        for file, title, dots, bands in PICTURES:
            page, box = extent(plan, title, bands)
            crop = [str(round(points * dots / POINTS_PER_INCH)) for points in box]
            place = [text for flag, pixels in zip("xyWH", crop, strict=True) for text in (f"-{flag}", pixels)]
            run("pdftoppm", "-r", str(dots), "-f", str(page), "-l", str(page), *place, "-png", "-singlefile",
                str(Path(folder, "book.pdf")), str(HERE / file.removesuffix(".png")))
            print(f"{file}: {(HERE / file).stat().st_size // 1000} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
