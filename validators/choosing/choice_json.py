"""A choice as JSON, in a shape with a version; `README.md` beside this file describes it."""

from __future__ import annotations

import json
import math
from dataclasses import asdict
from typing import Any

from validators.choosing.answers import Choice

SHAPE = "boreledger choice"
VERSION = 1


def choice_json(choice: Choice) -> str:
    """Return the choice as JSON text."""
    return json.dumps(choice_data(choice), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def choice_data(choice: Choice) -> dict[str, Any]:
    """Return the choice as plain data, ready for JSON."""
    return {
        "shape": SHAPE,
        "version": VERSION,
        "exit_status": choice.exit_status,
        "file": choice.file,
        "sha256": choice.digest,
        "job": choice.job,
        "layout": choice.layout,
        "family": choice.family,
        "length_unit": choice.unit,
        "first": [
            {
                "code": f.code,
                "name": f.name,
                "sheet": f.place.sheet,
                "cell": f.place.cell,
                "label": f.place.label,
                "found": f.found,
                "expected": f.expected,
                "todo": f.todo,
            }
            for f in choice.first
        ],
        "answers": [_plain(asdict(answer)) for answer in choice.answers],
        "sequence": list(choice.sequence),
        "changes": dict(choice.changes),
    }


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value
