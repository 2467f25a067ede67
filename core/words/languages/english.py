"""English, in US and UK terms."""

from typing import Final

from core.craft.stitches import CATALOGUE, Terms
from core.words.languages import english_pages as pages
from core.words.languages.wording import StitchName, Wording

_PHRASES: Final[dict[str, str]] = {
    # Nouns, numbers
    "st": "st|sts",
    "ch": "ch|ch",
    "once": "once",
    "twice": "twice",
    "times": "{n} times",
    "and": "{first} and {second}",
    "part": ", ",
    # Items
    "so many": "{n} {stitch}",
    "together": "{stitch}{over}tog",
    "one together": "1 {stitch}",
    "chains": "ch {n}",
    "chains counted": "{n} ch",
    "in one": "({parts})",
    "in one part": ", ",
    "group": "[{phrase}] {times}",
    "skip": "<skip> {places}",
    # Places
    "first": "first {noun}|first {n} {noun}",
    "next": "next {noun}|next {n} {noun}",
    "last": "last {noun}|last {n} {noun}",
    "first, each": "first {noun}|first {n} {noun}",
    "next, each": "next {noun}|next {n} {noun}",
    "last, each": "last {noun}|last {n} {noun}",
    "first space": "first ch-{chains} sp",
    "next space": "next ch-{chains} sp",
    "last space": "last ch-{chains} sp",
    "same": "same st",
    "from hook": "{ordinal} ch from hook",
    "top": "top of turning ch",
    "nth": "{ordinal} ch of turning ch",
    "in": "{work} in {place}",
    "in each": "{work} in each of {places}",
    "in all": "{work} in each of the {n} {noun}",
    "over": "{work} over {places}",
    "over two from hook": "{work} over {first} and {last} ch from hook",
    "over some from hook": "{work} over {first} to {last} ch from hook",
    # The start of a row
    "turn, counting": "ch {n} (counts as {what}), turn",
    "turn, part of a stitch": "ch {n}, turn",
    "turn, not counting": "ch {n} (does not count as a st), turn",
    "turn": "turn",
    "turn joins": "the turning ch and this {work} count as {what}",
    "ch more": "ch {n} more",
    "remark": "{phrase} ({remark})",
    "skipped, counting": "the <skipped> ch counts as {what}|the {n} <skipped> ch count as {what}",
    "skipped, counting in part": "the first of the {all} <skipped> ch counts as {what}"
    "|the first {n} of the {all} <skipped> ch count as {what}",
    "skipped, joining": "the <skipped> ch and this {work} count as {what}"
    "|the {n} <skipped> ch and this {work} count as {what}",
    "skipped, not counting": "the <skipped> ch does not count as a st"
    "|the {n} <skipped> ch do not count as sts",
    "skipped, stitches": "the <skipped> ch counts as a st|the {n} <skipped> ch count as sts",
    "skipped, stitches in part": "{n} of the {all} <skipped> ch counts as a st"
    "|{n} of the {all} <skipped> ch count as sts",
    "nothing to skip": "the ch counts as {what}|the {n} ch count as {what}",
    "back loops": "working in back loops only: {body}",
    "front loops": "working in front loops only: {body}",
    "back loops, last both": "working in back loops only, last st through both loops: {body}",
    "front loops, last both": "working in front loops only, last st through both loops: {body}",
    # The end of a row
    "leave": "leave {places} unworked",
    "leave turning": "leave turning ch unworked",
    "leave with turning": "leave {places} and turning ch unworked",
    "leaving turning": "{phrase}, leaving turning ch unworked",
    "repeat": "*{body}; repeat from * {more} ({all} in all)",
    "more": "once more|{n} more times",
    "count": "({n} st)|({n} sts)",
    "count with ch": "({n} st, {chains} of them ch)|({n} sts, {chains} of them ch)",
    "row text": "{body}. {count}",
    # Which rows
    "foundation": "Foundation",
    "row": "Row {row} ({side})",
    "rows": "Rows {first} to {last}",
    "foundation ch": "ch {chains}",
    "foundation ch, multiple": "ch {chains} (a multiple of {multiple})",
    "foundation ch, multiple plus": "ch {chains} (a multiple of {multiple}, plus {extra})",
    "with yarn": "with {yarn}, {text}",
    "stop": "{text}.",
    "as row": "work as row {row}",
    "as rows": "work as rows {first} to {last}",
    "repeat row": "repeat row {first} until {rows} rows are worked",
    "repeat rows": "repeat rows {first} to {last} until {rows} rows are worked",
    "last as row": "{text}; the last is worked as row {row}",
    "changing along": "{text}, changing <colour> where the stripes do",
    "not written": "not written: it takes {uses} sts, but row {below} has {available}. "
    "The rows from here on can be written once the two agree.",
    "markers": "Markers",
    "markers text": "put one in st {first} of row 1, where the only repeat begins, and move it up "
    "as you work.|put one in st {first} of row 1 and in every {ordinal} st after it, {n} in "
    "all: each marks the start of a repeat. Move them up as you work.",
    # Headings
    "heading size": "Size",
    "heading sizes": "Sizes",
    "heading materials": "Materials",
    "heading gauge": "<Gauge>",
    "heading abbreviations": "Abbreviations",
    "heading special": "Special stitches",
    "heading multiple": "Multiple",
    "heading rules": "Before you begin",
    "heading rows": "Rows",
    "heading stripes": "Stripes",
    "heading finishing": "Finishing",
    "heading care": "Care",
    "heading trouble": "If it goes wrong",
    "heading notes": "Notes",
    "heading contact": "Corrections and permission",
    # Top of the pattern
    "designer": "Designed by {designer}",
    "terms": "Written in {terms} terms",
    "skill": "Skill level: {level}",
    "skill beginner": "beginner",
    "skill easy": "easy",
    "skill intermediate": "intermediate",
    "skill experienced": "experienced",
    "weight": "{ball}, weight class {n}, {name}",
    "weight 0": "lace",
    "weight 1": "super fine",
    "weight 2": "fine",
    "weight 3": "light",
    "weight 4": "medium",
    "weight 5": "bulky",
    "weight 6": "super bulky",
    "weight 7": "jumbo",
    "contact": "Questions and mistakes: {contact}",
    "draft": "DRAFT",
    "draft because": "DRAFT: {n} error is open.|DRAFT: {n} errors are open.",
    "amount": "1 ball, about {metres} with tails and spare|"
    "{n} balls, about {metres} with tails and spare",
    "amount in full": "1 ball, about {metres} ({grams}) with tails, {spare} of it spare|"
    "{n} balls, about {metres} ({grams}) with tails, {spare} of it spare",
    "amount of size": "amounts for each size stand under Sizes",
    "ball": "{metres} in a ball of {grams}",
    "all yarn": "All <colours> together",
    "all yarn text": "1 ball, about {metres} ({grams})|{n} balls, about {metres} ({grams})",
    "numbered yarn": "{name} (yarn {number})",
    "hook": "Hook",
    "gauge": "{stitches} {stitch} and {rows} rows = {length}, in plain rows of {stitch} "
    "without the wave.",
    "gauge of the wave": "In the wave: {stitches} sts, one repeat from peak to peak, = {width}; "
    "{rows} rows = {length}.",
    "gauge, washed": "After washing: one repeat = {width}; {rows} rows = {length}.",
    "gauge how": "Measure the wave over two repeats or more and ten rows or more, laid flat, away "
    "from the edges: the first rows still lie nearly straight.",
    "inches and": "{inches} in ({cm})",
    "centimetres": "{n} cm",
    "millimetres": "{n} mm",
    "metres": "{n} m",
    "metres and yards": "{n} m ({yards} yd)",
    "grams": "{n} g",
    # Size
    "size": "About {size}, after washing.",
    "size, unwashed": "About {size}, unwashed.",
    "size with border": "About {size} with border.",
    "size with fill": "About {size} with fill rows.",
    "size with both": "About {size} with fill rows and border.",
    "two lengths": "{width} x {length} {unit}",
    "two lengths, inches": "{cm} ({width} x {length} in)",
    "unit": "cm",
    "way of the stripes": "Worked in rows from the bottom up: the stripes run across the width.",
    "sizes order": "Figures stand in this order: {sizes}. Where there is one figure, it holds for "
    "every size.",
    "one and others": "{first} ({others})",
    "figures": "{first} ({others})",
    "figures part": ", ",
    "own size": "this size",
    "size pram": "pram",
    "size lap": "lap",
    "size throw": "throw",
    "size single bed": "single bed",
    "size double bed": "double bed",
    "sizes width": "Width: the repeats between the edges times {repeat}, plus {edges} for both "
    "edges.",
    "sizes width, border": "Width: the repeats between the edges times {repeat}, plus {edges} for "
    "both edges and {border} for the border.",
    "column size": "Size",
    "column chains": "Chains",
    "column repeats": "Repeats",
    "column rows": "Rows",
    "column stripes": "Stripes",
    "column width": "Width",
    "column length": "Length",
    "column yarn": "{yarn}",
    "balls": "{metres}, 1 ball|{metres}, {n} balls",
    "size only": "{text} ({size})",
    "for size": "{label}, {size}",
    # Multiple
    "multiple": "Multiple of {multiple} ch ({least} ch or more).",
    "multiple plus": "Multiple of {multiple} plus {extra} ch ({least} ch or more).",
    "multiple of one": "Any number of ch from {least} on.",
    "repeats": "This blanket has 1 repeat between its edges: {chains} ch in all.|"
    "This blanket has {n} repeats between its edges: {chains} ch in all.",
    "wider": "For every repeat more, make {multiple} ch more.",
    "wider, rows": "For every repeat more, make {multiple} ch more; every row then has {makes} "
    "sts more.",
    "wider by": "A repeat more makes it {width} wider.",
    "this width only": "The rows fit one another at this width only.",
    "any width": "At any width, {rows}.",
    "row to last": "in row {row} repeat from * to {places}",
    "rows to last": "in every later row repeat from * to {places}",
    "turning among": "{text} (the turning ch is one of them)",
    # Rules
    "rule counts": "Turning ch: it counts as the first st of every row.",
    "rule counts or joins": "Turning ch: it counts as the first st of a row, or as part of that "
    "st where the row says so.",
    "rule same st": '"Same st" is the st at its foot, the first of the row below.',
    "rule top": "The last st of a row is worked into the top of the turning ch of the row "
    "below; in row 2 that is the top of the ch <skipped> in row 1.",
    "rule nth": "The last st of a row is worked into the {ordinal} ch of the turning ch of the "
    "row below; in row 2 that is the {ordinal} of the ch <skipped> in row 1, counted from below.",
    "rule does not count": "Turning ch: it does not count as a st and is never worked into.",
    "rule no turning ch": "Turning ch: there is none. Turn and begin the row.",
    "rule heights": "Its height suits the first st of the row: {heights}. Each row says how many.",
    "rule height": "ch {n} before {stitch}",
    "rule height none": "none before {stitch}",
    "rule both loops": "Loops: work through both loops throughout.",
    "rule back loops": "Loops: from row {row} on, work in the back loops only (the loops away "
    "from you).",
    "rule front loops": "Loops: from row {row} on, work in the front loops only (the loops "
    "towards you).",
    "loop both": "both",
    "loop back": "back",
    "loop front": "front",
    "short both": "both loops",
    "short back": "the back loops",
    "short front": "the front loops",
    "short in turn": "{loops} loops in turn",
    "short each colour": "{first}, then {last} loops in each <colour>",
    "short each colour, one": "{last} loops in each <colour>",
    "worked in": "Worked in {loops} from row {row} on.",
    "in both loops": "both loops",
    "in back loops": "back loops only",
    "in front loops": "front loops only",
    "rule loops in turn": "Loops: from row {row} on, row by row in turn: {loops}; then again from "
    "the first. Back loops lie away from you, front loops towards you.",
    "rule loops each colour": "Loops, from row {row} on, in every <colour>: {loops}. Back loops "
    "lie away from you, front loops towards you.",
    "loops of a row": "its {ordinal} row in {loops}",
    "loops of the rest": "then {loops}",
    "loops throughout": "{loops}",
    "rule last both": "The last st of each row goes through both loops.",
    "rule ch": "Ch within a row: each counts as a st. Work into the ch itself or into the space "
    "under it, but keep to one way.",
    "rule spaces": "Ch-sp: work into the space under the ch, not into the ch itself. Each ch "
    "counts as a st.",
    "rule changing": "Changing <colour>: the rows don't say where, the stripe list does. Work the "
    "last st of a stripe up to its last <yo>, then make that <yo> with the new <colour>.",
    # Special stitches
    "steps": "[{phrase}] {times}",
    "wrap": "<yo>",
    "wraps": "<yo> {times}",
    "insert": "insert hook in next st",
    "draw up": "<yo> and pull up a loop",
    "pull": "<yo> and pull through 2 loops",
    "pulls": "(<yo> and pull through 2 loops) {times}",
    "close": "<yo> and pull through all {n} loops on hook",
    "close slip": "<yo> and pull through the st and all loops on hook",
    "several in one": "{n} {stitch} in one st",
    "several how": "work all of them into the same place; {gain} st more than before"
    "|work all of them into the same place; {gain} sts more than before",
    "group in one": "{group} in one st",
    "group how": "work all of it into the same place; {gain} sts more than before, each ch "
    "counted as one",
    # The stripes and the end
    "stripe row": "Row {first}",
    "stripe rows": "Rows {first} to {last}",
    "stripe": "{yarn} (1 row, {total} in all)|{yarn} ({n} rows, {total} in all)",
    "stripes once": "The stripe sequence has {rows} rows:",
    "stripes again": "Repeat rows 1 to {rows} of the stripe sequence once more: {total} rows in "
    "all.|Repeat rows 1 to {rows} of the stripe sequence {n} more times: {total} rows in all.",
    "stripes rest": "Then work row 1 of the sequence again: {total} rows in all.|"
    "Then work rows 1 to {n} of the sequence again: {total} rows in all.",
    "fasten off": "Fasten off and weave in the ends.",
    # Finishing, care, help
    "finish ends": "Weave in {n} ends, tails of at least 15 cm, along the row in their own "
    "<colour>.",
    "finish carry": "Every stripe has an even number of rows, so a <colour> that comes back soon "
    "can be carried loosely up the side instead of being cut.",
    "finish block": "Blocking: wet or steam it as the ball band allows, lay it flat, pat every "
    "peak and dip to the same height and the sides straight, to {size}, and let it dry.",
    "finish block, sizes": "Blocking: wet or steam it as the ball band allows, lay it flat, pat "
    "every peak and dip to the same height and the sides straight, to the measures under Sizes, "
    "and let it dry.",
    "care": "Wash as the ball bands say, with the yarn that needs the most care in mind.",
    "care washed": "The size above is after washing: a swatch washed the same way tells whether "
    "yours changes as much.",
    "caution infant": "It may be used for an infant. Guidance on sleep differs from country to "
    "country, and most of it wants no loose blanket where a baby sleeps: follow your local "
    "safe-sleep guidance and product rules. Source: published advice of "
    "paediatricians, 2022.",
    "caution holes": "<Skipped> stitches and chain spaces leave holes that can catch small fingers "
    "and toes: for an infant join the dips with stitches worked together instead. Source: a "
    "published warning, 2007.",
    "caution stretched": "Stitches at the turns are stretched and may open into holes that catch "
    "small fingers and toes: for an infant choose a gentler peak or a smaller hook. Source for "
    "holes: a published warning, 2007; from which stretch on they open is this program's estimate.",
    "caution ends": "Weave in every end firmly and leave no loops or cords long enough to go round "
    "a finger or a neck; leave off ribbons, fringe, tassels, pompoms and buttons. Source: "
    "published warnings; small parts: rule for under 3 years.",
    "caution weight": "On a pram a heavy blanket warms and weighs: use it tucked in and below the "
    "chest, and take it off indoors. Common practice.",
    "caution border": "A border that hangs in loops or picots catches fingers: keep it close. "
    "Common practice.",
    "caution animal": "{yarns}: animal <fibre> may felt, shrink or itch. Wash as the ball band "
    "says, and try a swatch first. Common practice.",
    "caution synthetic": "{yarns}: <fibres> of this kind melt when they burn. Keep it away from "
    "flames, heaters and hot irons. Common practice.",
    "caution plant": "{yarns}: plant <fibre> burns quickly and can shrink when washed. Keep it "
    "away from flames, and wash a swatch first. Common practice; one published "
    "cotton blanket lost about 8 % of its width.",
    "caution hairs": "{yarns}: long loose hairs come off and can be breathed in or swallowed. "
    "Another yarn is better for an infant. Common practice.",
    "trouble count": "A count is out: find the first repeat whose peaks and dips don't stand over "
    "those below, and go back to there.",
    "trouble narrower": "It gets narrower: the last st of the row was left out, most often the "
    "one in the turning ch.",
    "trouble narrower, not counting": "It gets narrower: the first or the last st of the row was "
    "left out.",
    "trouble wider": "It gets wider: a st was worked beside a turning ch that counts as one.",
    "trouble wider, not counting": "It gets wider: the turning ch was worked into.",
    "trouble chain": "Row 1 doesn't come out: with ch left over, undo them from the beginning of "
    "the chain; with too few, count the chain again.",
    "trouble flat": "The wave looks flat: the first rows always do. Work ten before you judge it.",
    "trouble tight": "The foundation is tighter than the rows: make the chain with a hook one "
    "size larger.",
    # Fill rows and border
    "heading fill": "Straight top and bottom",
    "heading border": "Border",
    "fill top": "Top, with {yarn}: one st into every st of the last row, through both loops; a "
    "turning ch that counts is one of them.",
    "fill bottom": "Bottom, with {yarn}: turn the blanket upside down, RS facing, join in the "
    "first ch at the right (left-handed: at the left) and work one st into the other side of "
    "every ch.",
    "bottom row": "Bottom row {row} ({side})",
    "fill opens, turn, not counting": "ch {n} (does not count as a st), turn",
    "fill opens, turn, counting": "ch {n} (counts as {what}), turn",
    "fill opens, join, not counting": "ch {n} (does not count as a st)",
    "fill opens, join, counting": "ch {n} (counts as {what})",
    "fill bump": "The wave here is about {before} mm high; with these rows a bump of about {after} "
    "mm stays. How much depends on how tightly you work: try a few repeats before you decide.",
    "fill straight": "How straight it comes out depends on how tightly you work: try a few repeats "
    "before you decide.",
    "fill each": "{stitch} in {places}",
    "fill each of": "{stitch} in each of {places}",
    "fill all": "{stitch} in each of the {n} {noun}",
    "border yarn": "With {yarn} and RS facing, join in a corner. Begin each round with ch to the "
    "height of the st and close it with {slip} in the first st.",
    "border sides": "Sides: {stitches} {stitch} over every row end, {total} along each side."
    "|Sides: {stitches} {stitch} over every {n} row ends, {total} along each side.",
    "border top": "top",
    "border bottom": "bottom",
    "border end": "{where}: {stitches} {stitch} over every wave ({below} sts), {total} in all."
    "|{where}: {stitches} {stitch} over every {n} waves ({below} sts), {total} in all.",
    "border end plain": "{where}: {stitch} in each st, {total} in all.",
    "border end wave": "{where}: {stitch} in each st, but {hill} in one on every hill and <skip> "
    "{n} in every valley; {total} in all.",
    "border corners": "Corners: {n} {stitch} in one.",
    "border multiple": "Between the corners every side has a multiple of {multiple} sts.",
    "border multiple plus": "Between the corners every side has a multiple of {multiple} plus "
    "{extra} sts.",
    "border round": "Round 1: {stitches} {stitch}.",
    "border round 2": "Round 2: {stitch} in each st, {corner} in one in the middle st of each "
    "corner; {more} sts more: {stitches}.",
    "border rounds": "Rounds 2 to {last}: {stitch} in each st, {corner} in one in the middle st of "
    "each corner; {more} sts more in each round, {stitches} in the last.",
    # Abbreviations
    "meaning together": "{long} {over} stitches together",
    "stitch short": "st",
    "stitches short": "sts",
    "stitch entry": "st(s)",
    "stitch long": "stitch(es)",
    "space short": "sp",
    "spaces short": "sps",
    "space entry": "sp(s)",
    "space long": "space(s)",
    "RS": "RS",
    "RS long": "right side",
    "WS": "WS",
    "WS long": "wrong side",
    "yarn over short": "<yo>",
    "yarn over long": "<yarn over>",
    "abbreviation": "{long}",
    # Labels on drawings, in the fewest words
    "label skip": "<skip> {n}",
    "label chain": "ch {n}",
    "label in one": "{n} in 1",
    "label in one, chains": "{n} in 1 with ch {chains}",
    "label together": "{n}tog",
    "label times": "{label} ×{n}",
    "label alternating": "({pair}) ×{n}",
    "label height": "{n} {stitch}",
}

