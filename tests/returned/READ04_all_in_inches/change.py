"""Whoever measured has gauges in inches: all bore readings are in inches."""

entries = {
    f"bore_reading_{cylinder}_{depth}_{axis}": 3.3859
    for cylinder in (1, 2, 3)
    for depth in ("top", "middle", "bottom")
    for axis in ("thrust", "pin")
}
