"""The record as PDF, by a browser or an office program that is on this machine."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from sheetgen.errors import DefinitionError

BROWSERS = ("chromium", "chromium-browser")
OFFICES = ("soffice", "libreoffice")
SECONDS = 120
HOW = (
    "no program that prints to PDF was found (Chromium, or LibreOffice with its Writer); write an .html file "
    "instead, open it in a browser, and print it from there to paper or to PDF"
)


def as_pdf(html: str) -> bytes:
    """Return a page as PDF.

    Raises
    ------
    DefinitionError
        There is no program for it, or it failed; the sentence says how to print without one.
    """
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    office = next((found for name in OFFICES if (found := shutil.which(name))), None)
    if browser is None and office is None:
        raise DefinitionError("PDF", HOW)
    with tempfile.TemporaryDirectory(prefix="boreledger-", ignore_cleanup_errors=True) as folder:
        source, target = Path(folder) / "record.html", Path(folder) / "record.pdf"
        source.write_text(html, encoding="utf-8")
        calls = []
        if browser is not None:
            calls.append(_browser(browser, source, target))
        if office is not None:
            calls.append(_office(office, source))
        for call in calls:
            if _ran(call) and target.is_file() and target.read_bytes().startswith(b"%PDF"):
                return target.read_bytes()
    names = " and ".join(Path(call[0]).name for call in calls)
    raise DefinitionError("PDF", f"{names} made none of this page; {HOW.partition('; ')[2]}")


def _browser(program: str, source: Path, target: Path) -> list[str]:
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return [
        program, "--headless", "--disable-gpu", f"--user-data-dir={source.parent / 'profile'}",
        *(["--no-sandbox"] if root else []),  # a browser refuses to run as root with its sandbox
        "--no-pdf-header-footer", f"--print-to-pdf={target}", source.as_uri(),
    ]


def _office(program: str, source: Path) -> list[str]:
    return [
        program, "--headless", f"-env:UserInstallation={(source.parent / 'office').as_uri()}",
        "--convert-to", "pdf:writer_web_pdf_Export", "--outdir", str(source.parent), str(source),
    ]


def _ran(call: list[str]) -> bool:
    try:
        done = subprocess.run(  # noqa: S603  a program of this machine, on a page of our own
            call, stdin=subprocess.DEVNULL, capture_output=True, timeout=SECONDS, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0