_SPELLED: Final[dict[str, str]] = {
    "st": "stitch|stitches",
    "ch": "chain|chains",
    "and": "{first} and {second}",
    "together": "{over} {stitch} together",
    "one together": "{stitch}",
    "chains": "chain {n}",
    "chains counted": "{n} chain|{n} chains",
    "in one": "{parts}, all",
    "in one part": " then ",
    "group": "{times} in a row {phrase}",
    "first": "the first {noun}|the first {n} {noun}",
    "next": "the next {noun}|the next {n} {noun}",
    "last": "the last {noun}|the last {n} {noun}",
    "first, each": "the first {noun}|the first {n} {noun}",
    "next, each": "the next {noun}|the next {n} {noun}",
    "last, each": "the last {noun}|the last {n} {noun}",
    "first space": "the first {chains}-chain space",
    "next space": "the next {chains}-chain space",
    "last space": "the last {chains}-chain space",
    "same": "the same stitch",
    "from hook": "the {ordinal} chain from the hook",
    "top": "the top of the turning chain",
    "nth": "the {ordinal} chain of the turning chain",
    "in": "work {work} in {place}",
    "in each": "work {work} in each of {places}",
    "in all": "work {work} in each of the {n} {noun}",
    "over": "work {work} over {places}",
    "over two from hook": "work {work} over the {first} and {last} chain from the hook",
    "over some from hook": "work {work} over the {first} to {last} chain from the hook",
    "turn, counting": "chain {n}, which counts as {what}, and turn",
    "turn, part of a stitch": "chain {n} and turn",
    "turn, not counting": "chain {n}, which does not count as a stitch, and turn",
    "turn joins": "the turning chain and this {work} count as {what}",
    "ch more": "chain {n} more",
    "remark": "{phrase}, where {remark}",
    "skipped, counting": "the <skipped> chain counts as {what}"
    "|the {n} <skipped> chains count as {what}",
    "skipped, counting in part": "the first of the {all} <skipped> chains counts as {what}"
    "|the first {n} of the {all} <skipped> chains count as {what}",
    "skipped, joining": "the <skipped> chain and this {work} count as {what}"
    "|the {n} <skipped> chains and this {work} count as {what}",
    "skipped, not counting": "the <skipped> chain does not count as a stitch"
    "|the {n} <skipped> chains do not count as stitches",
    "skipped, stitches": "the <skipped> chain counts as a stitch"
    "|the {n} <skipped> chains count as stitches",
    "skipped, stitches in part": "{n} of the {all} <skipped> chains counts as a stitch"
    "|{n} of the {all} <skipped> chains count as stitches",
    "nothing to skip": "the chain counts as {what}|the {n} chains count as {what}",
    "back loops": "working in the back loops only, {body}",
    "front loops": "working in the front loops only, {body}",
    "back loops, last both": "working in the back loops only, the last stitch through both loops, "
    "{body}",
    "front loops, last both": "working in the front loops only, the last stitch through both "
    "loops, {body}",
    "leave turning": "leave the turning chain unworked",
    "leave with turning": "leave {places} and the turning chain unworked",
    "leaving turning": "{phrase}, leaving the turning chain unworked",
    "repeat": "start of repeat, {body}, end of repeat, work this repeat {all} in all",
    "count": "{n} stitch.|{n} stitches.",
    "count with ch": "{n} stitch, {chains} of them chains.|{n} stitches, {chains} of them chains.",
    "row": "Row {row}, {side}",
    "foundation ch": "chain {chains}",
    "foundation ch, multiple": "chain {chains}, a multiple of {multiple}",
    "foundation ch, multiple plus": "chain {chains}, a multiple of {multiple} plus {extra}",
    "not written": "not written: it takes {uses} stitches, but row {below} has {available}. "
    "The rows from here on can be written once the two agree.",
    "markers text": "put one in stitch {first} of row 1, where the only repeat begins, and move it "
    "up as you work.|put one in stitch {first} of row 1 and in every {ordinal} stitch after it, "
    "{n} in all: each marks the start of a repeat. Move them up as you work.",
    "amount in full": "1 ball, about {metres} or {grams} with tails, {spare} of it spare|"
    "{n} balls, about {metres} or {grams} with tails, {spare} of it spare",
    "all yarn text": "1 ball, about {metres} or {grams}|{n} balls, about {metres} or {grams}",
    "numbered yarn": "{name}, yarn {number}",
    "gauge": "{stitches} {stitch} and {rows} rows measure {length}, in plain rows of {stitch} "
    "without the wave.",
    "gauge of the wave": "In the wave, {stitches} stitches, one repeat from peak to peak, measure "
    "{width}; {rows} rows measure {length}.",
    "gauge, washed": "After washing, one repeat measures {width}; {rows} rows measure {length}.",
    "inches and": "{inches} inches or {cm}",
    "centimetres": "{n} <centimetres>",
    "millimetres": "{n} <millimetres>",
    "metres": "{n} <metres>",
    "metres and yards": "{n} <metres> or {yards} yards",
    "grams": "{n} grams",
    "two lengths": "{width} by {length} {unit}",
    "two lengths, inches": "{cm} or {width} by {length} inches",
    "unit": "<centimetres>",
    "size only": "For {size}: {text}",
    "multiple": "Multiple of {multiple} chains, {least} chains or more.",
    "multiple plus": "Multiple of {multiple} plus {extra} chains, {least} chains or more.",
    "multiple of one": "Any number of chains from {least} on.",
    "repeats": "This blanket has 1 repeat between its edges: {chains} chains in all.|"
    "This blanket has {n} repeats between its edges: {chains} chains in all.",
    "wider": "For every repeat more, make {multiple} chains more.",
    "wider, rows": "For every repeat more, make {multiple} chains more; every row then has {makes} "
    "stitches more.",
    "row to last": "in row {row} work the repeat up to {places}",
    "rows to last": "in every later row work the repeat up to {places}",
    "turning among": "{text}, the turning chain being one of them",
    "rule counts": "Turning chain: it counts as the first stitch of every row.",
    "rule counts or joins": "Turning chain: it counts as the first stitch of a row, or as part of "
    "that stitch where the row says so.",
    "rule same st": "The same stitch is the one at its foot, the first of the row below.",
    "rule top": "The last stitch of a row is worked into the top of the turning chain of the row "
    "below; in row 2 that is the top of the chains <skipped> in row 1.",
    "rule nth": "The last stitch of a row is worked into the {ordinal} chain of the turning chain "
    "of the row below; in row 2 that is the {ordinal} of the chains <skipped> in row 1, counted "
    "from below.",
    "rule does not count": "Turning chain: it does not count as a stitch and is never worked into.",
    "rule no turning ch": "Turning chain: there is none. Turn and begin the row.",
    "rule heights": "Its height suits the first stitch of the row: {heights}. Each row says how "
    "many.",
    "rule height": "chain {n} before {stitch}",
    "rule back loops": "Loops: from row {row} on, work in the back loops only, the loops away "
    "from you.",
    "rule front loops": "Loops: from row {row} on, work in the front loops only, the loops "
    "towards you.",
    "rule last both": "The last stitch of each row goes through both loops.",
    "rule ch": "Chains within a row: each counts as a stitch. Work into the chain itself or into "
    "the space under it, but keep to one way.",
    "rule spaces": "Chain spaces: work into the space under the chain, not into the chain itself. "
    "Each chain counts as a stitch.",
    "rule changing": "Changing <colour>: the rows don't say where, the stripe list does. Work the "
    "last stitch of a stripe up to its last <yarn over>, then make that <yarn over> with the new "
    "<colour>.",
    "steps": "{times}, do these steps in order: {phrase}; after that",
    "wrap": "<yarn over>",
    "wraps": "<yarn over> {times}",
    "insert": "insert the hook in the next stitch",
    "draw up": "<yarn over> and pull up a loop",
    "pull": "<yarn over> and pull through 2 loops",
    "pulls": "<yarn over> and pull through 2 loops {times}",
    "close": "<yarn over> and pull through all {n} loops on the hook",
    "close slip": "<yarn over> and pull through the stitch and all loops on the hook",
    "several in one": "{n} {stitch} in one stitch",
    "several how": "work all of them into the same place; {gain} stitch more than before"
    "|work all of them into the same place; {gain} stitches more than before",
    "group in one": "{group} in one stitch",
    "group how": "work all of it into the same place; {gain} stitches more than before, each chain "
    "counted as one",
    "stripe": "{yarn}, 1 row, {total} in all|{yarn}, {n} rows, {total} in all",
    "finish ends": "Weave in {n} ends, tails of at least 15 <centimetres>, along the row in their "
    "own <colour>.",
    "trouble narrower": "It gets narrower: the last stitch of the row was left out, most often the "
    "one in the turning chain.",
    "trouble narrower, not counting": "It gets narrower: the first or the last stitch of the row "
    "was left out.",
    "trouble wider": "It gets wider: a stitch was worked beside a turning chain that counts as "
    "one.",
    "trouble wider, not counting": "It gets wider: the turning chain was worked into.",
    "trouble chain": "Row 1 doesn't come out: with chains left over, undo them from the beginning "
    "of the chain; with too few, count the chain again.",
    "fill top": "Top, with {yarn}: one stitch into every stitch of the last row, through both "
    "loops; a turning chain that counts is one of them.",
    "fill bottom": "Bottom, with {yarn}: turn the blanket upside down, right side facing, join in "
    "the first chain at the right, or left-handed at the left, and work one stitch into the other "
    "side of every chain.",
    "bottom row": "Bottom row {row}, {side}",
    "fill opens, turn, not counting": "chain {n}, which does not count as a stitch, and turn",
    "fill opens, turn, counting": "chain {n}, which counts as {what}, and turn",
    "fill opens, join, not counting": "chain {n}, which does not count as a stitch",
    "fill opens, join, counting": "chain {n}, which counts as {what}",
    "fill bump": "The wave here is about {before} <millimetres> high; with these rows a bump of "
    "about {after} <millimetres> stays. How much depends on how tightly you work: try a few "
    "repeats before you decide.",
    "fill each": "work {stitch} in {places}",
    "fill each of": "work {stitch} in each of {places}",
    "fill all": "work {stitch} in each of the {n} {noun}",
    "border yarn": "With {yarn} and the right side facing, join in a corner. Begin each round with "
    "chains to the height of the stitch and close it with {slip} in the first stitch.",
    "border end": "{where}: {stitches} {stitch} over every wave of {below} stitches, {total} in "
    "all.|{where}: {stitches} {stitch} over every {n} waves of {below} stitches in all, {total} in "
    "all.",
    "border end plain": "{where}: {stitch} in each stitch, {total} in all.",
    "border end wave": "{where}: {stitch} in each stitch, but {hill} in one on every hill and "
    "<skip> {n} in every valley; {total} in all.",
    "border multiple": "Between the corners every side has a multiple of {multiple} stitches.",
    "border multiple plus": "Between the corners every side has a multiple of {multiple} plus "
    "{extra} stitches.",
    "border round 2": "Round 2: {stitch} in each stitch, {corner} in one in the middle stitch of "
    "each corner; {more} stitches more: {stitches}.",
    "border rounds": "Rounds 2 to {last}: {stitch} in each stitch, {corner} in one in the middle "
    "stitch of each corner; {more} stitches more in each round, {stitches} in the last.",
    "RS": "right side",
    "WS": "wrong side",
    "figures": "{first}, or {others}",
    "figures part": ", or ",
    "one and others": "{first}, then {others}",
}

