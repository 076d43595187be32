"""The printable record of a build: `record` in recording.py, as a page and as PDF."""
