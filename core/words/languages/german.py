"""German. Stitch words and turns of phrase are those of printed patterns, from memory.

Both nouns that are counted, Masche and Luftmasche, are feminine, so one set of endings serves
for stitches and chains; chain spaces (Bögen) are masculine and have phrases of their own. What
follows "in" or "über" is accusative, what follows "jede" is genitive plural.
"""

from typing import Final

from core.words.languages import german_pages as pages
from core.words.languages.wording import StitchName, Wording

_PHRASES: Final[dict[str, str]] = {
    # Nouns, numbers
    "st": "M|M",
    "ch": "Lm|Lm",
    "once": "1-mal",
    "twice": "2-mal",
    "times": "{n}-mal",
    "and": "{first} und {second}",
    "part": ", ",
    # Items
    "so many": "{n} {stitch}",
    "together": "{over} {stitch} zus. abm.",
    "one together": "{stitch}",
    "chains": "{n} Lm",
    "chains counted": "{n} Lm",
    "in one": "({parts})",
    "in one part": ", ",
    "group": "[{phrase}] {times}",
    "skip": "{places} auslassen",
    # Places
    "first": "die erste {noun}|die ersten {n} {noun}",
    "next": "die nächste {noun}|die nächsten {n} {noun}",
    "last": "die letzte {noun}|die letzten {n} {noun}",
    "first, each": "die erste {noun}|jede der ersten {n} {noun}",
    "next, each": "die nächste {noun}|jede der nächsten {n} {noun}",
    "last, each": "die letzte {noun}|jede der letzten {n} {noun}",
    "first space": "den ersten {chains}-Lm-Bogen",
    "next space": "den nächsten {chains}-Lm-Bogen",
    "last space": "den letzten {chains}-Lm-Bogen",
    "same": "dieselbe M",
    "from hook": "die {ordinal} Lm ab der Nadel",
    "top": "die oberste Wende-Lm",
    "nth": "die {ordinal} Wende-Lm",
    "in": "{work} in {place}",
    "in each": "{work} in {places}",
    "in all": "{work} in jede der {n} {noun}",
    "over": "über {places} {work}",
    "over two from hook": "über die {first} und {last} Lm ab der Nadel {work}",
    "over some from hook": "über die {first} bis {last} Lm ab der Nadel {work}",
    # The start of a row
    "turn, counting": "{n} Lm (zählt als {what}), wenden|{n} Lm (zählen als {what}), wenden",
    "turn, part of a stitch": "{n} Lm, wenden",
    "turn, not counting": "{n} Lm (zählt nicht als M), wenden|{n} Lm (zählen nicht als M), wenden",
    "turn": "wenden",
    "turn joins": "Wende-Lm und {one} zählen zusammen als {what}",
    "ch more": "noch {n} Lm",
    "remark": "{phrase} ({remark})",
    "skipped, counting": "die ausgelassene Lm zählt als {what}"
    "|die {n} ausgelassenen Lm zählen als {what}",
    "skipped, counting in part": "die erste der {all} ausgelassenen Lm zählt als {what}"
    "|die ersten {n} der {all} ausgelassenen Lm zählen als {what}",
    "skipped, joining": "die ausgelassene Lm und {one} zählen zusammen als {what}"
    "|die {n} ausgelassenen Lm und {one} zählen zusammen als {what}",
    "skipped, not counting": "die ausgelassene Lm zählt nicht als M"
    "|die {n} ausgelassenen Lm zählen nicht als M",
    "skipped, stitches": "die ausgelassene Lm zählt als M|die {n} ausgelassenen Lm zählen als M",
    "skipped, stitches in part": "{n} der {all} ausgelassenen Lm zählt als M"
    "|{n} der {all} ausgelassenen Lm zählen als M",
    "nothing to skip": "die Lm zählt als {what}|die {n} Lm zählen als {what}",
    "back loops": "nur in die hinteren M-Glieder häkeln: {body}",
    "front loops": "nur in die vorderen M-Glieder häkeln: {body}",
    "back loops, last both": "nur in die hinteren M-Glieder häkeln, die letzte M in beide "
    "M-Glieder: {body}",
    "front loops, last both": "nur in die vorderen M-Glieder häkeln, die letzte M in beide "
    "M-Glieder: {body}",
    # The end of a row
    "leave": "{places} unbehäkelt lassen",
    "leave turning": "die Wende-Lm unbehäkelt lassen",
    "leave with turning": "{places} und die Wende-Lm unbehäkelt lassen",
    "leaving turning": "{phrase}, die Wende-Lm bleiben unbehäkelt",
    "repeat": "*{body}; ab * {more} (insgesamt {all})",
    "more": "noch 1-mal wiederholen|noch {n}-mal wiederholen",
    "count": "({n} M)",
    "count with ch": "({n} M, davon {chains} Lm)",
    "row text": "{body}. {count}",
    # Which rows
    "foundation": "Anschlag",
    "row": "Reihe {row} ({side})",
    "rows": "Reihe {first} bis {last}",
    "foundation ch": "{chains} Lm anschlagen",
    "foundation ch, multiple": "{chains} Lm anschlagen (ein Vielfaches von {multiple})",
    "foundation ch, multiple plus": "{chains} Lm anschlagen (ein Vielfaches von {multiple} plus "
    "{extra})",
    "with yarn": "mit „{yarn}“ {text}",
    "stop": "{text}.",
    "as row": "wie Reihe {row} häkeln",
    "as rows": "wie Reihe {first} bis {last} häkeln",
    "repeat row": "Reihe {first} wiederholen, bis {rows} Reihen gehäkelt sind",
    "repeat rows": "Reihe {first} bis {last} wiederholen, bis {rows} Reihen gehäkelt sind",
    "last as row": "{text}; die letzte ist wie Reihe {row}",
    "changing along": "{text}, dabei die Farbe nach der Streifenliste wechseln",
    "not written": "nicht geschrieben: Sie braucht {uses} M, Reihe {below} hat aber {available}. "
    "Die Reihen ab hier lassen sich schreiben, sobald beide übereinstimmen.",
    "markers": "Markierer",
    "markers text": "einen in M {first} von Reihe 1 hängen, wo der einzige Rapport beginnt, und "
    "beim Häkeln mit nach oben nehmen.|einen in M {first} von Reihe 1 und danach in jede "
    "{ordinal} M hängen, insgesamt {n}: Jeder zeigt den Beginn eines Rapports. Beim Häkeln mit "
    "nach oben nehmen.",
    # Headings
    "heading size": "Größe",
    "heading sizes": "Größen",
    "heading materials": "Material",
    "heading gauge": "Maschenprobe",
    "heading abbreviations": "Abkürzungen",
    "heading special": "Besondere Maschen",
    "heading multiple": "Maschenzahl",
    "heading rules": "Vor dem Beginn",
    "heading rows": "Reihen",
    "heading stripes": "Streifen",
    "heading finishing": "Fertigstellen",
    "heading care": "Pflege",
    "heading trouble": "Wenn etwas nicht stimmt",
    "heading notes": "Bemerkungen",
    "heading contact": "Korrekturen und Erlaubnis",
    # Top of the pattern
    "designer": "Entwurf: {designer}",
    "terms": "Mit deutschen Häkelbegriffen",
    "skill": "Schwierigkeit: {level}",
    "skill beginner": "für den Anfang",
    "skill easy": "leicht",
    "skill intermediate": "mittel",
    "skill experienced": "für Geübte",
    "weight": "{ball}, Garnstärke {n}, {name}",
    "weight 0": "Lace",
    "weight 1": "sehr fein",
    "weight 2": "fein",
    "weight 3": "leicht",
    "weight 4": "mittel",
    "weight 5": "dick",
    "weight 6": "sehr dick",
    "weight 7": "extra dick",
    "contact": "Fragen und Fehler: {contact}",
    "draft": "ENTWURF",
    "draft because": "ENTWURF: {n} Fehler ist offen.|ENTWURF: {n} Fehler sind offen.",
    "amount": "1 Knäuel, etwa {metres} mit Fadenenden und Reserve|"
    "{n} Knäuel, etwa {metres} mit Fadenenden und Reserve",
    "amount in full": "1 Knäuel, etwa {metres} ({grams}) mit Fadenenden, davon {spare} Reserve|"
    "{n} Knäuel, etwa {metres} ({grams}) mit Fadenenden, davon {spare} Reserve",
    "amount of size": "die Mengen für jede Größe stehen unter Größen",
    "ball": "{metres} je Knäuel zu {grams}",
    "all yarn": "Alle Farben zusammen",
    "all yarn text": "1 Knäuel, etwa {metres} ({grams})|{n} Knäuel, etwa {metres} ({grams})",
    "numbered yarn": "{name} (Garn {number})",
    "hook": "Häkelnadel",
    "gauge": "{stitches} {stitch} und {rows} Reihen = {length}, in glatten Reihen aus {stitch} "
    "ohne Wellen.",
    "gauge of the wave": "Im Wellenmuster: {stitches} M, ein Rapport von Spitze zu Spitze, = "
    "{width}; {rows} Reihen = {length}.",
    "gauge, washed": "Nach dem Waschen: ein Rapport = {width}; {rows} Reihen = {length}.",
    "gauge how": "Die Wellen flach liegend über mindestens zwei Rapporte und zehn Reihen messen, "
    "nicht am Rand: Die ersten Reihen liegen noch fast gerade.",
    "inches and": "{cm}",
    "centimetres": "{n} cm",
    "millimetres": "{n} mm",
    "metres": "{n} m",
    "metres and yards": "{n} m",
    "grams": "{n} g",
    # Size
    "size": "Etwa {size}, gewaschen.",
    "size, unwashed": "Etwa {size}, ungewaschen.",
    "size with border": "Etwa {size} mit Rand.",
    "size with fill": "Etwa {size} mit Ausgleichsreihen.",
    "size with both": "Etwa {size} mit Ausgleichsreihen und Rand.",
    "two lengths": "{width} x {length} {unit}",
    "two lengths, inches": "{cm}",
    "unit": "cm",
    "way of the stripes": "In Reihen von unten nach oben gehäkelt: Die Streifen laufen quer über "
    "die Breite.",
    "sizes order": "Die Zahlen stehen in dieser Ordnung: {sizes}. Eine einzelne Zahl gilt für alle "
    "Größen.",
    "one and others": "{first} ({others})",
    "figures": "{first} ({others})",
    "figures part": ", ",
    "own size": "diese Größe",
    "size pram": "Kinderwagen",
    "size lap": "Kniedecke",
    "size throw": "Sofadecke",
    "size single bed": "Einzelbett",
    "size double bed": "Doppelbett",
    "sizes width": "Breite: Rapporte zwischen den Rändern mal {repeat}, dazu {edges} für beide "
    "Ränder.",
    "sizes width, border": "Breite: Rapporte zwischen den Rändern mal {repeat}, dazu {edges} für "
    "beide Ränder und {border} für die Umrandung.",
    "column size": "Größe",
    "column chains": "Lm",
    "column repeats": "Rapporte",
    "column rows": "Reihen",
    "column stripes": "Streifen",
    "column width": "Breite",
    "column length": "Länge",
    "column yarn": "{yarn}",
    "balls": "{metres}, 1 Knäuel|{metres}, {n} Knäuel",
    "size only": "{text} ({size})",
    "for size": "{label}, {size}",
    # Multiple
    "multiple": "Ein Vielfaches von {multiple} Lm (mindestens {least} Lm).",
    "multiple plus": "Ein Vielfaches von {multiple} plus {extra} Lm (mindestens {least} Lm).",
    "multiple of one": "Eine beliebige Zahl von Lm, mindestens {least}.",
    "repeats": "Diese Decke hat 1 Rapport zwischen den Rändern: {chains} Lm im Ganzen.|"
    "Diese Decke hat {n} Rapporte zwischen den Rändern: {chains} Lm im Ganzen.",
    "wider": "Für jeden Rapport mehr {multiple} Lm mehr anschlagen.",
    "wider, rows": "Für jeden Rapport mehr {multiple} Lm mehr anschlagen; jede Reihe hat dann "
    "{makes} M mehr.",
    "wider by": "Ein Rapport mehr macht sie {width} breiter.",
    "this width only": "Die Reihen passen nur bei dieser Breite aufeinander.",
    "any width": "Bei jeder Breite gilt: {rows}.",
    "row to last": "in Reihe {row} ab * wiederholen bis auf {places}",
    "rows to last": "in jeder späteren Reihe ab * wiederholen bis auf {places}",
    "turning among": "{text} (die Wende-Lm sind eine davon)",
    # Rules
    "rule counts": "Wende-Lm: Sie zählen als erste M jeder Reihe.",
    "rule counts or joins": "Wende-Lm: Sie zählen als erste M einer Reihe oder als Teil davon, wo "
    "die Reihe es sagt.",
    "rule same st": "„Dieselbe M“ ist die, auf der die Wende-Lm stehen: die erste der Reihe "
    "darunter.",
    "rule top": "Die letzte M einer Reihe kommt in die oberste Wende-Lm der Reihe darunter; in "
    "Reihe 2 ist das die oberste der in Reihe 1 ausgelassenen Lm.",
    "rule nth": "Die letzte M einer Reihe kommt in die {ordinal} Wende-Lm der Reihe darunter; in "
    "Reihe 2 ist das die {ordinal} der in Reihe 1 ausgelassenen Lm, von unten gezählt.",
    "rule does not count": "Wende-Lm: Sie zählen nicht als M und werden nie behäkelt.",
    "rule no turning ch": "Wende-Lm: Es gibt keine. Wenden und die Reihe beginnen.",
    "rule heights": "Ihre Zahl richtet sich nach der ersten M der Reihe: {heights}. Jede Reihe "
    "nennt sie.",
    "rule height": "{n} Lm vor {stitch}",
    "rule height none": "keine vor {stitch}",
    "rule both loops": "M-Glieder: immer in beide M-Glieder einstechen.",
    "rule back loops": "M-Glieder: ab Reihe {row} nur in die hinteren M-Glieder einstechen (die "
    "abgewandten).",
    "rule front loops": "M-Glieder: ab Reihe {row} nur in die vorderen M-Glieder einstechen (die "
    "zugewandten).",
    "loop both": "beide",
    "loop back": "hintere",
    "loop front": "vordere",
    "short both": "beide M-Glieder",
    "short back": "die hinteren M-Glieder",
    "short front": "die vorderen M-Glieder",
    "short in turn": "im Wechsel {loops} M-Glieder",
    "short each colour": "in jeder Farbe erst {first}, dann {last} M-Glieder",
    "short each colour, one": "in jeder Farbe {last} M-Glieder",
    "worked in": "Ab Reihe {row} gehäkelt in: {loops}.",
    "in both loops": "beide M-Glieder",
    "in back loops": "nur die hinteren M-Glieder",
    "in front loops": "nur die vorderen M-Glieder",
    "rule loops in turn": "M-Glieder: ab Reihe {row} im Wechsel von Reihe zu Reihe: {loops}; dann "
    "wieder von vorn. Die hinteren M-Glieder sind die abgewandten, die vorderen die zugewandten.",
    "rule loops each colour": "M-Glieder ab Reihe {row}, in jeder Farbe: {loops}. Die hinteren "
    "M-Glieder sind die abgewandten, die vorderen die zugewandten.",
    "loops of a row": "in der {ordinal} Reihe {loops}",
    "loops of the rest": "danach {loops}",
    "loops throughout": "{loops}",
    "rule last both": "Die letzte M jeder Reihe geht in beide M-Glieder.",
    "rule ch": "Lm innerhalb einer Reihe: Jede zählt als M. In die Lm selbst oder um sie herum "
    "häkeln, aber immer gleich.",
    "rule spaces": "Lm-Bögen: um die Lm herum häkeln, nicht in die Lm selbst. Jede Lm zählt als M.",
    "rule changing": "Farbwechsel: Die Reihen nennen ihn nicht, die Streifenliste tut es. Die "
    "letzte M eines Streifens bis zum letzten U häkeln, diesen U schon mit der neuen Farbe machen.",
    # Special stitches
    "steps": "[{phrase}] {times}",
    "wrap": "1 U",
    "wraps": "{n} U",
    "insert": "in die nächste M einstechen",
    "draw up": "1 U auffassen und durchholen",
    "pull": "1 U auffassen und durch 2 Schlingen ziehen",
    "pulls": "(1 U auffassen und durch 2 Schlingen ziehen) {times}",
    "close": "1 U auffassen und durch alle {n} Schlingen auf der Nadel ziehen",
    "close slip": "1 U auffassen und durch die M und alle Schlingen auf der Nadel ziehen",
    "several in one": "{n} {stitch} in eine M",
    "several how": "alle in dieselbe Einstichstelle; {gain} M mehr als zuvor",
    "group in one": "{group} in eine M",
    "group how": "alles in dieselbe Einstichstelle; {gain} M mehr als zuvor, jede Lm als eine "
    "gezählt",
    # The stripes and the end
    "stripe row": "Reihe {first}",
    "stripe rows": "Reihe {first} bis {last}",
    "stripe": "{yarn} (1 Reihe, {total} im Ganzen)|{yarn} ({n} Reihen, {total} im Ganzen)",
    "stripes once": "Die Streifenfolge hat {rows} Reihen:",
    "stripes again": "Reihe 1 bis {rows} der Streifenfolge noch 1-mal wiederholen: {total} Reihen "
    "im Ganzen.|Reihe 1 bis {rows} der Streifenfolge noch {n}-mal wiederholen: {total} Reihen im "
    "Ganzen.",
    "stripes rest": "Dann noch einmal Reihe 1 der Folge häkeln: {total} Reihen im Ganzen.|"
    "Dann noch einmal Reihe 1 bis {n} der Folge häkeln: {total} Reihen im Ganzen.",
    "fasten off": "Den Faden abschneiden, durchziehen und die Enden vernähen.",
    # Finishing, care, help
    "finish ends": "{n} Fadenenden von mindestens 15 cm in der Reihe ihrer Farbe vernähen.",
    "finish carry": "Jeder Streifen hat eine gerade Zahl von Reihen: Eine Farbe, die bald "
    "wiederkommt, kann locker an der Seite mitgeführt werden, statt sie abzuschneiden.",
    "finish block": "Spannen: nach den Angaben der Banderole anfeuchten oder dämpfen, flach "
    "hinlegen, alle Spitzen und Täler auf gleiche Höhe und die Seiten gerade streichen, auf "
    "{size}, und trocknen lassen.",
    "finish block, sizes": "Spannen: nach den Angaben der Banderole anfeuchten oder dämpfen, flach "
    "hinlegen, alle Spitzen und Täler auf gleiche Höhe und die Seiten gerade streichen, auf das "
    "Maß, das unter Größen steht, und trocknen lassen.",
    "care": "Waschen, wie es die Banderolen sagen; das empfindlichste Garn entscheidet.",
    "care washed": "Die Größe oben gilt nach dem Waschen: Eine ebenso gewaschene Maschenprobe "
    "zeigt, ob sich die eigene Arbeit ebenso verändert.",
    "caution infant": "Sie kann für einen Säugling benutzt werden. Die Empfehlungen zum Schlafen "
    "sind je nach Land verschieden, und die meisten wollen keine lose Decke, wo ein Säugling "
    "schläft: den örtlichen Empfehlungen und Vorschriften folgen. Quelle: "
    "veröffentlichte Empfehlungen von Kinderärzten, 2022.",
    "caution holes": "Ausgelassene Maschen und Luftmaschenbögen lassen Löcher, in denen kleine "
    "Finger und Zehen hängen bleiben können: für einen Säugling in den Tälern stattdessen Maschen "
    "zusammen abmaschen. Quelle: eine veröffentlichte Warnung, 2007.",
    "caution stretched": "An den Spitzen und Tälern sind die Maschen gedehnt und können sich zu "
    "Löchern öffnen, in denen kleine Finger und Zehen hängen bleiben: für einen Säugling eine "
    "flachere Spitze oder eine kleinere Nadel wählen. Quelle zu Löchern: eine "
    "veröffentlichte Warnung, 2007; ab welcher Dehnung sie aufgehen, schätzt dieses Programm.",
    "caution ends": "Jedes Fadenende fest vernähen und keine Schlingen oder Schnüre lassen, die um "
    "einen Finger oder Hals reichen; Bänder, Fransen, Quasten, Pompons und Knöpfe weglassen. "
    "Quelle: veröffentlichte Warnungen; Kleinteile: Regel für unter 3 Jahren.",
    "caution weight": "Im Kinderwagen wärmt und drückt eine schwere Decke: festgesteckt und "
    "unterhalb der Brust benutzen und drinnen abnehmen. Allgemein üblich.",
    "caution border": "Ein Rand mit Schlaufen oder Pikots hält Finger fest: dicht arbeiten. "
    "Allgemein üblich.",
    "caution animal": "{yarns}: Tierische Fasern können filzen, eingehen oder kratzen. Waschen, "
    "wie es die Banderole sagt, und erst eine Probe waschen. Allgemein üblich.",
    "caution synthetic": "{yarns}: Solche Fasern schmelzen, wenn sie brennen. Von Flammen, "
    "Heizgeräten und heißen Bügeleisen fernhalten. Allgemein üblich.",
    "caution plant": "{yarns}: Pflanzliche Fasern brennen schnell und können beim Waschen "
    "eingehen. Von Flammen fernhalten, erst eine Probe waschen. Allgemein üblich; eine "
    "veröffentlichte Decke aus Baumwolle ging in der Breite um etwa 8 % ein.",
    "caution hairs": "{yarns}: Lange lose Haare gehen aus und können eingeatmet oder verschluckt "
    "werden. Für einen Säugling ist ein anderes Garn besser. Allgemein üblich.",
    "trouble count": "Eine Zahl stimmt nicht: den ersten Rapport suchen, dessen Spitzen und Täler "
    "nicht über denen darunter stehen, und bis dorthin auftrennen.",
    "trouble narrower": "Sie wird schmaler: Die letzte M der Reihe wurde ausgelassen, meist die in "
    "die Wende-Lm.",
    "trouble narrower, not counting": "Sie wird schmaler: Die erste oder die letzte M der Reihe "
    "wurde ausgelassen.",
    "trouble wider": "Sie wird breiter: Neben Wende-Lm, die als M zählen, wurde noch eine M "
    "gehäkelt.",
    "trouble wider, not counting": "Sie wird breiter: Die Wende-Lm wurden behäkelt.",
    "trouble chain": "Reihe 1 geht nicht auf: Übrige Lm vom Anfang des Anschlags her auflösen; "
    "fehlen welche, den Anschlag noch einmal zählen.",
    "trouble flat": "Die Wellen sehen flach aus: In den ersten Reihen ist das so. Erst nach zehn "
    "Reihen urteilen.",
    "trouble tight": "Der Anschlag ist fester als die Reihen: die Lm mit einer um eine Stärke "
    "dickeren Nadel häkeln.",
    # Fill rows and border
    "heading fill": "Gerade Enden",
    "heading border": "Rand",
    "fill top": "Oben, mit {yarn}: eine M in jede M der letzten Reihe, in beide M-Glieder; "
    "Wende-Lm, die zählen, sind eine davon.",
    "fill bottom": "Unten, mit {yarn}: die Decke auf den Kopf stellen, die rechte Seite vorn, in "
    "der ersten Lm rechts (mit links gehäkelt: links) anschlingen und eine M in die andere Seite "
    "jeder Lm häkeln.",
    "bottom row": "Untere Reihe {row} ({side})",
    "fill opens, turn, not counting": "{n} Lm (zählt nicht als M), wenden"
    "|{n} Lm (zählen nicht als M), wenden",
    "fill opens, turn, counting": "{n} Lm (zählt als {what}), wenden"
    "|{n} Lm (zählen als {what}), wenden",
    "fill opens, join, not counting": "{n} Lm (zählt nicht als M)|{n} Lm (zählen nicht als M)",
    "fill opens, join, counting": "{n} Lm (zählt als {what})|{n} Lm (zählen als {what})",
    "fill bump": "Die Welle ist hier etwa {before} mm hoch; mit diesen Reihen bleibt ein Buckel "
    "von etwa {after} mm. Wie viel, hängt davon ab, wie fest gehäkelt wird: vor der Entscheidung "
    "an einigen Rapporten probieren.",
    "fill straight": "Wie gerade es wird, hängt davon ab, wie fest gehäkelt wird: vor der "
    "Entscheidung an einigen Rapporten probieren.",
    "fill each": "{stitch} in {places}",
    "fill each of": "{stitch} in {places}",
    "fill all": "{stitch} in jede der {n} {noun}",
    "border yarn": "Mit {yarn} in einer Ecke anschlingen, die rechte Seite vorn. Jede Runde mit Lm "
    "in der Höhe der M beginnen und mit {slip} in die erste M schließen.",
    "border sides": "Seiten: {stitches} {stitch} auf jedes Reihenende, {total} an jeder Seite."
    "|Seiten: {stitches} {stitch} auf je {n} Reihenenden, {total} an jeder Seite.",
    "border top": "oben",
    "border bottom": "unten",
    "border end": "{where}: {stitches} {stitch} auf jede Welle ({below} M), {total} im Ganzen."
    "|{where}: {stitches} {stitch} auf je {n} Wellen ({below} M), {total} im Ganzen.",
    "border end plain": "{where}: {stitch} in jede M, {total} im Ganzen.",
    "border end wave": "{where}: {stitch} in jede M, aber {hill} in eine auf jeder Spitze und "
    "in jedem Tal {n} auslassen; {total} im Ganzen.",
    "border corners": "Ecken: {n} {stitch} in eine M.",
    "border multiple": "Zwischen den Ecken hat jede Seite ein Vielfaches von {multiple} M.",
    "border multiple plus": "Zwischen den Ecken hat jede Seite ein Vielfaches von {multiple} plus "
    "{extra} M.",
    "border round": "Runde 1: {stitches} {stitch}.",
    "border round 2": "Runde 2: {stitch} in jede M, {corner} in die mittlere M jeder Ecke; {more} "
    "M mehr: {stitches}.",
    "border rounds": "Runde 2 bis {last}: {stitch} in jede M, {corner} in die mittlere M jeder "
    "Ecke; {more} M mehr in jeder Runde, {stitches} in der letzten.",
    # Abbreviations
    "meaning together": "{over} {plural} zusammen abmaschen",
    "stitch short": "M",
    "stitches short": "M",
    "stitch entry": "M",
    "stitch long": "Masche(n)",
    "space short": "Lm-Bogen",
    "spaces short": "Lm-Bögen",
    "space entry": "Lm-Bogen",
    "space long": "Luftmaschenbogen",
    "RS": "Hinr",
    "RS long": "Hinreihe, die rechte Seite ist vorn",
    "WS": "Rückr",
    "WS long": "Rückreihe, die linke Seite ist vorn",
    "yarn over short": "U",
    "yarn over long": "Umschlag",
    "abbreviation": "{long}",
    # Labels on drawings, in the fewest words
    "label skip": "{n} auslassen",
    "label chain": "{n} Lm",
    "label in one": "{n} in 1",
    "label in one, chains": "{n} in 1 mit {chains} Lm",
    "label together": "{n} zus.",
    "label times": "{label} ×{n}",
    "label alternating": "({pair}) ×{n}",
    "label height": "{n} {stitch}",
}

