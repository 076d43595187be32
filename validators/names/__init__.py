"""Every input and output by name: `names` in listing.py, and its forms."""
