"""Calculation engines that have never met: a filled workbook goes through each that is installed."""
