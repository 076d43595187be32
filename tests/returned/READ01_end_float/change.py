"""The end float was not measured in either way."""

entries = {
    "end_float_fore": None,
    "thrust_journal_width": None,
}
