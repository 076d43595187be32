"""The file arrives empty."""

def change(_, __):
    return b""
