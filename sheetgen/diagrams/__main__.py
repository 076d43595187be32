"""Makes the drawings of the sheets again."""

from sheetgen.diagrams.render import render

render()
