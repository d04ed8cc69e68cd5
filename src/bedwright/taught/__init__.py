"""What a garden's journals teach, and the figures that a brief takes from it."""

from bedwright.taught.figures import error_left, figures_of
from bedwright.taught.flowers import FirstFlower, first_flowers, outcome_of
from bedwright.taught.garden import BedYears, Taught, learn_garden, usual_rates
from bedwright.taught.nights import ExpectedNights, expected_nights, garden_nights
from bedwright.taught.years import bed_years, forecasts_kept

__all__ = [
    "BedYears",
    "ExpectedNights",
    "FirstFlower",
    "Taught",
    "bed_years",
    "error_left",
    "expected_nights",
    "figures_of",
    "first_flowers",
    "forecasts_kept",
    "garden_nights",
    "learn_garden",
    "outcome_of",
    "usual_rates",
]
