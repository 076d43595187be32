"""The program: parse, call, render.  Imported by nobody."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Annotated

import typer

from sheetgen.cli import new
from sheetgen.errors import DefinitionError

app = typer.Typer(
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    help="Write measurement workbooks for piston-engine short blocks, and check the copies that return.",
    epilog="Exit status: 0 nothing to act on, 1 something to act on, 2 something could not be read or "
    "the call was wrong.",
)


@contextmanager
def sentences() -> Iterator[None]:
    """Turn what is ours to expect into one sentence and exit status 2."""
    try:
        yield
        sys.stdout.flush()
    except DefinitionError as error:
        typer.echo(f"boreledger: {error}", err=True)
        raise typer.Exit(2) from None
    except KeyboardInterrupt:
        typer.echo("boreledger: stopped; nothing was changed", err=True)
        raise typer.Exit(130) from None
    except BrokenPipeError:
        sys.stderr.close()
        raise typer.Exit(0) from None
    except OSError as error:
        where = "" if error.filename is None else f" ({error.filename})"
        typer.echo(f"boreledger: {error.strerror or error}{where}; nothing was left half written", err=True)
        _let_go_of_output()
        raise typer.Exit(2) from None


def _let_go_of_output() -> None:
    """Give up what cannot be written, so that the program does not try again when it ends."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _version(show: bool) -> None:
    if show:
        from importlib.metadata import PackageNotFoundError, version

        from sheetgen.template import template_version

        try:
            number = version("boreledger")
        except PackageNotFoundError:
            number = "(not installed)"
        typer.echo(f"boreledger {number}, template version {template_version()}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say which version this is.")
    ] = False,
    verbose: Annotated[bool, typer.Option("--verbose", "-v", help="Tell more, on standard error.")] = False,
) -> None:
    """Set up what every command shares."""
    logging.basicConfig(
        stream=sys.stderr,
        level=logging.DEBUG if verbose else logging.CRITICAL,
        format="%(name)s: %(message)s",
    )
    for noisy in ("formulas", "schedula", "pint"):
        logging.getLogger(noisy).setLevel(logging.CRITICAL)


@app.command("new", epilog="Example:  boreledger new job-0042.xlsx --layout v8 --units inch")
def new_command(
    out: Annotated[
        Path, typer.Argument(help="The workbook to write; an existing file is never overwritten.")
    ],
    layout: Annotated[
        str, typer.Option(help="A known layout: inline-3, inline-4, inline-6, v6, v8, flat-4, flat-6.")
    ] = "",
    units: Annotated[str, typer.Option(help="millimetre or inch.")] = "",
    build: Annotated[
        Path | None, typer.Option(help="A build file (TOML) with layout, sizes, limits, targets, marks.")
    ] = None,
    top_end: Annotated[
        bool, typer.Option("--top-end", help="With the sheet for the head: lash, springs, valves, timing.")
    ] = False,
) -> None:
    """Write a workbook for one engine."""
    with sentences():
        plan = new(out, layout=layout, units=units, build=build, top_end=top_end)
        typer.echo(out)
        typer.echo(
            f"Written: {plan.build.layout.name}, {plan.build.family} family, "
            f"{len(plan.sheets)} sheets.\n"
            "Next: fill in what is yours on 'Job card' and 'Parts', then send the file to whoever measures.\n"
            f'When it comes back:  boreledger check "{out}"',
            err=True,
        )


