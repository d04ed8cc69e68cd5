"""Generators of spoiled input, each deterministic by its seed."""
