"""What a limited quantity belongs to, where its label alone does not say so."""

from __future__ import annotations

SUBJECTS = {
    "candidate": "Combinations",
    "roughness": "Bore surface",
    "bore": "Bores",
    "piston_speed": "",
    "piston": "Pistons",
    "bush": "Small ends",
    "main_journal": "Main journals",
    "main_runout": "Main journals",
    "main": "Main bearings",
    "crankpin": "Crankpins",
    "stroke": "Crankpins",
    "rod": "Rod bearings",
    "rail": "Oil rails",
    "deck": "Deck",
}
"""What a limited quantity belongs to, by the start of its key; the first that fits counts."""


def item_label(key: str, label: str) -> str:
    """Return a limited quantity's label with what it belongs to.

    Examples
    --------
    >>> item_label("crankpin_taper", "Taper"), item_label("compression_ratio", "Ratio")
    ('Crankpins: taper', 'Ratio')
    """
    subject = next((told for start, told in SUBJECTS.items() if f"{key}_".startswith(f"{start}_")), "")
    if not subject:
        return label
    return f"{subject}: {label if key.startswith('roughness_') else label[:1].lower() + label[1:]}"
