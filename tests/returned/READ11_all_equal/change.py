"""One number was typed six times for each bore: the nominal size, perhaps, and no reading."""

entries = {
    f"bore_reading_{cylinder}_{depth}_{axis}": 86.0
    for cylinder in (1, 2)
    for depth in ("top", "middle", "bottom")
    for axis in ("thrust", "pin")
}
