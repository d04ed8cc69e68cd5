"""The verbs of the trade and what plants are lost to, as gardeners write them.

In these patterns ``K`` is a kind, ``D`` a day, ``L`` a length and ``W`` weather, each followed by
underscores, as ``Typed`` marks them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from bedwright.journal.entry import Cause, What
from bedwright.journal.typed import words_of

CAUSES: Mapping[Cause, str] = {
    "slugs": r"slugs?|snails?",
    "frost": r"(?:the )?frosts?|freeze|freezing|(?:the )?cold(?! ?frames?)",
    "drought": r"drought|dried up|dry(?:ness| spell| soil| weather)?|thirst|lack of water",
    "heat": r"heat(?:wave| wave)?|(?:hot )?sun|scorch(?:ing)?|sunburn",
    "wet": r"wet|rain|flood(?:ing)?|waterlogging|rott?(?:ing|ed)?|too much water|overwatering",
    "disease": r"diseases?|(?:powdery |downy )?mildew|damp(?:ing|ed)[ -]off|blight|rust|botrytis"
    r"|(?:grey |gray )?mou?ld|fung(?:us|i)|virus(?:es)?|wilt|root rot|stem rot|black spot",
    "insects": r"insects?|aphids?|greenfly|blackfly|caterpillars?|(?:flea |cucumber "
    r"|japanese )?beetles?"
    r"|cutworms?|earwigs?|leaf ?miners?|thrips|whitefl(?:y|ies)|weevils?|grubs?"
    r"|sawfl(?:y|ies)|ants?"
    r"|wireworms?|leatherjackets?|grasshoppers?|locusts?|spider mites?|mites?|bugs?|maggots?",
    "animals": r"animals?|dogs?|pupp(?:y|ies)|cats?|kittens?|deers?|rabbits?|hares?|mouse|mice"
    r"|rats?"
    r"|voles?|moles?|squirrels?|chipmunks?|pigeons?|(?:black)?birds?|crows?|sparrows?|pheasants?"
    r"|chickens?|hens?|ducks?|foxe?s?|badgers?|groundhogs?|woodchucks?|gophers?|raccoons?|horses?"
    r"|cows?|sheep|goats?|pigs?|hedgehogs?|armadillos?|kangaroos?|possums?",
    "wind": r"(?:strong |high )?winds?|gales?|storms?|hurricane",
    "other": r"something(?: else)?|hail|lawn ?mower|mower|strimmer|football|children|kids"
    r"|thie(?:f|ves)|builders?",
}
"""What plants are lost to, by cause."""

_ANY = "|".join(CAUSES.values())
_FILL = r"(?:(?:has|have|had|all|also|again|just|probably|already|then|must have) )*"
_DID = (
    r"took|taken|killed|destroyed|demolished|smashed|crushed|squashed|finished off|snapped"
    r"|flattened|uprooted|trampled"
    r"|dug (?:up|out)|scratched (?:up|out)|pulled (?:up|out)|knocked (?:over|down)|broke|broken"
    r"|blackened|scorched|washed (?:out|away)|blew (?:over|down)|got|wiped out|ran over|sat on"
)
_ATE = r"ate|eaten|had|nibbled|chewed|stripped|mowed|cut"

_DONE = r"(?:over|finished|spent|done|gone over|past (?:it|(?:its|their) best))"
_LINKS = r"(?:(?:is|are|was|were|now|all|has|have|quite|nearly|almost|both) )*"
_FLOWER = r"(?:flower|bloom|blossom)"
_BUT_OUT = r"(?! ?(?:[^,;]{0,40} )?(?:back|down|off|away|seeds?|seedheads?|seedpods?)\b)"


class Verb(NamedTuple):
    """A pattern and the sort of entry that it tells; ``sure`` unless it may mean another."""

    what: What
    pattern: re.Pattern[str]
    sure: bool = True


def _verb(what: What, pattern: str, sure: bool = True) -> Verb:
    return Verb(what, re.compile(pattern), sure)


QUARREL = re.compile(
    r"\b(?:quarrel(?:s|l?ed|l?ing)?|clash(?:es|ed|ing)?|argu(?:e|es|ed|ing)|fights?|fighting|jars?"
    r"|jarr(?:ed|ing)|(?:do(?:es)?n'?t|did ?n'?t|do(?:es)? not|did not) (?:go|look"
    r"|work|sit|suit|match)"
    r"(?: well| good| right)?|(?:look|looks|looked) (?:bad|awful|terrible|wrong|horrible|dreadful))"
    r"(?: badly)?(?: with| together| beside| next to|(?= K))?(?: one another| each other)?"
)
"""Two kinds whose colours quarrel; looked for before what is not so."""

VERBS: tuple[Verb, ...] = (
    _verb(
        "sown",
        r"(?<!self )(?<!self-)\b(?:direct[ -]?|re-?|over-?)?(?:sow(?:ed|n|s|ing)?"
        r"|seeded)\b",
    ),
    _verb("sown", r"\bplanted (?:[0-9]+ )?(?:(?:of )?(?:the )?K_* )?(?:[0-9]+ )?seeds?\b"),
    _verb(
        "came_up",
        r"\b(?:(?:came|come|comes|coming|popped|poked|poking|pushed|pushing|showing) (?:up|through)"
        r"|germinat(?:ed|ing|ion|es?)|emerg(?:ed|ing|es?)|sprout(?:ed|ing|s)?)\b(?: through)?",
    ),
    _verb(
        "came_up",
        r"(?:[KD]_*|[0-9]|\b(?:are|is|all|now|just|both|was|were|seedlings?|plants?"
        r"|seeds?))[ ,:(]+up\b"
        r"(?! (?:to|against|the|in|for)\b)",
    ),
    _verb("came_up", r"^up[ :,]+(?=(?:[0-9][0-9/ ]*|of |the |D_* )*[KD]_)"),
    _verb("sown", r"\b(?:re-?)?sewed\b", sure=False),
    _verb("pricked_out", r"\bprick(?:ed|ing|s)?\b(?: (?:out|off)\b)?"),
    _verb(
        "potted_on", r"\b(?:re-?)?(?:potted|potting)\b(?: (?:on|up)\b)?|\bpot (?:on|up)\b|\brepot\b"
    ),
    _verb(
        "set_out",
        r"\b(?:plant(?:ed|ing)?|set(?:ting)?|bed(?:ded|ding)|put(?:ting)?)(?: (?:them"
        r"|it))? out\b",
    ),
    _verb("set_out", r"\b(?:planted|set|put|bedded) (?:[^,;]{0,30} )?K_*(?: D_*)? out\b"),
    _verb("set_out", r"\bplanted\b(?! (?:up|out)\b)(?![^,;]{0,80}\b(?:out|seeds?)\b)", sure=False),
    _verb(
        "thinned",
        r"\b(?:thinned|thinning|singled|singling)\b(?: (?:out|to)\b)?|\bthin out\b"
        r"|^thin (?=K|the|out)",
    ),
    _verb(
        "lost",
        r"\b(?:lost|lose|losing|died(?! (?:back|down|away)\b)|(?:were |was |are |is )?killed"
        r"|destroyed|perished"
        r"|succumbed|vanished|disappeared|damped off|rott?ed(?: off| away)?|wiped out"
        r"|dried up|collapsed)\b",
    ),
    _verb(
        "lost",
        r"\bdead\b(?![ -](?:head|flower|leaf|leaves|stem|bloom|growth|wood|petal"
        r"|bits))(?! and buried)",
    ),
    _verb("lost", rf"\b(?:{_ANY})\b {_FILL}(?:{_DID})\b"),
    _verb(
        "lost",
        rf"\b(?:{_DID}|eaten|cut (?:down|off)|stolen|blown (?:over|down|away)"
        rf"|nibbled(?: off)?|chewed(?: off)?)\b(?: (?:off|up|down))? by\b",
    ),
    _verb(
        "lost",
        r"\b[0-9]+ (?:(?:[a-z]+|Q_*) )?K_* (?:(?:is|are|has|have|all|now) )*(?:gone|missing"
        r"|stolen)\b(?! (?:over|to)\b)",
    ),
    _verb(
        "lost",
        rf"\b(?:{_ANY})\b {_FILL}(?:{_ATE})\b(?! (?:the |at )?(?:leaf|leaves|petals?|buds?"
        rf"|holes?))(?= (?:[a-z]+ ){{0,2}}(?:[0-9]|all\b|both\b|every\b))",
    ),
    _verb(
        "full_flower",
        rf"\bfull(?:y)? (?:(?:in|into|out in) )?{_FLOWER}\b|\bin full {_FLOWER}\b|\b(?:peak"
        rf"|height of) {_FLOWER}\w*|\bat (?:its|their) (?:best|peak|height)\b"
        rf"|\b{_FLOWER}ing (?:fully|at its best)",
    ),
    _verb(
        "first_flower",
        rf"\bfirst (?:(?:[a-z]+|[KQ]_*)'? ){{0,2}}{_FLOWER}s?\b(?: (?:of|on|open|opened"
        rf"|out)\b)*",
    ),
    _verb("first_flower", r"\bfirst K_* (?:(?:is|has|are) )?(?:open(?:ed)?|out)\b"),
    _verb(
        "first_flower",
        rf"\b(?:began|begins?|begun|started|starting|starts?|beginning|came|come|coming"
        rf"|broke)(?: (?:to|in|into|out in))? {_FLOWER}(?:ing)?\b",
    ),
    _verb(
        "first_flower",
        rf"(?<!full )(?<!fully )(?<!still )\b(?:in|into) {_FLOWER}\b(?! (?:till|until|since|for|all"
        rf"|still)\b)",
        sure=False,
    ),
    _verb(
        "first_flower",
        rf"K_* (?:D_* )?(?:(?:is|are|now|has|have) )*(?:{_FLOWER}ing|flowered|bloomed"
        rf"|blossomed)\b(?! (?:till|until|since|for|all|still|well|freely|fully|at)\b)",
        sure=False,
    ),
    _verb(
        "over",
        rf"K_* +{_LINKS}{_DONE}\b(?= *(?:$|[,;.!]|D_|now\b|for (?:the|this) (?:year|season)"
        rf"|already\b))",
    ),
    _verb("over", rf"^(?:all )?{_DONE}[ :,]+(?=(?:the |all |of )*(?:(?:[a-z]+|Q_*) ){{0,2}}K_)"),
    _verb(
        "over",
        rf"\b(?:gone|going|went) over\b|\b(?:finished|stopped|done|ceased|ended"
        rf"|through) {_FLOWER}ing\b|\b(?:gone|went|run|ran) to seed\b",
    ),
    _verb(
        "picked",
        rf"(?<!hand[ -])\b(?:pick(?:ed|ing|s)?|harvest(?:ed|ing)?|gather(?:ed"
        rf"|ing)?)\b(?! (?:up|off|over|out)\b){_BUT_OUT}",
    ),
    _verb(
        "picked",
        rf"(?<!was )(?<!were )(?<!is )\bcut\b(?! [^,;]{{0,40}}\bto L_)(?! (?:the grass"
        rf"|the lawn|grass|my|dead|to"
        rf"|through|out)\b){_BUT_OUT}",
    ),
    _verb(
        "frost",
        r"(?<!for )(?<!against )(?<!from )(?<!before )(?<!of )(?<!tonight )"
        r"\b(?:(?:ground |air |hard |light |first |last |slight |heavy |white |late "
        r"|early )*frost(?:s|y)?"
        r"|fro(?:ze|zen)|freez(?:e|ing))\b"
        r"(?! (?:cloth|fleece|cover|damage|blanket|free|tender|hardy|proof|date|tonight)\b)(?!-)",
    ),
    _verb("frost", r"(?<=_ )of frost\b|(?<=_)frost\b"),
    _verb(
        "work",
        r"\b(?:weed(?:ed|ing)|water(?:ed|ing)|mulch(?:ed|ing)|dead[ -]?head(?:ed|ing)"
        r"|stak(?:ed|ing)"
        r"|fed|feeding|fertili[sz](?:ed|ing)|tied|tying|pinch(?:ed|ing)|stopped|prun(?:ed|ing)"
        r"|spray(?:ed|ing)|hoe(?:d|ing)|rak(?:ed|ing)|dug|digging|edg(?:ed|ing)|trimm(?:ed|ing)"
        r"|clipp(?:ed|ing)|cover(?:ed|ing)|uncover(?:ed|ing)|fleeced|nett(?:ed|ing)"
        r"|harden(?:ed|ing)|compost(?:ed|ing)|clear(?:ed|ing)|tid(?:ied|ying)|swept|sweeping"
        r"|labell?(?:ed|ing)|scarif(?:ied|ying)|fork(?:ed|ing)|turn(?:ed|ing) over"
        r"|top[ -]?dress(?:ed|ing)"
        r"|lim(?:ed|ing)|manur(?:ed|ing)|spread|cut(?:ting)? (?:[^,;]{0,40} )?(?:back|down)"
        r"|pick(?:ed|ing) (?:[^,;]{0,30} )?(?:off|over)|mov(?:ed|ing)|remov(?:ed|ing)"
        r"|pull(?:ed|ing)|support(?:ed|ing)|shad(?:ed|ing)|mow(?:ed|n|ing)|prepar(?:ed|ing)"
        r"|level(?:led|ed|ling|ing)|test(?:ed|ing)|build|built|building|collect(?:ed|ing)"
        r"|sav(?:ed|ing)|collecting|ventilat(?:ed|ing)|mist(?:ed|ing)|thatch(?:ed|ing))\b"
        r"(?: (?:off|out|up|back|in|over|down)\b)?",
    ),
    _verb(
        "work",
        r"^(?:weed|water|mulch|dead-?head|stake|feed|fertili[sz]e|tie|pinch|prune|spray|hoe|rake"
        r"|dig|edge|trim|cover|harden off|clear|tidy|mow)\b"
        r"(?= *(?:$|[0-9,.:;!]|K_|M_|D_|(?:the|bed|beds|in|up|out|off|over|round|around|all)\b))",
    ),
    _verb("work", r"\bcut(?:ting)? (?=[^,;]{0,40}\bto L_)"),
    _verb("work", r"\bwork(?=:)"),
)
"""The verbs of every sort of entry but ``height``, ``weather`` and ``note``, which are told by what
stands in the line."""

TWO_MEANINGS: Mapping[str, tuple[What, ...]] = {
    r"\btransplant(?:ed|ing)?\b": ("pricked_out", "potted_on", "set_out"),
}
"""Verbs that may mean several."""

HEDGED = re.compile(
    r"\b(?:not|no(?![. ]*[0-9])|never|nothing|neither|without|yet|cannot|[a-z]+n't"
    r"|will|[a-z]+'ll|shall"
    r"|should|must|may (?:be|have)|might|could|would|if|due|unless|needs?|needed"
    r"|have to|has to|wants? to"
    r"|wanted to|going to|plan(?:ned|ning)? to|hop(?:e|ed|ing) to|tr(?:y|ied) to"
    r"|to ?do|to-do|tomorrow"
    r"|next (?:week|month|year|weekend|day|monday|tuesday|wednesday|thursday|friday"
    r"|saturday|sunday)"
    r"|ready (?:to|for)|about to|time to|soon|expect(?:ed|ing)?|forecast|warning"
    r"|risk of|remember to"
    r"|remind|supposed|likely|to (?:sow|prick|pot|plant|set|thin|pick|cut|weed|water"
    r"|stake|mulch))\b"
)
"""Words of what did not happen, or has not happened yet."""

CLAUSE = re.compile(r"[;!]|,(?![0-9]{3}\b)|\.(?![0-9])| but |\?")
"""Between the clauses of a line."""

BEHIND = re.compile(
    r"\b(?:behind|beside|besides|between|in front of|near|next to|under|below|above|among|amongst"
    r"|around|where|after|instead of|before|by|alongside|along|with|into|opposite|following|like"
    r"|replacing|from|than)(?: the| my| our| some| those| these| old)*(?: [a-z]+)? ?$"
)
"""Words before a kind that is named for where another stands."""

NOT_PLANTS = (
    r"(?:g|gm|grams?|kg|oz|ml|l|lit(?:re|er)s?|lbs?|%|percent|per cent|trays?|rows?"
    r"|drills?|packets?|packs?"
    r"|pkts?|bunch(?:es)?|buckets?|vases?|jars?|cans?|bags?|barrows?|barrowloads?"
    r"|times|days?|weeks?|hours?"
    r"|months?|years?|pots?|cells?|modules?|blocks?|patch(?:es)?|clumps?|drifts?|beds?"
    r"|metres?|meters?"
    r"|leaves|leaf|pairs?|inch(?:es)?|bouquets?|handfuls?|pinch(?:es)?|sowings?|sorts?"
    r"|kinds?|varieties)\b"
)
"""What a number counts that is neither plants nor stems."""

PLANTS = (
    r"(?:seeds?|plants?|seedlings?|stems?|flowers?|blooms?|heads?|plugs?|spikes?|stalks?|cuttings?)"
)

NOISE = words_of(
    "a an the of in on at to and with is are was were has have had been be my our some more also"
    " then now just all both from for by it its it's them their they this that these those i we"
    " there here out up off about around approx approximately nearly almost so plants plant seeds"
    " seed seedlings seedling stems stem flowers flower blooms bloom heads each today's colour"
    " colours color colors please did do done got x c ca very already again finally tall high"
    " height measured reached temperature temp night nights morning weather work bed beds only"
    " or other one another together as grown total"
)
"""Words that are no news where they are not understood."""
