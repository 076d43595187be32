"""Nothing happened: everything is measured and within its limits."""
