"""The program: parse, call, render.  Imported by nobody."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sheetgen.errors import DefinitionError
from sheetgen.garbage import collected_later
from validators.given_paths import apart_from, neighbour, one_workbook, quoted, room_for
from validators.options import AsJson, Key, NewFile, Quiet, Verbose, families, layouts, papers
from validators.program import NAME, STATUSES, Program, called, example, said_when_stopped, sentences
from validators.terminal import busy, coloured, complain, pile_progress, say, say_line, tell

app = typer.Typer(
    cls=Program,
    no_args_is_help=True,
    add_completion=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Write measurement workbooks for piston-engine short blocks, and check the copies that return.",
    epilog=f"Begin with:  {NAME} demo demo\n\n{STATUSES}",
)

def _version(show: bool) -> None:
    if show:
        from importlib.metadata import PackageNotFoundError, version

        from sheetgen.template import template_version

        try:
            number = version(NAME)
        except PackageNotFoundError:
            number = "(not installed)"
        say_line(f"{NAME} {number}, template version {template_version()}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say which version this is.")
    ] = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Set up what every command shares."""


@app.command("new", epilog=example("new WB-018.xlsx --layout v8 --units inch"))
def new_command(
    out: Annotated[
        Path, typer.Argument(help="The workbook to write; an existing file is never overwritten.")
    ],
    layout: Annotated[
        str,
        typer.Option(
            help="A known layout: inline-3, inline-4, inline-6, v6, v8, flat-4, flat-6.",
            autocompletion=layouts,
        ),
    ] = "",
    units: Annotated[str, typer.Option(help="millimetre or inch.", autocompletion=families)] = "",
    build: Annotated[
        Path | None, typer.Option(help="A build file (TOML) with layout, sizes, limits, targets, marks.")
    ] = None,
    top_end: Annotated[
        bool, typer.Option("--top-end", help="With the sheet for the head: lash, springs, valves, timing.")
    ] = False,
    key: Key = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Write a workbook for one engine."""
    with sentences(), collected_later():
        from sheetgen.cli import new

        room_for(out, (".xlsx",))
        with busy(f"writing {out.name}"):
            plan = new(out, layout=layout, units=units, build=build, top_end=top_end, key=key)
        say(f"{out}\n")
        tell(
            f"Written: {out.absolute()}\n"
            f"  {plan.build.layout.name}, {plan.build.family} family, {len(plan.sheets)} sheets.\n"
            "Next:\n"
            "  1. Open it in a spreadsheet program and fill in what is yours on 'Job card' and 'Parts'.\n"
            "  2. Send the file to whoever measures; the boxed cells are theirs.\n"
            f"  3. When it comes back:  {called()} check {quoted(out)}"
        )


@app.command("issue", epilog=example("issue demo/WB-017-issued.xlsx -o WB-017-sent.xlsx"))
def issue_command(
    workbook: Annotated[
        Path, typer.Argument(help="A workbook into which the builder typed limits, parts and targets.")
    ],
    out: NewFile,
    key: Key = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Make a workbook ready to be sent.

    What is given in it becomes part of its birth record.
    """
    with sentences():
        from sheetgen.seal import read_key
        from validators.issuing import issue

        room_for(out, (".xlsx",))
        with busy(f"writing {out.name}"):
            plan = issue(one_workbook(workbook), out, key=None if key is None else read_key(key))
        say(f"{out}\n")
        with_key = f" --key {quoted(key)}" if key else ""
        tell(
            f"Issued: {out.absolute()}\n"
            f"  plan '{plan.digest[:12]}'. Keep a copy of this file.\n"
            f"Next, when it comes back:  {called()} check RETURNED --issued {quoted(out)}{with_key}"
        )


@app.command("key", epilog=example("key shop.key"))
def key_command(
    out: Annotated[Path, typer.Argument(help="The file to write; an existing file is never overwritten.")],
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Write a new shop key, for keyed digests.

    Keep it where nobody else can read it.
    """
    with sentences():
        from sheetgen.seal import write_key

        room_for(out)
        key = write_key(out)
        say(f"{out}\n")
        tell(
            f"A new shop key, '{key.mark}'. Whoever has the file can write keyed digests: keep it in the "
            "shop, and a copy of it apart."
        )


@app.command("check", epilog=example("check demo/returned --report monday.html"))
def check_command(
    paths: Annotated[
        list[str],
        typer.Argument(
            help="Returned workbooks (.xlsx, .ods), or folders, zip archives and saved mails (.eml, .mbox) "
            "that hold some; also by address, such as s3://jobs/returned."
        ),
    ],
    report: Annotated[
        Path | None,
        typer.Option(help="Write the whole report to this file: .html, .xlsx, .csv or .json."),
    ] = None,
    json: AsJson = False,
    all_findings: Annotated[
        bool, typer.Option("--all", help="Show what is only for information, too.")
    ] = False,
    issued: Annotated[
        list[Path] | None,
        typer.Option(help="What was sent out (a workbook, or a folder of them; may be repeated): limits, "
                     "targets and whatever stood in it are compared with it."),
    ] = None,
    key: Key = None,
    jobs: Annotated[
        int | None, typer.Option(help="Most worker processes; otherwise one for each core.", min=1)
    ] = None,
    limits: Annotated[
        Path | None, typer.Option(help="Other limits on size, memory and time than usual (TOML).")
    ] = None,
    keep: Annotated[
        Path | None,
        typer.Option(help="Keep what comes of each file in this folder, as it comes: when a run was stopped, "
                     "the same call goes on from there. What was changed since is checked again."),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(help="Have the files checked by the machines of a Dask cluster instead: the address of "
                     "its scheduler, such as tcp://10.0.0.5:8786."),
    ] = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Recompute and judge returned workbooks."""
    with sentences():
        from sheetgen.seal import read_key
        from validators.batch import check_files
        from validators.ceilings import RunLimits, cores, read_limits
        from validators.elsewhere import Elsewhere, given, local, reached
        from validators.issued import Issued, read_issued
        from validators.reports.as_json import json_texts
        from validators.reports.as_text import as_text
        from validators.reports.write import refuse_unfit, write_report

        places = list(map(given, paths))
        here = local(places)
        if report is not None:
            refuse_unfit(report, [*here, *(issued or ()), *([key] if key else ())])
            room_for(report, replaces=True)
        if keep is not None:
            apart_from(keep, here)
        for place in places:
            if isinstance(place, Elsewhere):
                reached(place)
        for path in here:
            if not path.exists():
                complain(f"{NAME}: {path}: there is no file of this name{neighbour(path)}")
        allowed = RunLimits() if limits is None else read_limits(limits)
        sent = Issued(read_issued(issued or ()), None if key is None else read_key(key))
        with pile_progress() as told, said_when_stopped(keep):
            found = check_files(
                places, told, jobs=jobs or (0 if cluster else cores()), limits=allowed,
                issued=sent if issued or key else None, keep=keep, cluster=cluster,
            )
        if not found.sheets:
            for finding in found.findings:
                complain(f"{NAME}: {finding.place.file}: {finding.found}, passed over")
            raise DefinitionError(", ".join(map(str, places)), "there is no workbook in it")
        for text in json_texts(found) if json else [coloured(as_text(found, all_findings=all_findings))]:
            say(text)
        if report is not None:
            write_report(found, report)
            tell(f"Report: {report.absolute()}")
        raise typer.Exit(found.exit_status)


@app.command(
    "choose",
    epilog=example("choose demo/returned/WB-017-parts-out.xlsx --stock demo/shells.csv --out chosen.xlsx"),
)
def choose_command(
    workbook: Annotated[Path, typer.Argument(help="A workbook with its readings.")],
    stock: Annotated[
        Path | None, typer.Option(help="Shells in stock (CSV: bearing, grade, half, count).")
    ] = None,
    masses: Annotated[
        Path | None, typer.Option(help="Masses in place of those weighed (CSV: kind, mark, mass in g).")
    ] = None,
    banks_alike: Annotated[
        bool, typer.Option("--banks-alike", help="The same gasket on every bank.")
    ] = False,
    leave_rods: Annotated[
        bool, typer.Option("--leave-rods", help="Leave every rod where it is, and every pin in its piston.")
    ] = False,
    out: Annotated[
        Path | None, typer.Option(help="Write a copy of the workbook with the choice entered (.xlsx).")
    ] = None,
    offered: Annotated[
        Path | None,
        typer.Option(help="Rank parts on offer instead, before anything is bought (CSV: kind, mark, ...)."),
    ] = None,
    report: Annotated[
        Path | None, typer.Option(help="With --offered: write the trade-off as a page (.html).")
    ] = None,
    json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Choose shells, pistons, rods and gasket over the whole engine."""
    with sentences():
        from validators.choosing.command import Asked, run

        one_workbook(workbook)
        room_for(out)
        room_for(report)
        asked = Asked(
            workbook=workbook, stock=stock, masses=masses, offered=offered, out=out, report=report,
            banks_alike=banks_alike, leave_rods=leave_rods, as_json=json,
        )
        shown: list[str] = []
        written: list[str] = []
        with busy("choosing"):
            status = run(asked, shown.append, written.append)
        say("".join(shown))
        for line in written:
            tell(line)
        raise typer.Exit(status)


@app.command("demo", epilog=example("demo work-boat"))
def demo_command(
    folder: Annotated[Path, typer.Argument(help="A folder to write the scenario to; it is made if needed.")],
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Write, fill and check an invented job, with faults planted."""
    with sentences():
        from validators.batch import check_files
        from validators.demo import COPIES, write_demo
        from validators.reports.as_text import as_text

        with busy("writing a workbook and filling three copies"):
            issued, returned = write_demo(folder)
        say(f"The workbook as it goes out:  {issued}\n\n")
        for copy, path in zip(COPIES, returned, strict=True):
            with busy(f"checking {path.name}"):
                found = check_files([path])
            say(f"A copy as it comes back: {copy.about}.\n\n{coloured(as_text(found))}\n")
        faults, place = quoted(returned[-1]), quoted(returned[-1].parent)
        tell(
            f"All numbers are invented. The files are in {folder.absolute()}\n"
            "Next:\n"
            f"  1. Open {faults} in a spreadsheet program and look at 'Bores' and 'Summary'.\n"
            f"  2. Change something, save, and run:  {called()} check {faults}\n"
            f"  3. The whole pile as a page:  {called()} check {place} --report monday.html"
        )


@app.command(
    "compare",
    epilog=example("compare demo/returned/WB-017-clean.xlsx demo/returned/WB-017-parts-out.xlsx"),
)
def compare_command(
    first: Annotated[
        Path, typer.Argument(help="A returned copy (.xlsx, .ods), or an archive or mail that holds it.")
    ],
    second: Annotated[Path, typer.Argument(help="Another copy of the same workbook, from another hand.")],
    report: Annotated[
        Path | None, typer.Option(help="Write it to this file as well: .html (with plots), .json or .csv.")
    ] = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Compare two people's readings of the same parts."""
    with sentences():
        from sheetgen.workbook import save_new
        from validators.compare import as_data, as_html, as_text
        from validators.compare.comparison import compare

        forms = {".html": as_html.as_html, ".json": as_data.as_json, ".csv": as_data.as_csv}
        room_for(report, forms)
        with busy("comparing"):
            found = compare(one_workbook(first), one_workbook(second))
        say(as_text.as_text(found))
        if report is not None:
            mark = "utf-8-sig" if report.suffix.lower() == ".csv" else "utf-8"
            save_new(report, forms[report.suffix.lower()](found).encode(mark))
            tell(f"Report: {report.absolute()}")
        raise typer.Exit(found.exit_status)


@app.command(
    "merge",
    epilog=example(
        "merge demo/returned/WB-017-clean.xlsx demo/returned/WB-017-parts-out.xlsx -o together.xlsx"
    ),
)
def merge_command(
    copies: Annotated[list[Path], typer.Argument(help="Two or more copies of one workbook, as for compare.")],
    out: NewFile,
    prefer: Annotated[
        Path | None, typer.Option(help="The copy whose entry stands where hands differ.")
    ] = None,
    join_notes: Annotated[
        bool, typer.Option("--join-notes", help="Put names and notes that differ one after the other.")
    ] = False,
    json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Write one workbook from copies of several hands.

    Conflicts are listed and left open.
    """
    with sentences():
        from validators.merge.as_text import as_json, as_text
        from validators.merge.merging import merge

        for copy in copies:
            one_workbook(copy)
        room_for(out, (".xlsx",))
        with busy("merging"):
            merged = merge(copies, out, prefer=prefer, join_notes=join_notes)
        say(as_json(merged) if json else as_text(merged))
        if out.exists():
            tell(f"Written: {out.absolute()}\nNext:  {called()} check {quoted(out)}")
        raise typer.Exit(merged.exit_status)


@app.command("record", epilog=example("record demo/returned/WB-017-clean.xlsx --out WB-017.html"))
def record_command(
    workbook: Annotated[
        Path, typer.Argument(help="A returned workbook (.xlsx, .ods), or an archive or mail that holds it.")
    ],
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", "-o", help="The page to write, .html or .pdf; otherwise 'NAME record.html' beside it."
        ),
    ] = None,
    paper: Annotated[
        str, typer.Option(help="a4 or letter; otherwise as the family of units.", autocompletion=papers)
    ] = "",
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Write the printable record of a build, with room to sign."""
    with sentences():
        from sheetgen.workbook import save_new
        from validators.copies import outer_file
        from validators.record.as_html import PAPERS, as_html
        from validators.record.as_pdf import as_pdf
        from validators.record.recording import record

        out = out or outer_file(workbook).with_name(f"{workbook.stem} record.html")
        if paper.lower() not in ("", *PAPERS):
            raise DefinitionError("--paper", f"paper is one of {', '.join(PAPERS)}")
        one_workbook(workbook)
        room_for(out, (".html", ".pdf"))
        with busy(f"writing {out.name}"):
            told = record(workbook)
            html = as_html(told, paper=paper.lower())
            save_new(out, as_pdf(html) if out.suffix.lower() == ".pdf" else html.encode())
        say(f"{out}\n")
        then = "print it and sign it" if told.exit_status == 0 else f"{called()} check {quoted(workbook)}"
        tell(f"{told.title}: {told.state}\nWritten: {out.absolute()}\nNext:  {then}")
        raise typer.Exit(told.exit_status)


@app.command("names", epilog=example("names --layout v8 --units inch --only clearance"))
def names_command(
    workbook: Annotated[Path | None, typer.Argument(help="A workbook; otherwise say --layout.")] = None,
    layout: Annotated[
        str, typer.Option(help="A known layout, such as v8.", autocompletion=layouts)
    ] = "",
    units: Annotated[
        str, typer.Option(help="millimetre or inch, with --layout.", autocompletion=families)
    ] = "",
    only: Annotated[str, typer.Option(help="Only names that hold this text.")] = "",
    json: AsJson = False,
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV, one line for each cell.")] = False,
    verbose: Verbose = False,
) -> None:
    """List every input and output of a workbook.

    Name, label, unit, cell, formula in words, source.
    """
    with sentences():
        from validators.names import forms
        from validators.names.listing import names

        if json and csv:
            raise DefinitionError("names", "say --json or --csv, not both")
        if workbook is not None and not (layout or units):
            one_workbook(workbook)
        told = names(workbook, layout=layout, units=units, only=only)
        if not told:
            raise DefinitionError("--only", f"no name holds '{only}'")
        form = forms.as_json if json else forms.as_csv if csv else forms.as_text
        say(form(told))


@app.command("prove", epilog=example("prove --builds 2 --layout inline-3 --units inch --engine formulas"))
def prove_command(
    builds: Annotated[
        int | None,
        typer.Option(
            help="Random builds for each layout and family of units; 200 for 'formulas' alone, else 20.",
            min=1, show_default=False,
        ),
    ] = None,
    layout: Annotated[
        list[str] | None, typer.Option(help="Only these layouts.", autocompletion=layouts)
    ] = None,
    units: Annotated[
        list[str] | None, typer.Option(help="Only these families of units.", autocompletion=families)
    ] = None,
    seed: Annotated[int, typer.Option(help="First seed.")] = 0,
    engine: Annotated[
        list[str] | None,
        typer.Option(help="Only these engines: formulas, formualizer, office. Else all that are installed."),
    ] = None,
    minutes: Annotated[float | None, typer.Option(help="Stop after so long.", min=0.1)] = None,
    certificate: Annotated[Path | None, typer.Option(help="Write the certificate there, as JSON.")] = None,
    mutants: Annotated[
        bool, typer.Option("--mutants", help="Prove as well that the proof can fail.")
    ] = False,
    jobs: Annotated[int, typer.Option(help="Worker processes.", min=1)] = 1,
    verbose: Verbose = False,
) -> None:
    """Compare every formula with the reference core.

    Over random builds, engine by engine.
    """
    with sentences():
        from sheetgen.workbook import bare_workbook
        from validators.engines.command import prove_with

        ok = prove_with(
            builds, layout or [], units or [], seed, engine or [], minutes=minutes, certificate=certificate,
            mutants=mutants, jobs=jobs, write=bare_workbook, echo=say_line, told=tell,
        )
        raise typer.Exit(0 if ok else 1)


@app.command("ledger", epilog=example("ledger"))
def ledger_command(json: AsJson = False) -> None:
    """Print what every result is held against.

    What it was compared with outside this project, and how closely.
    """
    with sentences():
        from validators.ledger import LEDGER, as_lines, read_ledger

        say(LEDGER.read_text(encoding="utf-8") if json else as_lines(read_ledger()))


if __name__ == "__main__":
    app()
