"""What is known of a kind: a species, or a class of one where height or habit differ."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

ROW_RISE = math.sqrt(3.0) / 2
"""Distance between the rows of a triangular lattice, as a share of its spacing."""

Hardiness = Literal["hardy", "half_hardy", "tender"]

PLACES = {
    "au": "Australia", "au-nsw": "New South Wales", "au-qld": "Queensland",
    "au-sa": "South Australia", "au-vic": "Victoria", "au-wa": "Western Australia",
    "ca-bc": "British Columbia", "nz": "New Zealand", "us": "the United States",
    "us-ar": "Arkansas", "us-az": "Arizona", "us-ca": "California", "us-fl": "Florida",
    "us-ga": "Georgia, USA", "us-hi": "Hawaii", "us-tx": "Texas", "us-wa": "Washington State",
    "us-wi": "Wisconsin", "us-wv": "West Virginia", "za": "South Africa",
}  # fmt: skip
"""Countries and states with lists of weeds, by their ISO 3166 codes."""


WINTER_DAYS = 250
"""Days to bloom from which they hold a winter (of the catalogue: 300 and more)."""


@dataclass(frozen=True, slots=True)
class Form:
    """Grown size (cm), habit and looks."""

    height_min_cm: float
    height_max_cm: float
    spread_min_cm: float
    spread_max_cm: float
    spacing_cm: float
    habit: Literal["mound", "upright", "spreading", "trailing", "climbing"]
    flower_form: str
    flower_cm: float
    foliage_colour: str
    foliage_texture: Literal["fine", "medium", "coarse"]

    @property
    def height_m(self) -> float:
        """Middle of the height range, metres."""
        return (self.height_min_cm + self.height_max_cm) / 200.0

    @property
    def spread_m(self) -> float:
        """Middle of the spread range, metres."""
        return (self.spread_min_cm + self.spread_max_cm) / 200.0

    @property
    def spacing_m(self) -> float:
        """Distance between plants of the kind, metres."""
        return self.spacing_cm / 100.0

    @property
    def row_m(self) -> float:
        """Distance between rows of staggered plants, metres."""
        return ROW_RISE * self.spacing_m

    @property
    def ground_m2(self) -> float:
        """Ground that one of many staggered plants takes up."""
        return self.row_m * self.spacing_m


@dataclass(frozen=True, slots=True)
class Liking:
    """The spot it likes: hours of direct sun a day, soil, moisture, heat (°C)."""

    sun_min_h: float
    sun_max_h: float
    soils: tuple[str, ...]
    ph_min: float
    ph_max: float
    moisture: Literal["dry", "average", "moist"]
    poor_soil: bool
    salt: Literal["low", "medium", "high"]
    heat_max_c: float


@dataclass(frozen=True, slots=True)
class Sowing:
    """How it is raised: weeks before setting out, depth (mm), warmth (°C), days, rates."""

    method: Literal["indoors", "in_place", "both"]
    weeks_min: float
    weeks_max: float
    depth_mm: float
    light: Literal["light", "dark", "either"]
    germ_min_c: float
    germ_max_c: float
    germ_days_min: float
    germ_days_max: float
    germination: float
    seeds_per_g: float
    resents_moving: bool
    soil_min_c: float


@dataclass(frozen=True, slots=True)
class Growth:
    """How it comes to flower and what ends it; days in the field, as seed houses print them; base
    temperature (°C)."""

    days_to_bloom: float
    base_c: float
    daylength: str
    bloom_weeks: float
    bloom_end: Literal["frost", "heat", "span"]
    pinch: bool
    stake: Literal["no", "tall_only", "yes"]
    deadhead: Literal["yes", "helps", "no"]
    appetite: Literal["low", "medium", "high"]
    water: Literal["low", "medium", "high"]
    maintenance: float


@dataclass(frozen=True, slots=True)
class Uses:
    """What it is grown for, and how readily it is to be had: ``leading`` where it is among the
    best-selling kinds, a ``staple`` of every garden shop, ``common`` in seed racks and nurseries,
    or of ``specialist`` seed houses."""

    uses: tuple[str, ...]
    stems_per_week: float
    vase_days: float
    edible: Literal["no", "petals", "flowers"]
    edible_note: str
    trade: Literal["leading", "staple", "common", "specialist"]


@dataclass(frozen=True, slots=True)
class Safety:
    """Harm it can do, to people, pets and the country round about."""

    people: Literal["none_known", "mild", "toxic"]
    dogs: Literal["none_known", "mild", "toxic"]
    cats: Literal["none_known", "mild", "toxic"]
    skin: Literal["none_known", "irritant"]
    self_sows: Literal["no", "some", "freely"]
    invasive: tuple[str, ...]
    rotation: str
    note: str

    @property
    def weed_in(self) -> tuple[str, ...]:
        """Names of the places on whose lists of weeds it stands."""
        return tuple(PLACES.get(code, code) for code in self.invasive)


@dataclass(frozen=True, slots=True)
class ColourForm:
    """A colour in which a kind is to be had; ``srgb`` as ``#rrggbb``."""

    name: str
    srgb: str


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind, with where each figure comes from.

    ``frost_c``: lowest night air that hardened plants outlive, °C.  ``sources``: pairs of
    ``table.column`` and bibliography key (or ``memory``, ``estimate``); several that a figure
    rests on together are joined by ``+``.
    """

    key: str
    name: str
    botanical: str
    family: str
    synonyms: tuple[str, ...]
    other_names: tuple[str, ...]
    life_form: Literal["annual", "biennial", "perennial"]
    native: tuple[str, ...]
    hardiness: Hardiness
    frost_c: float
    form: Form
    liking: Liking
    sowing: Sowing
    growth: Growth
    uses: Uses
    safety: Safety
    colours: tuple[ColourForm, ...]
    sources: tuple[tuple[str, str], ...]

    @property
    def genus(self) -> str:
        """First word of the botanical name."""
        return self.botanical.split()[0]

    @property
    def kill_c(self) -> float:
        """Night temperature that loses it: its own limit, or freezing for tender kinds."""
        return max(self.frost_c, 0.0) if self.hardiness == "tender" else self.frost_c

    @property
    def needs_winter(self) -> bool:
        """Whether its days to bloom hold a winter: it flowers only in the year after it is sown, as
        biennials do."""
        return self.growth.days_to_bloom >= WINTER_DAYS

    @property
    def is_foliage(self) -> bool:
        """Grown for its leaves."""
        return self.form.flower_form == "foliage"
