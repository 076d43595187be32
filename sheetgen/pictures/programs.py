"""The programs that turn a workbook into pages."""

from __future__ import annotations

import subprocess
from pathlib import Path


def run(*command: str) -> bytes:
    """Run a program and return what it printed; its chatter is kept back."""
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL).stdout  # noqa: S603


def printed(data: bytes, folder: Path, name: str = "book") -> Path:
    """Return a workbook as pages, printed by the office program."""
    book = folder / f"{name}.xlsx"
    book.write_bytes(data)
    run("soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", "pdf",
        "--outdir", str(folder), str(book))
    return book.with_suffix(".pdf")
