"""Facts in words and figures, in the gardener's units."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand
from bedwright.report.say import say

if TYPE_CHECKING:
    from bedwright.report.ground_words import fault_of, in_spelling, label_words
    from bedwright.report.journal_words import entry_words
    from bedwright.report.kinds import (
        EATING_NOTE,
        POISON_NOTE,
        KindFilter,
        kind_card,
        kind_rows,
        source_rows,
    )
    from bedwright.report.light_table import (
        BedLight,
        KindSun,
        Sunlit,
        SunMonth,
        kind_suns,
        sun_months,
    )
    from bedwright.report.mistakes import words_of_mistake
    from bedwright.report.parts import Part
    from bedwright.report.planting_sheet import (
        item_rows,
        left_out_groups,
        proof_words,
        variant_measures,
        why_kind,
        why_rows,
    )
    from bedwright.report.planting_words import (
        height_here,
    )
    from bedwright.report.reasons import (
        sun_of,
        why,
    )
    from bedwright.report.rivals import (
        rival_words,
    )
    from bedwright.report.season_sheet import (
        answer_words,
        certainty_words,
        fitted_row,
        freeze_heads,
        freeze_table,
        freeze_title,
        heading,
        heat_table,
        legend,
        length_words,
        month_table,
        safe_table,
        short_day,
    )
    from bedwright.report.soil import (
        Dug,
        base_line,
        offset_rows,
        soil_parts,
        stake_rows,
        tape_rows,
        tape_words,
    )
    from bedwright.report.stated import stated_words
    from bedwright.report.text import SHEET_TITLES, first_up, sentence, sentences
    from bedwright.report.weekly import (
        WeekRow,
        WeekSheet,
        week_sheet,
    )
    from bedwright.report.when_sheet import (
        Spell,
        answer_lines,
        heading_of,
        note_words,
        raised_words,
        spells,
        when_record,
    )
    from bedwright.report.words import (
        COMPASS_WORDS,
        certainty,
        compass_point,
        frost_note,
        frost_rows,
        height_words,
        months_of,
        say_day,
        say_far,
        season_lines,
        thing_words,
        water_rows,
    )
    from bedwright.report.work_words import (
        STAGES,
        amount_words,
        caution_title,
        pack_words,
        task_reason,
        task_title,
    )
    from bedwright.report.years_sheet import (
        KEPT_HEADS,
        YEAR_HEADS,
        kept_rows,
        year_rows,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "COMPASS_WORDS",
    "EATING_NOTE",
    "KEPT_HEADS",
    "POISON_NOTE",
    "SHEET_TITLES",
    "STAGES",
    "YEAR_HEADS",
    "BedLight",
    "Dug",
    "KindFilter",
    "KindSun",
    "Part",
    "Spell",
    "SunMonth",
    "Sunlit",
    "WeekRow",
    "WeekSheet",
    "amount_words",
    "answer_lines",
    "answer_words",
    "base_line",
    "caution_title",
    "certainty",
    "certainty_words",
    "compass_point",
    "entry_words",
    "fault_of",
    "first_up",
    "fitted_row",
    "freeze_heads",
    "freeze_table",
    "freeze_title",
    "frost_note",
    "frost_rows",
    "heading",
    "heading_of",
    "heat_table",
    "height_here",
    "height_words",
    "in_spelling",
    "item_rows",
    "kept_rows",
    "kind_card",
    "kind_rows",
    "kind_suns",
    "label_words",
    "left_out_groups",
    "legend",
    "length_words",
    "month_table",
    "months_of",
    "note_words",
    "offset_rows",
    "pack_words",
    "proof_words",
    "raised_words",
    "rival_words",
    "safe_table",
    "say",
    "say_day",
    "say_far",
    "season_lines",
    "sentence",
    "sentences",
    "short_day",
    "soil_parts",
    "source_rows",
    "spells",
    "stake_rows",
    "stated_words",
    "sun_months",
    "sun_of",
    "tape_rows",
    "tape_words",
    "task_reason",
    "task_title",
    "thing_words",
    "variant_measures",
    "water_rows",
    "week_sheet",
    "when_record",
    "why",
    "why_kind",
    "why_rows",
    "words_of_mistake",
    "year_rows",
]
