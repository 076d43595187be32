"""The guard factor was set to nothing, so that no verdict is too close to call."""

entries = {"guard_factor": 0}
