"""How good an arrangement is: the least that any could cost."""

from bedwright.planting.proof.bound import (
    lower_bound,
)
from bedwright.planting.proof.prices import (
    STEPS,
)

__all__ = [
    "STEPS",
    "lower_bound",
]
