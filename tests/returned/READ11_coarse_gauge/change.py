"""Two bores have the same readings, by a gauge of 0.0001 in resolution: that happens."""

engine = "twin"
BORE = {"top": 4.0001, "middle": 4.0, "bottom": 4.0}
entries = {
    f"bore_reading_{cylinder}_{depth}_{axis}": size
    for cylinder in (1, 2)
    for depth, size in BORE.items()
    for axis in ("thrust", "pin")
}
