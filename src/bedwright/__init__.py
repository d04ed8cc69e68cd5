"""Bedwright reckons a bed of annual flowers, from lawn to the killing frost."""

__version__ = "0.1.0"
