"""Pictures of sheets for the documentation, and the command that makes them."""
