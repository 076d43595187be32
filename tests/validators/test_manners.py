"""The program's manners: examples that work, sentences, terminals, pipes, Ctrl-C, completion, start-up."""

import json
import os
import pty
import re
import shlex
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from sheetgen.build import presets
from sheetgen.catalogue import FAMILIES
from tests.interrupts import heeded
from validators.cli import app
from validators.given_paths import room_for
from validators.program import called
from validators.terminal import coloured

ROOT = Path(__file__).resolve().parents[2]
RUN = CliRunner()
PROGRAM = [sys.executable, "-c", "from validators.cli import app; app()"]
COMMANDS = sorted(typer.main.get_command(app).commands)
PAGES = [
    "README.md", "sheetgen/WRITE.md", "templates_src/FILL.md", "validators/CHECK.md",
    "validators/choosing/CHOOSE.md", "validators/record/KEEP.md",
]
PILES = "validators/PILES.md"
HEAVY = {
    "numpy", "scipy", "pandas", "openpyxl", "xlsxwriter", "lxml", "formulas", "pint", "formualizer", "rich",
    "fsspec", "joblib", "distributed",
}


def environment(**more):
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "TERM")}
    return {**kept, "PYTHONPATH": str(ROOT), "TERM": "xterm", **more}


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    """A folder in which ``boreledger demo demo`` was run."""
    folder = tmp_path_factory.mktemp("place")
    before = Path.cwd()
    os.chdir(folder)
    try:
        assert RUN.invoke(app, ["demo", "demo", "--quiet"]).exit_code == 0
        yield folder
    finally:
        os.chdir(before)


def example_of(command):
    told = RUN.invoke(app, [command, "--help"]).stdout
    found = re.findall(r"^\s+boreledger (.+)$", told.partition("Example")[2], re.MULTILINE)
    assert len(found) == 1, told
    return shlex.split(found[0])


@pytest.mark.parametrize("command", COMMANDS)
def test_the_example_in_each_help_works(place, tmp_path, command):
    """Exactly as it stands there, on the files of the demo."""
    call = example_of(command)
    assert call[0] == command
    shutil.copytree(place / "demo", tmp_path / "demo")
    os.chdir(tmp_path)
    try:
        result = RUN.invoke(app, call)
    finally:
        os.chdir(place)
    assert result.exit_code in (0, 1), result.stderr
    assert result.stdout
    assert "Traceback" not in result.output
    for path in re.findall(r"\S+\.(?:xlsx|html)", " ".join(call)):
        assert (tmp_path / path).stat().st_size > 1000


def calls_on(page):
    """Return the calls that a page shows, block by block."""
    text = (ROOT / page).read_text(encoding="utf-8")
    for block in re.findall(r"^ *```(?:console|sh|)\n(.+?)^ *```", text, re.MULTILINE | re.DOTALL):
        for line in block.splitlines():
            call = line.strip().removeprefix("$ ")
            if call.startswith("boreledger ") and "--install-completion" not in call:
                yield shlex.split(call, comments=True)[1:]


@pytest.mark.parametrize("page", [*PAGES, PILES])
def test_the_calls_on_each_page_work_one_after_the_other(place, tmp_path, page):
    """In a folder in which the demo was made."""
    calls = list(calls_on(page))
    assert calls
    shutil.copytree(place / "demo", tmp_path / "demo")
    if calls[0] == ["demo", "demo"]:  # the fixture has made it
        calls.pop(0)
    os.chdir(tmp_path)
    try:
        for call in calls:
            result = RUN.invoke(app, call)
            assert result.exit_code in (0, 1), (call, result.stderr)
            assert result.stdout, call
    finally:
        os.chdir(place)


