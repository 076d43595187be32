"""Imports run one way: templates_src, sheetgen, validators; the core stands alone."""

import ast
import sys
from pathlib import Path

import pytest

import sheetgen
import validators

ROOT = Path(__file__).resolve().parents[2]
WRITERS = {"sheetgen.workbook"}
MAY_WRITE = {
    "validators/demo.py", "validators/cli.py", "validators/merge/merging.py",
    "validators/choosing/entered.py", "validators/choosing/command.py", "validators/issuing.py",
}
"""The demo writes workbooks to judge, a choice is entered in a copy, merging and issuing write one anew; the
program mounts the commands that write."""
DATA = {".toml", ".csv", ".png", ".svg", ".md"}


def sources(folder):
    return sorted(path for path in (ROOT / folder).rglob("*.py") if "__pycache__" not in path.parts)


def imports(path):
    """Yield every module that a file imports, at its head or inside a function."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{path}: a relative import"
            yield node.module
            yield from (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("import_module"):
            first = node.args[0]
            if isinstance(first, ast.Constant):
                yield first.value
            elif isinstance(first, ast.JoinedStr) and isinstance(first.values[0], ast.Constant):
                yield first.values[0].value.rstrip(".")


def where(path):
    return path.relative_to(ROOT).as_posix()


def test_this_checkout_is_what_is_tested():
    assert Path(validators.__file__).resolve() == ROOT / "validators" / "__init__.py"
    assert Path(sheetgen.__file__).resolve() == ROOT / "sheetgen" / "__init__.py"


@pytest.mark.parametrize("path", sources("validators/reference"), ids=where)
def test_the_core_imports_only_numpy_the_standard_library_and_itself(path):
    for name in imports(path):
        head = name.partition(".")[0]
        assert head in sys.stdlib_module_names or head == "numpy" or (
            name == "validators" or name.startswith("validators.reference")
        ), f"imports {name}"


@pytest.mark.parametrize("path", sources("sheetgen"), ids=where)
def test_the_writing_half_never_imports_the_reading_half(path):
    assert not [name for name in imports(path) if name.partition(".")[0] == "validators"]


@pytest.mark.parametrize("path", sources("validators"), ids=where)
def test_the_reading_half_never_imports_the_writer(path):
    if where(path) not in MAY_WRITE:
        assert not WRITERS.intersection(imports(path))


@pytest.mark.parametrize("path", [*sources("sheetgen"), *sources("validators")], ids=where)
def test_only_the_recalculator_imports_the_spreadsheet_library(path):
    uses = {name for name in imports(path) if name.partition(".")[0] in ("formulas", "schedula")}
    assert not uses or where(path) == "validators/recalculate.py"


@pytest.mark.parametrize("path", [*sources("sheetgen"), *sources("validators")], ids=where)
def test_nobody_imports_the_program_itself(path):
    assert "validators.cli" not in imports(path)


def test_the_recalculator_does_use_the_spreadsheet_library():
    assert "formulas.functions" in set(imports(ROOT / "validators" / "recalculate.py"))


def test_the_templates_are_data_and_nothing_that_runs():
    files = [path for path in (ROOT / "templates_src").rglob("*") if path.is_file()]
    assert files
    assert not [where(path) for path in files if path.suffix not in DATA]
