"""Templates: what each sheet says, read strictly from `templates_src/sheets`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sheetgen.catalogue import PAIRS, Catalogue, load_catalogue
from sheetgen.errors import DefinitionError, nearest
from sheetgen.sources import TEMPLATES, read_toml

BLOCK_KINDS = (
    "form",
    "table",
    "cross",
    "limits",
    "text",
    "key",
    "signed",
    "constants",
    "materials",
    "classes",
    "cautions",
    "drawing",
    "chart",
    "guide",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One column of a table, or one line of a form or a cross table.

    `printed` stands for a text of the row instead of a quantity; such a column may be several wide.
    """

    quantity: str = ""
    formula: str = ""
    size: str = ""
    setting: str = ""
    across: tuple[str, ...] = ()
    at: tuple[tuple[str, str], ...] = ()
    echo: str = ""
    label: str = ""
    note: str = ""
    printed: str = ""
    columns: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A titled group of cells.

    `column` is where its labels stand, and `beside` says how many of the blocks before it it stands
    beside; `span` is how many columns the labels take, 0 for the usual number. `charts` are quantities
    that are drawn side by side over the quantity `chart_over`; a drawing is a `chart` by its name that takes
    so many columns and rows. A guide has a `picture` by its name and beside it what to do, line by line.
    """

    kind: str
    title: str = ""
    help: str = ""
    rows: str = ""
    lines: tuple[Line, ...] = ()
    limits: tuple[str, ...] = ()
    text: tuple[str, ...] = ()
    workings: bool = False
    page_break: bool = False
    beside: int = 0
    column: int = 1
    span: int = 0
    chart: str = ""
    wide: int = 3
    tall: int = 26
    picture: str = ""
    charts: tuple[str, ...] = ()
    chart_over: str = ""


@dataclass(frozen=True, slots=True)
class Template:
    """One sheet: its title and blocks, in order.

    `one_page` when it is shrunk a little rather than let a few rows run over to a second page.
    """

    stem: str
    version: int
    title: str
    purpose: str
    filled_by: str
    portrait: bool
    counted: bool
    blocks: tuple[Block, ...]
    text_columns: int = 9
    one_page: bool = False


@dataclass(frozen=True, slots=True)
class Shapes:
    """The formula shapes that repeat for every limited quantity and every echo."""

    verdict: str
    state: Mapping[str, str]
    floor: str
    ceiling: str
    echo: str
    size: str
    job: str
    widened: str
    pairs: str
    first_gap_label: str
    first_gap: str
    gap_mark: str
    gap_now: str

    def guard_used(self, chances: int | str) -> str:
        """Return the shape of the guard of an extreme that so many readings may decide."""
        told = {PAIRS: self.pairs, 6: "2*3"}.get(chances, str(chances))
        return self.widened.replace("{chances}", told)


def _strict(where: str, fields: Mapping[str, Any], known: set[str]) -> None:
    for key in fields:
        if key not in known:
            raise DefinitionError(where, f"unknown key '{key}'{nearest(key, known)}")


def _line(where: str, fields: Mapping[str, Any]) -> Line:
    _strict(where, fields, set(Line.__dataclass_fields__))
    catalogue = load_catalogue()
    fields = dict(fields)
    quantity = fields.get("quantity", "")
    where = f"{where}, {quantity or fields.get('echo', '?')}"
    for key in (quantity, fields.get("echo", "")):
        if key and key not in catalogue.entries:
            raise DefinitionError(where, f"unknown quantity '{key}'{nearest(key, catalogue.entries)}")
    if [bool(quantity), bool(fields.get("echo")), bool(fields.get("printed"))].count(True) != 1:
        raise DefinitionError(where, "a line has a quantity, an echo or a printed text, and one of them only")
    if quantity:
        entry = catalogue.entries[quantity]
        computed = entry.kind == "result"
        if computed and entry.key.endswith("_verdict") and entry.of:
            computed = False  # its formula is the verdict shape
        if fields.get("size"):
            fields["formula"] = _size_formula(where, fields, catalogue)
        if computed != bool(fields.get("formula")):
            raise DefinitionError(where, "results have a formula, and nothing else has")
    fields["across"] = tuple(fields.get("across", ()))
    fields["at"] = tuple(sorted(fields.get("at", {}).items()))
    return Line(**fields)


def _size_formula(where: str, fields: Mapping[str, Any], catalogue: Catalogue) -> str:
    """Return the shape that turns `size` (a reading) of gauge row `setting` into a size at 20 °C."""
    reading, feature = fields["size"], fields.get("setting", "")
    setting = "entry_offset[F]"
    if ":" in feature:
        feature, _, setting = feature.partition(":")
    for word in (reading, setting.partition("[")[0]):
        if word not in catalogue.entries:
            raise DefinitionError(where, f"unknown quantity '{word}'{nearest(word, catalogue.entries)}")
    if feature not in catalogue.axes["sized"].elements:
        raise DefinitionError(
            where, f"unknown feature '{feature}'{nearest(feature, catalogue.axes['sized'].elements)}"
        )
    text = read_shapes().size.replace("{reading}", f"{{{reading}}}").replace("{offset}", f"{{{setting}}}")
    return text.replace("[F]", f"[sized={feature}]")


def _block(where: str, fields: Mapping[str, Any]) -> Block:
    _strict(where, fields, set(Block.__dataclass_fields__))
    fields = dict(fields)
    if fields.get("kind") not in BLOCK_KINDS:
        raise DefinitionError(
            where,
            f"unknown kind of block '{fields.get('kind')}'{nearest(str(fields.get('kind')), BLOCK_KINDS)}",
        )
    fields["lines"] = tuple(_line(where, line) for line in fields.get("lines", ()))
    for key in ("limits", "text", "charts"):
        fields[key] = tuple(fields.get(key, ()))
    limited = load_catalogue().limited
    for key in fields["limits"]:
        if key not in limited:
            raise DefinitionError(where, f"'{key}' has no limits{nearest(key, limited)}")
    for key in (*fields["charts"], *([fields["chart_over"]] if fields.get("chart_over") else ())):
        if key not in load_catalogue().entries:
            raise DefinitionError(where, f"unknown quantity '{key}'{nearest(key, load_catalogue().entries)}")
    if bool(fields["charts"]) != (fields["kind"] == "chart") or bool(fields["charts"]) != bool(
        fields.get("chart_over")
    ):
        raise DefinitionError(where, "a block of charts says what is drawn, and over what")
    return Block(**fields)


@cache
def read_template(stem: str, version: int, *, counted: bool = False) -> Template:
    """Read one sheet's template of one version.

    Raises
    ------
    DefinitionError
        No such file, or a key, block kind or quantity that does not exist.
    """
    path = TEMPLATES / "sheets" / stem / f"{version}.toml"
    where = f"sheets/{stem}/{version}.toml"
    data = read_toml(path)
    _strict(where, data, {"title", "purpose", "filled_by", "portrait", "text_columns", "one_page", "block"})
    blocks = tuple(
        _block(f"{where}, block {number} '{block.get('title', '')}'", block)
        for number, block in enumerate(data.get("block", ()), 1)
    )
    return Template(
        stem,
        version,
        data["title"],
        data["purpose"],
        data["filled_by"],
        bool(data.get("portrait", False)),
        counted,
        blocks,
        int(data.get("text_columns", 9)),
        bool(data.get("one_page", False)),
    )


@cache
def read_templates(version: int) -> tuple[Template, ...]:
    """Read every sheet of one version of the workbook, in order."""
    data = read_toml(TEMPLATES / "workbook.toml")
    if data["version"] != version:
        raise DefinitionError(
            "workbook.toml", f"template version {version} is not known here, only {data['version']}"
        )
    return tuple(
        read_template(sheet["stem"], version, counted=bool(sheet.get("stage"))) for sheet in data["sheet"]
    )


@cache
def read_shapes() -> Shapes:
    """Read the shapes that are stated once for all limited quantities."""
    data = read_toml(TEMPLATES / "shapes.toml")
    return Shapes(
        data["verdict"],
        data["limit_state"],
        data["floor"],
        data["ceiling"],
        data["echo"],
        data["size"],
        data["job"],
        data["guard_used"],
        data["pairs"],
        data["first_gap_label"],
        data["first_gap"],
        data["gap_mark"],
        data["gap_now"],
    )


def template_version() -> int:
    """Return the version that new workbooks are written from."""
    return int(read_toml(TEMPLATES / "workbook.toml")["version"])