_SPELLED: Final[dict[str, str]] = {
    "st": "Masche|Maschen",
    "ch": "Luftmasche|Luftmaschen",
    "together": "{over} {stitch} zusammen abmaschen",
    "chains": "{n} Luftmasche|{n} Luftmaschen",
    "chains counted": "{n} Luftmasche|{n} Luftmaschen",
    "in one": "{parts}, alles",
    "in one part": " dann ",
    "group": "{times} hintereinander {phrase}",
    "first space": "den ersten Bogen aus {chains} Luftmaschen",
    "next space": "den nächsten Bogen aus {chains} Luftmaschen",
    "last space": "den letzten Bogen aus {chains} Luftmaschen",
    "same": "dieselbe Masche",
    "from hook": "die {ordinal} Luftmasche ab der Nadel",
    "top": "die oberste Wendeluftmasche",
    "nth": "die {ordinal} Wendeluftmasche",
    "in": "{work} in {place} häkeln",
    "in each": "{work} in {places} häkeln",
    "in all": "{work} in jede der {n} {noun} häkeln",
    "over two from hook": "über die {first} und {last} Luftmasche ab der Nadel {work}",
    "over some from hook": "über die {first} bis {last} Luftmasche ab der Nadel {work}",
    "turn, counting": "{n} Luftmasche häkeln, die als {what} zählt, und wenden"
    "|{n} Luftmaschen häkeln, die als {what} zählen, und wenden",
    "turn, part of a stitch": "{n} Luftmasche häkeln und wenden|{n} Luftmaschen häkeln und wenden",
    "turn, not counting": "{n} Luftmasche häkeln, die nicht als Masche zählt, und wenden"
    "|{n} Luftmaschen häkeln, die nicht als Maschen zählen, und wenden",
    "turn joins": "Wendeluftmaschen und {one} zusammen als {what} zählen",
    "ch more": "noch {n} Luftmasche|noch {n} Luftmaschen",
    "remark": "{phrase}, wobei {remark}",
    "skipped, counting": "die ausgelassene Luftmasche als {what} zählt"
    "|die {n} ausgelassenen Luftmaschen als {what} zählen",
    "skipped, counting in part": "die erste der {all} ausgelassenen Luftmaschen als {what} zählt"
    "|die ersten {n} der {all} ausgelassenen Luftmaschen als {what} zählen",
    "skipped, joining": "die ausgelassene Luftmasche und {one} zusammen als {what} zählen"
    "|die {n} ausgelassenen Luftmaschen und {one} zusammen als {what} zählen",
    "skipped, not counting": "die ausgelassene Luftmasche nicht als Masche zählt"
    "|die {n} ausgelassenen Luftmaschen nicht als Maschen zählen",
    "skipped, stitches": "die ausgelassene Luftmasche als Masche zählt"
    "|die {n} ausgelassenen Luftmaschen als Maschen zählen",
    "skipped, stitches in part": "{n} der {all} ausgelassenen Luftmaschen als Masche zählt"
    "|{n} der {all} ausgelassenen Luftmaschen als Maschen zählen",
    "nothing to skip": "die Luftmasche zählt als {what}|die {n} Luftmaschen zählen als {what}",
    "back loops": "nur in die hinteren Maschenglieder einstechen, {body}",
    "front loops": "nur in die vorderen Maschenglieder einstechen, {body}",
    "back loops, last both": "nur in die hinteren Maschenglieder einstechen, bei der letzten "
    "Masche in beide Maschenglieder, {body}",
    "front loops, last both": "nur in die vorderen Maschenglieder einstechen, bei der letzten "
    "Masche in beide Maschenglieder, {body}",
    "leave turning": "die Wendeluftmaschen unbehäkelt lassen",
    "leave with turning": "{places} und die Wendeluftmaschen unbehäkelt lassen",
    "leaving turning": "{phrase}, die Wendeluftmaschen bleiben unbehäkelt",
    "repeat": "Anfang des Rapports, {body}, Ende des Rapports, diesen Rapport insgesamt {all} "
    "häkeln",
    "count": "{n} Masche.|{n} Maschen.",
    "count with ch": "{n} Masche, davon {chains} Luftmaschen."
    "|{n} Maschen, davon {chains} Luftmaschen.",
    "row": "Reihe {row}, {side}",
    "with yarn": "mit dem Garn {yarn}, {text}",
    "foundation ch": "{chains} Luftmaschen anschlagen",
    "foundation ch, multiple": "{chains} Luftmaschen anschlagen, ein Vielfaches von {multiple}",
    "foundation ch, multiple plus": "{chains} Luftmaschen anschlagen, ein Vielfaches von "
    "{multiple} plus {extra}",
    "not written": "nicht geschrieben: Sie braucht {uses} Maschen, Reihe {below} hat aber "
    "{available}. Die Reihen ab hier lassen sich schreiben, sobald beide übereinstimmen.",
    "markers text": "einen in Masche {first} von Reihe 1 hängen, wo der einzige Rapport beginnt, "
    "und beim Häkeln mit nach oben nehmen.|einen in Masche {first} von Reihe 1 und danach in jede "
    "{ordinal} Masche hängen, insgesamt {n}: Jeder zeigt den Beginn eines Rapports. Beim Häkeln "
    "mit nach oben nehmen.",
    "amount in full": "1 Knäuel, etwa {metres} oder {grams} mit Fadenenden, davon {spare} Reserve|"
    "{n} Knäuel, etwa {metres} oder {grams} mit Fadenenden, davon {spare} Reserve",
    "all yarn text": "1 Knäuel, etwa {metres} oder {grams}|{n} Knäuel, etwa {metres} oder {grams}",
    "numbered yarn": "{name}, Garn {number}",
    "gauge": "{stitches} {stitch} und {rows} Reihen messen {length}, in glatten Reihen ohne "
    "Wellen.",
    "gauge of the wave": "Im Wellenmuster messen {stitches} Maschen, ein Rapport von Spitze zu "
    "Spitze, {width}; {rows} Reihen messen {length}.",
    "gauge, washed": "Nach dem Waschen misst ein Rapport {width}; {rows} Reihen messen {length}.",
    "centimetres": "{n} Zentimeter",
    "millimetres": "{n} Millimeter",
    "metres": "{n} Meter",
    "metres and yards": "{n} Meter",
    "grams": "{n} Gramm",
    "two lengths": "{width} mal {length} {unit}",
    "unit": "Zentimeter",
    "size only": "Für {size}: {text}",
    "column chains": "Luftmaschen",
    "multiple": "Ein Vielfaches von {multiple} Luftmaschen, mindestens {least}.",
    "multiple plus": "Ein Vielfaches von {multiple} plus {extra} Luftmaschen, mindestens {least}.",
    "multiple of one": "Eine beliebige Zahl von Luftmaschen, mindestens {least}.",
    "repeats": "Diese Decke hat 1 Rapport zwischen den Rändern: {chains} Luftmaschen im Ganzen.|"
    "Diese Decke hat {n} Rapporte zwischen den Rändern: {chains} Luftmaschen im Ganzen.",
    "wider": "Für jeden Rapport mehr {multiple} Luftmaschen mehr anschlagen.",
    "wider, rows": "Für jeden Rapport mehr {multiple} Luftmaschen mehr anschlagen; jede Reihe hat "
    "dann {makes} Maschen mehr.",
    "row to last": "in Reihe {row} den Rapport wiederholen bis auf {places}",
    "rows to last": "in jeder späteren Reihe den Rapport wiederholen bis auf {places}",
    "turning among": "{text}, von denen die Wendeluftmaschen eine sind",
    "rule counts": "Wendeluftmaschen: Sie zählen als erste Masche jeder Reihe.",
    "rule counts or joins": "Wendeluftmaschen: Sie zählen als erste Masche einer Reihe oder als "
    "Teil davon, wo die Reihe es sagt.",
    "rule same st": "Dieselbe Masche ist die, auf der die Wendeluftmaschen stehen: die erste der "
    "Reihe darunter.",
    "rule top": "Die letzte Masche einer Reihe kommt in die oberste Wendeluftmasche der Reihe "
    "darunter; in Reihe 2 ist das die oberste der in Reihe 1 ausgelassenen Luftmaschen.",
    "rule nth": "Die letzte Masche einer Reihe kommt in die {ordinal} Wendeluftmasche der Reihe "
    "darunter; in Reihe 2 ist das die {ordinal} der in Reihe 1 ausgelassenen Luftmaschen, von "
    "unten gezählt.",
    "rule does not count": "Wendeluftmaschen: Sie zählen nicht als Maschen und werden nie "
    "behäkelt.",
    "rule no turning ch": "Wendeluftmaschen: Es gibt keine. Wenden und die Reihe beginnen.",
    "rule heights": "Ihre Zahl richtet sich nach der ersten Masche der Reihe: {heights}. Jede "
    "Reihe nennt sie.",
    "rule height": "{n} vor {stitch}",
    "rule both loops": "Maschenglieder: immer in beide Maschenglieder einstechen.",
    "rule back loops": "Maschenglieder: ab Reihe {row} nur in die hinteren, abgewandten "
    "Maschenglieder einstechen.",
    "rule front loops": "Maschenglieder: ab Reihe {row} nur in die vorderen, zugewandten "
    "Maschenglieder einstechen.",
    "short both": "beide Maschenglieder",
    "short back": "die hinteren Maschenglieder",
    "short front": "die vorderen Maschenglieder",
    "short in turn": "im Wechsel {loops} Maschenglieder",
    "short each colour": "in jeder Farbe erst {first}, dann {last} Maschenglieder",
    "short each colour, one": "in jeder Farbe {last} Maschenglieder",
    "in both loops": "beide Maschenglieder",
    "in back loops": "nur die hinteren Maschenglieder",
    "in front loops": "nur die vorderen Maschenglieder",
    "rule loops in turn": "Maschenglieder: ab Reihe {row} im Wechsel von Reihe zu Reihe: {loops}; "
    "dann wieder von vorn. Die hinteren Maschenglieder sind die abgewandten, die vorderen die "
    "zugewandten.",
    "rule loops each colour": "Maschenglieder ab Reihe {row}, in jeder Farbe: {loops}. Die "
    "hinteren Maschenglieder sind die abgewandten, die vorderen die zugewandten.",
    "rule last both": "Die letzte Masche jeder Reihe geht in beide Maschenglieder.",
    "rule ch": "Luftmaschen innerhalb einer Reihe: Jede zählt als Masche. In die Luftmasche selbst "
    "oder um sie herum häkeln, aber immer gleich.",
    "rule spaces": "Luftmaschenbögen: um die Luftmaschen herum häkeln, nicht in sie hinein. Jede "
    "Luftmasche zählt als Masche.",
    "rule changing": "Farbwechsel: Die Reihen nennen ihn nicht, die Streifenliste tut es. Die "
    "letzte Masche eines Streifens bis zum letzten Umschlag häkeln, diesen Umschlag schon mit der "
    "neuen Farbe machen.",
    "steps": "{phrase}, alles bis hierher {times}",
    "wrap": "1 Umschlag",
    "wraps": "{n} Umschläge",
    "insert": "in die nächste Masche einstechen",
    "draw up": "1 Umschlag auffassen und durchholen",
    "pull": "1 Umschlag auffassen und durch 2 Schlingen ziehen",
    "pulls": "{times} 1 Umschlag auffassen und durch 2 Schlingen ziehen",
    "close": "1 Umschlag auffassen und durch alle {n} Schlingen auf der Nadel ziehen",
    "close slip": "1 Umschlag auffassen und durch die Masche und alle Schlingen auf der Nadel "
    "ziehen",
    "several in one": "{n} {stitch} in eine Masche",
    "several how": "alle in dieselbe Einstichstelle; {gain} Masche mehr als zuvor"
    "|alle in dieselbe Einstichstelle; {gain} Maschen mehr als zuvor",
    "group in one": "{group} in eine Masche",
    "group how": "alles in dieselbe Einstichstelle; {gain} Maschen mehr als zuvor, jede Luftmasche "
    "als eine gezählt",
    "stripe": "{yarn}, 1 Reihe, {total} im Ganzen|{yarn}, {n} Reihen, {total} im Ganzen",
    "finish ends": "{n} Fadenenden von mindestens 15 Zentimetern in der Reihe ihrer Farbe "
    "vernähen.",
    "trouble narrower": "Sie wird schmaler: Die letzte Masche der Reihe wurde ausgelassen, meist "
    "die in die Wendeluftmasche.",
    "trouble narrower, not counting": "Sie wird schmaler: Die erste oder die letzte Masche der "
    "Reihe wurde ausgelassen.",
    "trouble wider": "Sie wird breiter: Neben Wendeluftmaschen, die als Masche zählen, wurde noch "
    "eine Masche gehäkelt.",
    "trouble wider, not counting": "Sie wird breiter: Die Wendeluftmaschen wurden behäkelt.",
    "trouble chain": "Reihe 1 geht nicht auf: Übrige Luftmaschen vom Anfang des Anschlags her "
    "auflösen; fehlen welche, den Anschlag noch einmal zählen.",
    "trouble tight": "Der Anschlag ist fester als die Reihen: die Luftmaschen mit einer um eine "
    "Stärke dickeren Nadel häkeln.",
    "fill top": "Oben, mit {yarn}: eine Masche in jede Masche der letzten Reihe, in beide "
    "Maschenglieder; Wendeluftmaschen, die zählen, sind eine davon.",
    "fill bottom": "Unten, mit {yarn}: die Decke auf den Kopf stellen, die rechte Seite vorn, in "
    "der ersten Luftmasche rechts, mit links gehäkelt links, anschlingen und eine Masche in die "
    "andere Seite jeder Luftmasche häkeln.",
    "bottom row": "Untere Reihe {row}, {side}",
    "fill opens, turn, not counting": "{n} Luftmasche häkeln, die nicht als Masche zählt, und "
    "wenden|{n} Luftmaschen häkeln, die nicht als Maschen zählen, und wenden",
    "fill opens, turn, counting": "{n} Luftmasche häkeln, die als {what} zählt, und wenden"
    "|{n} Luftmaschen häkeln, die als {what} zählen, und wenden",
    "fill opens, join, not counting": "{n} Luftmasche häkeln, die nicht als Masche zählt"
    "|{n} Luftmaschen häkeln, die nicht als Maschen zählen",
    "fill opens, join, counting": "{n} Luftmasche häkeln, die als {what} zählt"
    "|{n} Luftmaschen häkeln, die als {what} zählen",
    "fill bump": "Die Welle ist hier etwa {before} Millimeter hoch; mit diesen Reihen bleibt ein "
    "Buckel von etwa {after} Millimetern. Wie viel, hängt davon ab, wie fest gehäkelt wird: vor "
    "der Entscheidung an einigen Rapporten probieren.",
    "fill each": "{stitch} in {places} häkeln",
    "fill each of": "{stitch} in {places} häkeln",
    "fill all": "{stitch} in jede der {n} {noun} häkeln",
    "border yarn": "Mit {yarn} in einer Ecke anschlingen, die rechte Seite vorn. Jede Runde mit "
    "Luftmaschen in der Höhe der Maschen beginnen und mit {slip} in die erste Masche schließen.",
    "border end": "{where}: {stitches} {stitch} auf jede Welle aus {below} Maschen, {total} im "
    "Ganzen.|{where}: {stitches} {stitch} auf je {n} Wellen aus zusammen {below} Maschen, {total} "
    "im Ganzen.",
    "border end plain": "{where}: {stitch} in jede Masche, {total} im Ganzen.",
    "border end wave": "{where}: {stitch} in jede Masche, aber {hill} in eine auf jeder Spitze "
    "und in jedem Tal {n} auslassen; {total} im Ganzen.",
    "border corners": "Ecken: {n} {stitch} in eine Masche.",
    "border multiple": "Zwischen den Ecken hat jede Seite ein Vielfaches von {multiple} Maschen.",
    "border multiple plus": "Zwischen den Ecken hat jede Seite ein Vielfaches von {multiple} plus "
    "{extra} Maschen.",
    "border round 2": "Runde 2: {stitch} in jede Masche, {corner} in die mittlere Masche jeder "
    "Ecke; {more} Maschen mehr: {stitches}.",
    "border rounds": "Runde 2 bis {last}: {stitch} in jede Masche, {corner} in die mittlere Masche "
    "jeder Ecke; {more} Maschen mehr in jeder Runde, {stitches} in der letzten.",
    "RS": "Hinreihe",
    "WS": "Rückreihe",
    "figures": "{first} oder {others}",
    "figures part": " oder ",
    "one and others": "{first}, dann {others}",
}