_SIZED: Final[dict[str, str]] = {
    "more": "{n} more times",
    "repeat": "*{body}; repeat from * {more}",
    "count": "{n} sts.",
    "count with ch": "{n} sts, {chains} of them ch.",
    "repeats": "This blanket has {n} repeats between its edges: {chains} ch in all.",
    "markers text": "put one in st {first} of row 1 and in every {ordinal} st after it, {n} in "
    "all: each marks the start of a repeat. Move them up as you work.",
    "foundation ch, multiple plus": "ch {chains}, a multiple of {multiple} plus {extra}",
    "foundation ch, multiple": "ch {chains}, a multiple of {multiple}",
    "stripes again": "Repeat rows 1 to {rows} of the stripe sequence {n} more times: {total} rows "
    "in all.",
    "stripe": "{yarn} (1 row, {total} in all)|{yarn} ({n} rows, {total} in all)",
}

_SPELLED_SIZED: Final[dict[str, str]] = {
    "repeat": "start of repeat, {body}, end of repeat, work this repeat {more}",
    "count": "{n} stitches.",
    "count with ch": "{n} stitches, {chains} of them chains.",
    "repeats": "This blanket has {n} repeats between its edges: {chains} chains in all.",
    "markers text": "put one in stitch {first} of row 1 and in every {ordinal} stitch after it, "
    "{n} in all: each marks the start of a repeat. Move them up as you work.",
    "foundation ch, multiple plus": "chain {chains}, a multiple of {multiple} plus {extra}",
    "foundation ch, multiple": "chain {chains}, a multiple of {multiple}",
    "stripe": "{yarn}, 1 row, {total} in all|{yarn}, {n} rows, {total} in all",
}

