"""Which kinds and colours."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.planting.palette.candidates import (
        FOLIAGE_BLOOM,
        LEAST_SUN_FIT,
        SEASON_ODDS,
        Candidate,
        Offer,
        candidate_of,
        likes_ph,
        likes_texture,
        sun_fit,
    )
    from bedwright.planting.palette.choose import (
        Palette,
        choose_palette,
    )
    from bedwright.planting.palette.colour import (
        COLOUR_WORDS,
        discord,
        tone_of,
    )
    from bedwright.planting.palette.harmony import (
        choices_of,
        recoloured,
        rules_of,
    )
    from bedwright.planting.palette.left_out import (
        CostsTooMuch,
        Counted,
        CrowdedOut,
        ExchangedFor,
        HeightNotWanted,
        Invasive,
        IrritatesSkin,
        LeftOut,
        LeftOutAsWished,
        NoColourThatSuits,
        NoRoom,
        NoSafeDay,
        NothingFits,
        NothingFitsError,
        NothingToClimb,
        OutScored,
        PlantedThough,
        Relaxed,
        SelfSowsFreely,
        SoilTooCold,
        TooLittleBloom,
        TooMuchMaintenance,
        TooShady,
        TooShortForLeaves,
        TooSunny,
        TooTall,
        Toxic,
    )
    from bedwright.planting.palette.purse import (
        LEAST_KINDS,
        Purse,
        Room,
        cost_of_form,
        spares_for,
    )
    from bedwright.planting.palette.value import (
        PaletteValue,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "COLOUR_WORDS",
    "FOLIAGE_BLOOM",
    "LEAST_KINDS",
    "LEAST_SUN_FIT",
    "SEASON_ODDS",
    "Candidate",
    "CostsTooMuch",
    "Counted",
    "CrowdedOut",
    "ExchangedFor",
    "HeightNotWanted",
    "Invasive",
    "IrritatesSkin",
    "LeftOut",
    "LeftOutAsWished",
    "NoColourThatSuits",
    "NoRoom",
    "NoSafeDay",
    "NothingFits",
    "NothingFitsError",
    "NothingToClimb",
    "Offer",
    "OutScored",
    "Palette",
    "PaletteValue",
    "PlantedThough",
    "Purse",
    "Relaxed",
    "Room",
    "SelfSowsFreely",
    "SoilTooCold",
    "TooLittleBloom",
    "TooMuchMaintenance",
    "TooShady",
    "TooShortForLeaves",
    "TooSunny",
    "TooTall",
    "Toxic",
    "candidate_of",
    "choices_of",
    "choose_palette",
    "cost_of_form",
    "discord",
    "likes_ph",
    "likes_texture",
    "recoloured",
    "rules_of",
    "spares_for",
    "sun_fit",
    "tone_of",
]
