"""Generators of random briefs, for long runs outside the test suite."""
