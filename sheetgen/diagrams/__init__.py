"""Drawings of what is measured where: `canvas` draws, the other modules know the parts, `render` makes the files."""
