"""How good an arrangement is: the least that any could cost."""

from bedwright.planting.proof.bound import (
    lower_bound,
)

__all__ = [
    "lower_bound",
]