@app.command("check", epilog="Example:  boreledger check returned/ mails.mbox --report monday.html")
def check_command(
    paths: Annotated[
        list[Path],
        typer.Argument(
            help="Returned workbooks (.xlsx, .ods), or folders, zip archives and saved mails (.eml, .mbox) "
            "that hold some."
        ),
    ],
    report: Annotated[
        Path | None,
        typer.Option(help="Write the whole report to this file: .html, .xlsx, .csv or .json."),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    all_findings: Annotated[
        bool, typer.Option("--all", help="Show what is only for information, too.")
    ] = False,
    jobs: Annotated[
        int | None, typer.Option(help="Most worker processes; otherwise one for each core.", min=1)
    ] = None,
    limits: Annotated[
        Path | None,
        typer.Option(help="Other limits on size, memory and time than usual (TOML)."),
    ] = None,
    quiet: Annotated[bool, typer.Option("--quiet", "-q", help="No talk on standard error.")] = False,
) -> None:
    """Recompute and judge returned workbooks."""
    with sentences():
        from validators.batch import check_files
        from validators.ceilings import RunLimits, cores, read_limits
        from validators.progress import Progress
        from validators.reports.as_json import as_json
        from validators.reports.as_text import as_text
        from validators.reports.write import refuse_unfit, write_report

        if report is not None:
            refuse_unfit(report, paths)
        allowed = RunLimits() if limits is None else read_limits(limits)
        with Progress(sys.stderr, shown=not quiet) as told:
            found = check_files(paths, told, jobs=jobs or cores(), limits=allowed)
        if not found.sheets:
            for finding in found.findings:
                typer.echo(f"boreledger: {finding.place.file}: {finding.found}, passed over", err=True)
            typer.echo("boreledger: there is no workbook in " + ", ".join(map(str, paths)), err=True)
            raise typer.Exit(2)
        typer.echo(as_json(found) if json else as_text(found, all_findings=all_findings), nl=False)
        if report is not None:
            write_report(found, report)
            if not quiet:
                typer.echo(f"Report: {report}", err=True)
        raise typer.Exit(found.exit_status)


@app.command("choose", epilog="Example:  boreledger choose WB-017.xlsx --stock shells.csv --out chosen.xlsx")
def choose_command(
    workbook: Annotated[Path, typer.Argument(help="A workbook with its readings.")],
    stock: Annotated[
        Path | None, typer.Option(help="Shells in stock (CSV: bearing, grade, half, count).")
    ] = None,
    masses: Annotated[
        Path | None, typer.Option(help="Masses of pistons, pins and rods (CSV: kind, mark, mass in g).")
    ] = None,
    banks_alike: Annotated[
        bool, typer.Option("--banks-alike", help="The same gasket on every bank.")
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
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
) -> None:
    """Choose shells, pistons, rods and gasket over the whole engine."""
    with sentences():
        from validators.choosing.command import Asked, run

        asked = Asked(
            workbook=workbook, stock=stock, masses=masses, offered=offered, out=out, report=report,
            banks_alike=banks_alike, as_json=json,
        )
        raise typer.Exit(
            run(asked, lambda text: typer.echo(text, nl=False), lambda text: typer.echo(text, err=True))
        )


@app.command("demo", epilog="Example:  boreledger demo work-boat")
def demo_command(
    folder: Annotated[Path, typer.Argument(help="A folder to write the scenario to; it is made if needed.")],
) -> None:
    """Write, fill and check an invented job, with faults planted."""
    with sentences():
        from validators.batch import check_files
        from validators.demo import COPIES, write_demo
        from validators.reports.as_text import as_text

        issued, returned = write_demo(folder)
        typer.echo(f"The workbook as it goes out:  {issued}\n")
        for copy, path in zip(COPIES, returned, strict=True):
            typer.echo(f"A copy as it comes back: {copy.about}.\n")
            typer.echo(as_text(check_files([path])))
        typer.echo(
            "All numbers are invented. Open the files in a spreadsheet program, change something, save, "
            f'and run:  boreledger check "{folder}"'
        )


@app.command("compare", epilog="Example:  boreledger compare first.xlsx second.xlsx --report agreement.html")
def compare_command(
    first: Annotated[Path, typer.Argument(help="A returned copy.")],
    second: Annotated[Path, typer.Argument(help="Another copy of the same workbook, from another hand.")],
    report: Annotated[
        Path | None, typer.Option(help="Write it to this file as well: .html (with plots), .json or .csv.")
    ] = None,
) -> None:
    """Compare two people's readings of the same parts."""
    with sentences():
        from sheetgen.workbook import save_new
        from validators.compare import as_data, as_html, as_text
        from validators.compare.comparison import compare

        forms = {".html": as_html.as_html, ".json": as_data.as_json, ".csv": as_data.as_csv}
        _check_ending(report, forms)
        found = compare(first, second)
        typer.echo(as_text.as_text(found), nl=False)
        if report is not None:
            mark = "utf-8-sig" if report.suffix.lower() == ".csv" else "utf-8"
            save_new(report, forms[report.suffix.lower()](found).encode(mark))
            typer.echo(f"Report: {report}", err=True)
        raise typer.Exit(found.exit_status)


@app.command("merge", epilog="Example:  boreledger merge bores.xlsx crank.xlsx -o together.xlsx")
def merge_command(
    copies: Annotated[list[Path], typer.Argument(help="Two or more returned copies of one workbook.")],
    out: Annotated[Path, typer.Option("--out", "-o", help="The workbook to write; never one that exists.")],
    prefer: Annotated[
        Path | None, typer.Option(help="The copy whose entry stands where hands differ.")
    ] = None,
    join_notes: Annotated[
        bool, typer.Option("--join-notes", help="Put names and notes that differ one after the other.")
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
) -> None:
    """Write one workbook from copies filled by different hands; conflicts are listed and left open."""
    with sentences():
        from validators.merge.as_text import as_json, as_text
        from validators.merge.merging import merge

        merged = merge(copies, out, prefer=prefer, join_notes=join_notes)
        typer.echo(as_json(merged) if json else as_text(merged), nl=False)
        raise typer.Exit(merged.exit_status)


@app.command("record", epilog="Example:  boreledger record WB-017.xlsx --out WB-017.pdf")
def record_command(
    workbook: Annotated[Path, typer.Argument(help="A returned workbook.")],
    out: Annotated[
        Path | None,
        typer.Option(help="The page to write, .html or .pdf; otherwise 'NAME record.html' beside it."),
    ] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter; otherwise as the family of units.")] = "",
) -> None:
    """Write the printable record of a build, with room to sign."""
    with sentences():
        from sheetgen.workbook import save_new
        from validators.record.as_html import PAPERS, as_html
        from validators.record.as_pdf import as_pdf
        from validators.record.recording import record

        out = out or workbook.with_name(f"{workbook.stem} record.html")
        _check_ending(out, (".html", ".pdf"))
        if paper.lower() not in ("", *PAPERS):
            raise DefinitionError("--paper", f"paper is one of {', '.join(PAPERS)}")
        if out.exists():
            raise DefinitionError(str(out), "there is a file of this name; it is not overwritten")
        told = record(workbook)
        html = as_html(told, paper=paper.lower())
        save_new(out, as_pdf(html) if out.suffix.lower() == ".pdf" else html.encode())
        typer.echo(out)
        typer.echo(f"{told.title}: {told.state}", err=True)
        raise typer.Exit(told.exit_status)


@app.command("names", epilog="Example:  boreledger names --layout v8 --units inch --only clearance")
def names_command(
    workbook: Annotated[Path | None, typer.Argument(help="A workbook; otherwise say --layout.")] = None,
    layout: Annotated[str, typer.Option(help="A known layout, such as v8.")] = "",
    units: Annotated[str, typer.Option(help="millimetre or inch, with --layout.")] = "",
    only: Annotated[str, typer.Option(help="Only names that hold this text.")] = "",
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV, one line for each cell.")] = False,
) -> None:
    """List every input and output: name, label, unit, cell, formula in words, source."""
    with sentences():
        from validators.names import forms
        from validators.names.listing import names

        if json and csv:
            raise DefinitionError("names", "say --json or --csv, not both")
        told = names(workbook, layout=layout, units=units, only=only)
        if not told:
            raise DefinitionError("--only", f"no name holds '{only}'")
        form = forms.as_json if json else forms.as_csv if csv else forms.as_text
        typer.echo(form(told), nl=False)


def _check_ending(path: Path | None, forms: Iterable[str]) -> None:
    if path is not None and path.suffix.lower() not in forms:
        raise DefinitionError(str(path), f"its name ends in {' or '.join(forms)}")


@app.command("prove", epilog="Example:  boreledger prove --builds 1000 --layout v8")
def prove_command(
    builds: Annotated[
        int, typer.Option(help="Random builds for each layout and family of units.", min=1)
    ] = 200,
    layout: Annotated[list[str] | None, typer.Option(help="Only these layouts.")] = None,
    units: Annotated[list[str] | None, typer.Option(help="Only these families of units.")] = None,
    seed: Annotated[int, typer.Option(help="First seed.")] = 0,
    mutants: Annotated[
        bool, typer.Option("--mutants", help="Prove as well that the proof can fail.")
    ] = False,
    jobs: Annotated[int, typer.Option(help="Worker processes.", min=1)] = 1,
) -> None:
    """Compare every formula with the reference core over random builds."""
    with sentences():
        from validators.prove import prove_and_print

        ok = prove_and_print(
            builds, layout or [], units or [], seed, mutants=mutants, jobs=jobs, echo=typer.echo
        )
        raise typer.Exit(0 if ok else 1)


@app.command("ledger", epilog="Example:  boreledger ledger")
def ledger_command(
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
) -> None:
    """Print what every result is held against outside this project, and how closely."""
    from validators.ledger import LEDGER, as_lines, read_ledger

    typer.echo(LEDGER.read_text(encoding="utf-8") if json else as_lines(read_ledger()), nl=False)


if __name__ == "__main__":
    app()
