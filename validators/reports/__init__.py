"""Reports as text and as JSON; the shape of the JSON is in README.md beside this file."""
