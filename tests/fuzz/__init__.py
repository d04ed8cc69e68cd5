"""Random input for the whole tool, each case known by its seed."""
