"""What the gardener states of frost, named in every sentence alike."""

from __future__ import annotations

from bedwright.climate import Stated

STATED: dict[Stated, str] = {
    "dates": "the stated dates",
    "light_dates": "the stated dates of light frost",
    "none": "the statement that there is no frost",
    "months": "the stated months of frost",
    "odds": "the stated odds of frost",
    "months_and_odds": "the stated months and odds of frost",
    "light": "the statement that frost is light",
}


def stated_words(stated: Stated) -> str:
    """What is stated of frost, as a sentence names it: 'the stated dates'."""
    return STATED[stated]