_SIZED: Final[dict[str, str]] = {
    "more": "noch {n}-mal wiederholen",
    "repeat": "*{body}; ab * {more}",
    "count": "{n} M.",
    "count with ch": "{n} M, davon {chains} Lm.",
    "repeats": "Diese Decke hat {n} Rapporte zwischen den Rändern: {chains} Lm im Ganzen.",
    "markers text": "einen in M {first} von Reihe 1 und danach in jede {ordinal} M hängen, "
    "insgesamt {n}: Jeder zeigt den Beginn eines Rapports. Beim Häkeln mit nach oben nehmen.",
    "foundation ch, multiple plus": "{chains} Lm anschlagen, ein Vielfaches von {multiple} plus "
    "{extra}",
    "foundation ch, multiple": "{chains} Lm anschlagen, ein Vielfaches von {multiple}",
    "stripes again": "Reihe 1 bis {rows} der Streifenfolge noch {n}-mal wiederholen: {total} "
    "Reihen im Ganzen.",
}

_SPELLED_SIZED: Final[dict[str, str]] = {
    "repeat": "Anfang des Rapports, {body}, Ende des Rapports, diesen Rapport {more}",
    "count": "{n} Maschen.",
    "count with ch": "{n} Maschen, davon {chains} Luftmaschen.",
    "repeats": "Diese Decke hat {n} Rapporte zwischen den Rändern: {chains} Luftmaschen im Ganzen.",
    "markers text": "einen in Masche {first} von Reihe 1 und danach in jede {ordinal} Masche "
    "hängen, insgesamt {n}: Jeder zeigt den Beginn eines Rapports. Beim Häkeln mit nach oben "
    "nehmen.",
    "foundation ch, multiple plus": "{chains} Luftmaschen anschlagen, ein Vielfaches von "
    "{multiple} plus {extra}",
    "foundation ch, multiple": "{chains} Luftmaschen anschlagen, ein Vielfaches von {multiple}",
}

