"""A clearance lies nearer to its limit than the gauges can tell."""

entries = {"piston_reading_3": 85.939}
