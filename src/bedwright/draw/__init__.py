"""Drawings, pictures and charts, as SVG."""

from bedwright.draw.charts import (
    bloom_chart,
)
from bedwright.draw.drawing import (
    best_scale,
    grid_words,
    page_drawing,
    planting_drawing,
    say_scale,
    variants,
)
from bedwright.draw.glyphs import (
    plant_symbol,
    shade,
)
from bedwright.draw.light_chart import (
    light_chart,
)
from bedwright.draw.light_map import (
    sun_map,
)
from bedwright.draw.picture import (
    bed_picture,
    caption,
    season_moments,
)
from bedwright.draw.season_chart import (
    frost_chart,
    season_chart,
)
from bedwright.draw.stakes import (
    stake_plan,
)
from bedwright.draw.svg import (
    Canvas,
)

__all__ = [
    "Canvas",
    "bed_picture",
    "best_scale",
    "bloom_chart",
    "caption",
    "frost_chart",
    "grid_words",
    "light_chart",
    "page_drawing",
    "plant_symbol",
    "planting_drawing",
    "say_scale",
    "season_chart",
    "season_moments",
    "shade",
    "stake_plan",
    "sun_map",
    "variants",
]
