"""The gauge is too coarse for the limits: nothing could pass."""

entries = {"gauge_resolution_pin": 0.01}
