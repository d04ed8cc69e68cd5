"""``python -m bedwright.cli``."""

from bedwright.cli import main

main()
