"""Drawings of what is measured where.

`canvas` draws, `block` and `moving` know the parts, `render` makes the files.
"""
