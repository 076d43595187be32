"""Opens a workbook in a window of the office program and keeps the screen, sheet by sheet.

Run by the operating system's own Python, whose `uno` module speaks to the program::

    python3 show_in_office.py DISPLAY PROFILE WORKBOOK STORE WIDE TALL
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

TRIES, PAUSE, DRAWN = 400, 0.5, 1.2
"""How often and how long to wait for the program, and until a sheet is drawn, in seconds."""
PLACE_AND_SIZE, ZOOM_BY_VALUE = 15, 3


def main(display: str, profile: str, workbook: str, store: str, wide: str, tall: str) -> None:
    """Show each sheet and copy what the screen holds."""
    pipe = f"screens_{os.getpid()}"
    program = subprocess.Popen(  # noqa: S603
        ["soffice", f"-env:UserInstallation=file://{profile}", "--norestore", "--nologo",  # noqa: S607
         f"--accept=pipe,name={pipe};urp;"],
        env={**os.environ, "DISPLAY": display}, start_new_session=True,
    )
    try:
        desktop = connect(pipe)
        document = desktop.loadComponentFromURL(Path(workbook).as_uri(), "_blank", 0, ())
        view = document.CurrentController
        view.Frame.ContainerWindow.setPosSize(0, 0, int(wide), int(tall), PLACE_AND_SIZE)
        view.ZoomType, view.ZoomValue = ZOOM_BY_VALUE, 100
        for number in range(document.Sheets.Count):
            sheet = document.Sheets.getByIndex(number)
            if sheet.IsVisible:
                view.setActiveSheet(sheet)
                time.sleep(DRAWN)
                shutil.copy(Path(store) / "Xvfb_screen0", Path(store) / f"sheet_{number:02}")
        document.close(True)
        desktop.terminate()
        program.wait(TRIES * PAUSE)
    finally:
        program.kill()


def connect(pipe: str) -> Any:
    """Return the desktop of the program that listens at a pipe."""
    import uno  # type: ignore[import-not-found]  # only this process has it

    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    for _ in range(TRIES):
        try:
            context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:  # whatever a missing connection is called
            time.sleep(PAUSE)
        else:
            return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
    raise SystemExit("the office program does not answer")


if __name__ == "__main__":
    main(*sys.argv[1:])
