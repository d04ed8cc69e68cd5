"""Which item goes in which drift, and why."""

from bedwright.planting.arrange.anneal import (
    cost_of,
)
from bedwright.planting.arrange.arrangement import (
    Arranged,
    Given,
    arrange,
    parts_of,
    rearrange,
    thin_drifts,
    with_room,
    without_kinds,
)
from bedwright.planting.arrange.changes import (
    REACH_M,
    ChangeError,
    NothingInstead,
    NothingToSwap,
    SpotInNoDrift,
    TwoKindsAsked,
    TwoSizesAsked,
)
from bedwright.planting.arrange.energy import (
    Floats,
    Ints,
    Terms,
    link_table,
    pairs_of,
    triples_of,
)
from bedwright.planting.arrange.exchange import (
    rivals_of,
)
from bedwright.planting.arrange.objective import (
    local_parts,
    sites_of,
)
from bedwright.planting.arrange.reasons import (
    MorePoints,
    NextBest,
    SuitsDrift,
)

__all__ = [
    "REACH_M",
    "Arranged",
    "ChangeError",
    "Floats",
    "Given",
    "Ints",
    "MorePoints",
    "NextBest",
    "NothingInstead",
    "NothingToSwap",
    "SpotInNoDrift",
    "SuitsDrift",
    "Terms",
    "TwoKindsAsked",
    "TwoSizesAsked",
    "arrange",
    "cost_of",
    "link_table",
    "local_parts",
    "pairs_of",
    "parts_of",
    "rearrange",
    "rivals_of",
    "sites_of",
    "thin_drifts",
    "triples_of",
    "with_room",
    "without_kinds",
]