_STITCHES: Final[dict[str, StitchName]] = {
    "ch": StitchName("Lm", "Luftmasche", "Luftmaschen"),
    "sl st": StitchName("Km", "Kettmasche", "Kettmaschen"),
    "sc": StitchName("fM", "feste Masche", "feste Maschen"),
    "hdc": StitchName("hStb", "halbes Stäbchen", "halbe Stäbchen"),
    "dc": StitchName("Stb", "Stäbchen", "Stäbchen"),
    "tr": StitchName("DStb", "Doppelstäbchen", "Doppelstäbchen"),
    "dtr": StitchName("3fStb", "Dreifachstäbchen", "Dreifachstäbchen"),
}


def _ordinal(number: int) -> str:
    return f"{number}."


def _number_of(count: int) -> int:
    return 0 if count == 1 else 1


GERMAN: Final = Wording(
    name="Deutsch",
    phrases={**_PHRASES, **pages.PAGES},
    spelled={**_SPELLED, **pages.SPELLED},
    sized=_SIZED,
    spelled_sized=_SPELLED_SIZED,
    by_terms={"US": {}, "UK": {}},
    stitches={"US": _STITCHES, "UK": _STITCHES},
    number_of=_number_of,
    ordinal=_ordinal,
    decimal=",",
)
