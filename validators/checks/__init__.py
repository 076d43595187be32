"""The checks, one per finding code.

Each module has CODE, NAME, SEVERITY, a docstring (what it finds, why it matters, an example, what to
do) and `find`, which looks at one checked sheet and yields findings.  Adding a check is adding a file.
"""
