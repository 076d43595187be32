"""The program: parse, call, render.  Imported by nobody."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterator
from contextlib import contextmanager
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
    except DefinitionError as error:
        typer.echo(f"boreledger: {error}", err=True)
        raise typer.Exit(2) from None
    except KeyboardInterrupt:
        typer.echo("boreledger: stopped; nothing was changed", err=True)
        raise typer.Exit(130) from None
    except BrokenPipeError:
        sys.stderr.close()
        raise typer.Exit(0) from None


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
) -> None:
    """Write a workbook for one engine."""
    with sentences():
        plan = new(out, layout=layout, units=units, build=build)
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
    jobs: Annotated[int, typer.Option(help="Worker processes.", min=1)] = 1,
    quiet: Annotated[bool, typer.Option("--quiet", "-q", help="No talk on standard error.")] = False,
) -> None:
    """Recompute and judge returned workbooks."""
    with sentences():
        from validators.batch import check_files
        from validators.progress import Progress
        from validators.reports.as_json import as_json
        from validators.reports.as_text import as_text
        from validators.reports.write import refuse_unfit, write_report

        if report is not None:
            refuse_unfit(report, paths)
        with Progress(sys.stderr, shown=not quiet) as told:
            found = check_files(paths, told, jobs=jobs)
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


if __name__ == "__main__":
    app()
