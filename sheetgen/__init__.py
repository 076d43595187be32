"""Writes workbooks.

catalogue   what every quantity is: name, label, unit, shape
build       what one engine is: layout, units, given values, limits
template    what a sheet says, read strictly from templates_src
plan        every cell of one workbook, with name, address and formula; pure
workbook    the plan as a file
fill        a copy of a workbook with readings entered
cli         the commands that write
"""