def test_the_readme_shows_what_names_prints():
    """Word for word."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    call, _, shown = re.search(r"\$ boreledger (names .+?)(\n)(.+?)```", text, re.DOTALL).groups()
    assert RUN.invoke(app, shlex.split(call)).stdout == shown


@pytest.mark.parametrize("page", [*PAGES, PILES, "DEVELOPERS.md"])
def test_what_a_page_points_at_is_there(page):
    """Links and pictures, and files named in code type beside a page of their own."""
    text = (ROOT / page).read_text(encoding="utf-8")
    targets = re.findall(r"\]\(([^)#]+)\)", text)
    assert not [t for t in targets if "://" not in t and not ((ROOT / page).parent / t).exists()]
    assert not [p for p in re.findall(r"`([\w/]+/\w+\.md)`", text) if not (ROOT / p).exists()]


@pytest.mark.parametrize("page", PAGES[1:])
def test_a_task_page_is_short_and_linked_from_the_readme(page):
    """Short enough to be read standing."""
    text = (ROOT / page).read_text(encoding="utf-8")
    assert len(text.split()) < 450
    assert f"({page})" in (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["chek", "demo"], "there is no command 'chek'; did you mean 'check'?"),
        (["new", "a.xlsx", "--laoyut", "v8"], "there is no option '--laoyut'; did you mean '--layout'?"),
        (["check", "demo", "--qiet"], "did you mean '--quiet'?"),
        (["new"], "the argument out is missing: The workbook to write"),
        (["merge", "demo/returned/WB-017-clean.xlsx"], "the option --out/-o is missing"),
        (["check", "demo", "--jobs", "none"], "'--jobs'"),
        (["new", "a.xlsx", "--layout", "v88"], "did you mean 'v8'?"),
        (["new", "nowhere/a.xlsx", "--layout", "v8"], "make the folder 'nowhere' first"),
        (["new", "demmo/a.xlsx", "--layout", "v8"], "did you mean 'demo'?"),
        (["new", "demo/returned/WB-017-clean.xlsx", "--layout", "v8"], "it is not overwritten"),
        (["check", "demo", "--report", "nowhere/a.html"], "make the folder 'nowhere' first"),
        (["record", "demo/returned/WB-017-claen.xlsx"], "did you mean 'demo/returned/WB-017-clean.xlsx'?"),
        (["compare", "demo", "demo/returned/WB-017-clean.xlsx"], "this is a folder"),
        (["choose", "none.xlsx"], "there is no file of this name"),
        (["choose", "demo/returned/WB-017-clean.xlsx", "--out", "demo/build.toml"], "not overwritten"),
        (["choose", "demo/returned/WB-017-clean.xlsx", "--stock", "none.csv"], "none.csv"),
        (["names", "demo/returned/WB-017-clean.xlsx", "--only", "carburettor"], "no name holds"),
        (["record", "demo/returned/WB-017-clean.xlsx", "--paper", "a3"], "a4, letter"),
    ],
)
def test_a_wrong_call_is_one_sentence_and_status_2(place, arguments, words):
    """Said at once, on standard error, also when quiet was asked for; nothing is written."""
    before = sorted(place.rglob("*"))
    result = RUN.invoke(app, ["--quiet", *arguments])
    assert result.exit_code == 2
    assert words in result.stderr
    assert result.stderr.startswith("boreledger")
    assert len(result.stderr.splitlines()) <= 2
    assert result.stdout == ""
    assert sorted(place.rglob("*")) == before


def test_where_writing_is_not_allowed_it_is_said(tmp_path, monkeypatch):
    """The right to write is asked for before anything is computed."""
    monkeypatch.setattr(os, "access", lambda path, mode: mode == os.R_OK)
    result = RUN.invoke(app, ["new", str(tmp_path / "a.xlsx"), "--layout", "v8"])
    assert result.exit_code == 2
    assert "there is no right to write in the folder" in result.stderr
    room_for(None)


def test_a_fault_of_the_program_is_a_sentence_too(place, monkeypatch):
    """With --verbose it says where."""

    def broken(*_):
        raise KeyError("deck")

    monkeypatch.setattr("validators.compare.comparison.compare", broken)
    call = ["compare", "demo/returned/WB-017-clean.xlsx", "demo/returned/WB-017-faults.xlsx"]
    result = RUN.invoke(app, call)
    assert result.exit_code == 2
    assert "the program failed (KeyError: 'deck')" in result.stderr
    assert "Traceback" not in result.stderr
    assert "Traceback" in RUN.invoke(app, [*call, "--verbose"]).stderr


def test_quiet_and_verbose_stand_before_or_after_the_command(place):
    """The data are the same."""
    plain = RUN.invoke(app, ["record", "demo/returned/WB-017-clean.xlsx", "--out", "one.html"])
    assert "print it and sign it" in plain.stderr
    for number, call in enumerate((["-q", "record"], ["record", "-q"])):
        told = RUN.invoke(app, [*call, "demo/returned/WB-017-clean.xlsx", "--out", f"quiet{number}.html"])
        assert (told.exit_code, told.stdout, told.stderr) == (0, f"quiet{number}.html\n", "")
    for number, call in enumerate((["-v", "record"], ["record", "-v"])):
        told = RUN.invoke(app, [*call, "demo/returned/WB-017-clean.xlsx", "--out", f"loud{number}.html"])
        assert told.stdout == f"loud{number}.html\n"
        assert "exit status 0" in told.stderr


def test_new_says_where_the_file_is_and_what_comes_next(place):
    """The path is data, the rest is talk."""
    result = RUN.invoke(app, ["new", "our job.xlsx", "--layout", "flat-4"])
    assert result.stdout == "our job.xlsx\n"
    assert str(place / "our job.xlsx") in result.stderr
    assert "boreledger check 'our job.xlsx'" in result.stderr or os.name == "nt"


def test_hints_name_the_program_as_it_was_called(monkeypatch, tmp_path):
    """By its name where the shell finds it, else by the path that was typed."""
    program = tmp_path / "bin" / "boreledger"
    program.parent.mkdir()
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sys, "argv", [str(program)])
    assert called() == str(program)
    monkeypatch.setenv("PATH", str(program.parent))
    assert called() == "boreledger"


def on_terminal(call, folder, **more):
    """Run a call with a terminal for standard output and error; return its status and what it showed."""
    us, them = pty.openpty()
    process = subprocess.Popen(
        [*PROGRAM, *call], stdin=them, stdout=them, stderr=them, cwd=folder, env=environment(**more)
    )
    os.close(them)
    shown = b""
    while True:
        try:
            read = os.read(us, 65536)
        except OSError:  # the other end is closed
            break
        if not read:
            break
        shown += read
    os.close(us)
    return process.wait(), shown.decode()


def test_colour_and_progress_are_for_terminals(place):
    """Colour on a terminal and not where NO_COLOR is set; neither it nor progress where nobody looks."""
    call = ["check", "demo/returned/WB-017-faults.xlsx"]
    status, shown = on_terminal(call, place)
    assert status == 1
    assert "\x1b[1;31m[blocks assembly]\x1b[0m" in shown
    assert "0 checked" in shown
    status, plain = on_terminal([*call, "--quiet"], place, NO_COLOR="1")
    assert status == 1
    assert "0 checked" not in plain
    assert "[blocks assembly]" in plain
    assert "\x1b[1" not in plain
    piped = subprocess.run(
        [*PROGRAM, *call], capture_output=True, cwd=place, env=environment(), text=True, check=False
    )
    assert "\x1b" not in piped.stdout
    assert piped.stderr == ""


def test_long_work_is_shown_on_a_terminal_and_the_line_is_taken_away(place):
    """The seconds count, and the last thing written to the line clears it."""
    status, shown = on_terminal(["new", "shown.xlsx", "--layout", "v8"], place)
    assert status == 0
    assert re.search(r"\rwriting shown.xlsx \.\.\. \d+ s \r\x1b\[K", shown)
    assert "..." not in on_terminal(["new", "unseen.xlsx", "--layout", "v8", "-q"], place)[1]


def test_colour_leaves_the_words_alone(monkeypatch):
    """Without a terminal, or on one that is dumb, the text is what it was."""
    text = "  The sheet\n    READ02 reading-is-text [blocks assembly]   Bores!F14  Bore\n"
    assert coloured(text) == text
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "dumb")
    assert coloured(text) == text
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert coloured(text) != text
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured(text)) == text


@pytest.mark.parametrize(
    ("call", "file"),
    [
        (["names", "--layout", "v8", "--json"], None),
        (["check", "demo/returned", "--json", "--report", "piped.html"], "piped.html"),
    ],
)
def test_a_reader_who_stops_early_gets_no_traceback(place, call, file):
    """Status 141; a report that was asked for is written all the same."""
    process = subprocess.Popen(
        [*PROGRAM, *call], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=place, env=environment()
    )
    process.stdout.read(20)
    process.stdout.close()
    told = process.stderr.read().decode()
    assert process.wait() == 141
    assert "Traceback" not in told
    assert "rror" not in told
    process.stderr.close()
    assert file is None or (place / file).stat().st_size > 1000


def test_a_full_disk_is_a_sentence(place):
    """Where the data cannot be written."""
    if not Path("/dev/full").exists():
        pytest.skip("this system has no device that is always full")
    with open("/dev/full", "w") as full:
        told = subprocess.run(
            [*PROGRAM, "ledger"], stdout=full, stderr=subprocess.PIPE, cwd=place, env=environment(),
            text=True, check=False,
        )
    assert told.returncode == 2
    assert "Traceback" not in told.stderr
    assert "boreledger: " in told.stderr


def test_ctrl_c_is_a_sentence_and_status_130(place):
    """Wherever it comes, once the program has begun."""
    many = place / "many"
    many.mkdir()
    for number in range(200):
        (many / f"{number}.xlsx").hardlink_to(place / "demo" / "returned" / "WB-017-faults.xlsx")
    with heeded():
        process = subprocess.Popen(
            [*PROGRAM, "check", "many", "--verbose", "--report", "stopped.html"],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=place, env=environment(), text=True,
        )
    assert process.stderr.readline().startswith("boreledger: Python")
    time.sleep(1)
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=60)
    assert process.returncode == 130, told
    assert "boreledger: stopped" in told
    assert "Traceback" not in told
    assert not (place / "stopped.html").exists()


@pytest.mark.parametrize(
    ("words", "completed"),
    [
        ("boreledger ch", {"check", "choose"}),
        ("boreledger new --lay", {"--layout"}),
        ("boreledger new --layout v", {"v6", "v8"}),
        ("boreledger names --units ", set(FAMILIES)),
        ("boreledger record demo/returned/WB-017-clean.xlsx --paper ", {"a4", "letter"}),
    ],
)
def test_the_shell_completes_commands_options_and_words(place, words, completed):
    """As the script that --install-completion installs asks for it."""
    asked = environment(
        _BORELEDGER_COMPLETE="complete_bash", COMP_WORDS=words, COMP_CWORD=str(words.count(" "))
    )
    told = subprocess.run(PROGRAM, capture_output=True, cwd=place, env=asked, text=True, check=False)
    assert set(told.stdout.split()) == completed
    assert told.stderr == ""


def test_the_program_starts_without_what_only_its_commands_need():
    """Help and version load no array, no spreadsheet library, no writer of colours."""
    for call in (["--help"], ["--version"], ["check", "--help"]):
        told = subprocess.run(
            [sys.executable, "-X", "importtime", *PROGRAM[1:], *call],
            capture_output=True, env=environment(), text=True, check=True,
        )
        loaded = {line.rpartition("|")[2].strip().partition(".")[0] for line in told.stderr.splitlines()}
        assert "typer" in loaded
        assert not loaded & HEAVY


def test_the_help_names_what_there_is():
    """The layouts and families that help texts list are those that are known."""
    told = " ".join(RUN.invoke(app, ["new", "--help"]).stdout.split())
    assert ", ".join(sorted(presets())) == ", ".join(
        sorted(re.search(r"A known layout: ([^.]+)\.", told)[1].replace(",", "").split())
    )
    assert all(family in told for family in FAMILIES)
    statuses = RUN.invoke(app, ["--help"]).stdout
    for status in ("0", "1", "2", "130", "141"):
        assert re.search(rf"\b{status}\s+\w", statuses)


def test_json_that_is_printed_is_json(place):
    """Nothing else gets between."""
    for call in (
        ["choose", "demo/returned/WB-017-clean.xlsx", "--json"], ["names", "--layout", "inline-3", "--json"],
        ["ledger", "--json"],
    ):
        json.loads(RUN.invoke(app, call).stdout)
