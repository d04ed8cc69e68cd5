"""One step to a file."""
