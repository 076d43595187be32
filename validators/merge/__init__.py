"""One workbook from copies filled by different hands: `merge` in merging.py, and its report."""