_WORDS: Final[dict[Terms, dict[str, str]]] = {
    "US": {
        "skip": "skip",
        "skipped": "skipped",
        "Skipped": "Skipped",
        "Gauge": "Gauge",
        "yo": "yo",
        "yarn over": "yarn over",
        "colour": "color",
        "colours": "colors",
        "Colour": "Color",
        "Colours": "Colors",
        "grey": "gray",
        "greyish": "grayish",
        "fibre": "fiber",
        "fibres": "fibers",
        "Fibres": "Fibers",
        "centimetres": "centimeters",
        "millimetres": "millimeters",
        "metres": "meters",
    },
    "UK": {
        "skip": "miss",
        "skipped": "missed",
        "Skipped": "Missed",
        "Gauge": "Tension",
        "yo": "yrh",
        "yarn over": "yarn round hook",
        "colour": "colour",
        "colours": "colours",
        "Colour": "Colour",
        "Colours": "Colours",
        "grey": "grey",
        "greyish": "greyish",
        "fibre": "fibre",
        "fibres": "fibres",
        "Fibres": "Fibres",
        "centimetres": "centimetres",
        "millimetres": "millimetres",
        "metres": "metres",
    },
}
_PLURALS: Final = {"chain": "chains", "slip stitch": "slip stitches"}
"""Counted stitches stay as they are: 2 double crochet (as published patterns print them)."""


def _ordinal(number: int) -> str:
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def _number_of(count: int) -> int:
    return 0 if count == 1 else 1


def _stitches(terms: Terms) -> dict[str, StitchName]:
    names = {key: stitch.name(terms) for key, stitch in CATALOGUE.items()}
    return {
        key: StitchName(name.short, name.long, _PLURALS.get(name.long, name.long))
        for key, name in names.items()
    }


ENGLISH: Final = Wording(
    name="English",
    phrases={**_PHRASES, **pages.PAGES},
    spelled={**_SPELLED, **pages.SPELLED},
    sized=_SIZED,
    spelled_sized=_SPELLED_SIZED,
    by_terms=_WORDS,
    stitches={"US": _stitches("US"), "UK": _stitches("UK")},
    number_of=_number_of,
    ordinal=_ordinal,
    decimal=".",
)
