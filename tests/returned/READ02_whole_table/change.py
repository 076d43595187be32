"""A program without decimal commas took every bore reading as text."""

entries = {
    f"bore_reading_{cylinder}_{depth}_{axis}": "86,001"
    for cylinder in (1, 2, 3)
    for depth in ("top", "middle", "bottom")
    for axis in ("thrust", "pin")
}
