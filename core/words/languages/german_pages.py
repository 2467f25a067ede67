"""German of what stands around the written rows: the chart's words and the booklet's.

Told in infinitives like the rows ("häkeln", "wenden"). No native speaker has checked it.
Names of colours are neuter nouns, so one set of endings serves: "dunkles gräuliches Blau".
"""

from typing import Final

PAGES: Final[dict[str, str]] = {
    # Counts
    "counted stripes": "{n} Streifen",
    "counted colours": "{n} Farbe|{n} Farben",
    "counted rows": "{n} Reihe|{n} Reihen",
    "counted repeats": "{n} Rapport|{n} Rapporte",
    "counted balls": "{n} Knäuel",
    "rows span": "Reihe {last}|Reihe {first} bis {last}",
    "rows listed": "Reihe {rows}|die Reihen {rows}",
    "row span": "{first}–{last}",
    "length each way": "{own}",
    "inches": "{n} Zoll",
    "yards": "{n} Yard",
    "times by": "{width} × {length}",
    # Chart: key, caption, marks
    "key back loop": "ins hintere Maschenglied, von der rechten Seite gesehen",
    "key front loop": "ins vordere Maschenglied, von der rechten Seite gesehen",
    "key entry": "{short} = {text}",
    "key together": "{n} {stitch} zusammen abgemascht",
    "key yarn": "{letter} = {name}",
    "repeat mark": "Rapport: {n} M",
    "scale of the grid": "{n} Maschen im Raster",
    "scale": "{length} der Decke",
    "caption row": "Reihe {first}",
    "caption rows": "Reihe {first} bis {last}",
    "caption set-up": "Grundreihe 1",
    "caption set-up and row 2": "Grundreihe 1 und Musterreihe 2",
    "caption set-up and rows 2 and 3": "Grundreihe 1, Musterreihen 2 und 3",
    "caption set-up and rows": "Grundreihe 1, Musterreihen 2 bis {last}",
    "caption line": "{rows}, {across}.",
    "across extract": "ein Rapport zwischen beiden Rändern",
    "across edges": "von Rand zu Rand",
    "across one": "Rapport {low} von {all}, gezählt vom Beginn der Reihe 1",
    "across some": "Rapport {low} bis {high} von {all}, gezählt vom Beginn der Reihe 1",
    "across and near edge": "{across}, mit dem Rand dort",
    "across and far edge": "{across}, mit dem Rand gegenüber",
    "caption hand right": "Zum Häkeln mit der rechten Hand, von der rechten Seite gesehen. "
    "{terms}.",
    "caption hand left": "Zum Häkeln mit der linken Hand, von der rechten Seite gesehen. {terms}.",
    "caption quiet": "Reihe {below}, grau gezeichnet, zeigt nur, wohinein Reihe {row} gehäkelt "
    "wird.",
    "terms in short": "Deutsche Häkelbegriffe",
    "short caution": "Für einen Säugling: den örtlichen Empfehlungen zum sicheren Schlafen folgen.",
    "short caution, holes": "Für einen Säugling: den örtlichen Empfehlungen zum sicheren Schlafen "
    "folgen. In Löchern können Finger und Zehen hängen bleiben.",
    "chart seen": "Häkelschrift, von der rechten Seite gesehen. {rows}, nummeriert am Beginn der "
    "Reihe.",
    "chart on chains": "Reihe 1 steht auf {n} Luftmasche.|Reihe 1 steht auf {n} Luftmaschen.",
    "chart bracket": "Eine Klammer zeigt einen Rapport, {n} Masche.|Eine Klammer zeigt einen "
    "Rapport, {n} Maschen.",
    "chart letters": "Buchstaben neben den Zahlen nennen die Garne der Zeichenerklärung.",
    "chart untitled": "Häkelschrift",
    "layer paper": "Papier",
    "layer marks": "Pfeile, Rapport und Maßstab",
    "layer numbers": "Reihennummern",
    "layer words": "Titel und Unterschrift",
    "layer key": "Zeichenerklärung",
    "layer guides": "Linien zwischen den Reihen",
    "layer stripes": "Streifen",
    "layer foundation": "Luftmaschenanschlag",
    "layer quiet": "{row}, auf der die erste Reihe steht",
    "symbol leg": "{stitch}, Teil einer Gruppe, die zusammen abgemascht wird",
    "symbol stacked": "{stitch}, stehend",
    "symbol bar": "hier wird zusammen abgemascht",
    "sheet page": "Seite {page} von {all}",
    "sheet page and place": "Seite {page} von {all} (Spalte {column} von {columns}, Zeile {row} "
    "von {rows})",
    "sheet overlap": "{page}, überlappt die Nachbarseiten um {mm}. {title}",
    # Booklet: title page and foot
    "booklet untitled": "Decke ohne Namen",
    "hand line": "Für Linkshänder: Häkelschrift, Bild und Seiten der Reihen gelten für das Häkeln "
    "mit der linken Hand",
    "size line": "Diese Ausgabe gilt für eine Größe: {size}",
    "sizes line": "Für alle Größen; Bilder, Kurzangaben und die Liste zum Abhaken gelten für: "
    "{size}",
    "foot": "Fassung {version}",
    "page of": "{page} von {all}",
    "draft told": "In dieser Anleitung sind noch Fehler offen.",
    "draft reason": "{n} Fehler ist offen: Die Seite „Checks“ des Programms nennt ihn.|"
    "{n} Fehler sind offen: Die Seite „Checks“ des Programms nennt sie.",
    "fact size": "Größe",
    "fact measured": "Gemessen",
    "fact washed": "nach dem Waschen",
    "fact unwashed": "vor dem Waschen",
    "fact stitch": "Masche",
    "fact stitch text": "{long} ({short})",
    "fact chain": "Anschlag",
    "fact chain text": "{n} Lm",
    "fact rows": "Reihen",
    "fact rows text": "{rows} in {stripes}",
    "fact yarn": "Garn",
    "fact yarn text": "{colours}, {balls}",
    "access full": "Zugänglichkeit: Farben sind immer auch mit Buchstaben und Namen angegeben. "
    "Beschriebene Bilder hat die HTML-Ausgabe, die für Vorleseprogramme gedacht ist: Seiten wie "
    "diese geben keine verlässliche Lesefolge vor. Dazu gibt es eine schlichte Ausgabe zum Drucken "
    "und eine in großer Schrift.",
    "access plain": "Zugänglichkeit: schwarz auf weiß ohne Farbe; Garne sind an Buchstaben zu "
    "unterscheiden. Es gibt auch eine farbige Ausgabe, eine in großer Schrift und eine "
    "HTML-Ausgabe, die für Vorleseprogramme gedacht ist.",
    "access large": "Zugänglichkeit: Die ganze Schrift ist mindestens 24 Punkt groß, ohne Serifen "
    "und gerade, in einer Spalte. Die Decke lässt sich allein nach den Worten häkeln; was die "
    "Häkelschrift zeigt, steht in Worten da. Für Vorleseprogramme ist die HTML-Ausgabe gedacht.",
    "access html": "Zugänglichkeit: Überschriften, Listen und Tabellen sind als solche "
    "gekennzeichnet, jedes Bild ist in Worten beschrieben, nichts ist abgekürzt, und nichts hängt "
    "von der Farbe ab. Die Seite braucht kein Skript, lädt nichts nach und lässt sich beliebig "
    "vergrößern.",
    # Booklet: headings and lists
    "heading contents": "Inhalt",
    "heading chart": "Häkelschrift",
    "heading chart told": "Die Häkelschrift in Worten",
    "heading closeup": "Der Rand aus der Nähe",
    "heading cautions": "Vorsicht",
    "heading version": "Fassung und Korrekturen",
    "picture told": "Das Bild in Worten",
    "ticks caption": "Jeden fertigen Streifen abhaken.",
    "colours caption": "Buchstaben und Farben",
    "column done": "Fertig",
    "column stripe": "Streifen",
    "column colour": "Farbe",
    "column name": "Name",
    "column numbers": "Reihennummern",
    "column in all": "Reihen im Ganzen",
    "column letter": "Buchstabe",
    "column yarn and name": "Garn",
    "column looks": "Aussehen",
    "ticks numbers": "Nummern",
    "ticks in all": "gesamt",
    "tick done": "Streifen {n} fertig",
    "tick name": "{number}. {letter}, {name}",
    "tick rows": "{n} Reihe: {span}|{n} Reihen: {span}",
    "lettered name": "{letter} {name}",
    "called": "{name}, „{label}“",
    "version": "Fassung {version}. Der Code ändert sich mit jeder Änderung am Entwurf: Zwei "
    "Exemplare mit demselben Code sind dieselbe Anleitung.",
    "corrections": "Einen Fehler gefunden? Der Stelle melden, von der die Anleitung kommt, und den "
    "Code nennen: So kommen Korrekturen zurück.",
    "corrections of": "Einen Fehler gefunden? An {designer} melden oder der Stelle, von der die "
    "Anleitung kommt, und den Code nennen: So kommen Korrekturen zurück.",
    "spelled row": "{label}, in ganzen Wörtern",
    "row by the chart": "{label}, nach der Häkelschrift",
    # Stripes by colour
    "heading colours": "Streifen nach Farben",
    "colours how": "Reihennummern, in Klammern die Reihen dieser Farbe bis dahin.",
    "colours how, in turn": "Reihen der Streifenfolge, in Klammern die Reihen dieser Farbe bis "
    "dahin.",
    "colour spans": "{spans}. Im Ganzen: {stripes}, {rows}.",
    "colour span": "{last} ({total})|{first} bis {last} ({total})",
    # Cautions that every blanket calls for
    "caution not for infants": "Diese Decke hat keine Größe für Säuglinge. Die Empfehlungen zum "
    "Schlafen sind je nach Land verschieden, und die meisten wollen keine lose Decke im "
    "Kinderbett: Wird sie in der Nähe eines Säuglings benutzt, den örtlichen Empfehlungen folgen.",
    "caution loose": "Lose Schlingen, Fransen und lange Enden halten Finger und Zehen fest und "
    "können abgerissen und verschluckt werden. Für kleine Kinder und für Tiere weglassen und die "
    "Enden fest vernähen.",
    "caution fibres": "Fasern brennen, schmelzen und waschen sich verschieden. Den Angaben der "
    "Banderole folgen und die Decke von Flammen und Heizgeräten fernhalten. Wer Gehäkeltes "
    "verkauft oder verschenkt, hat die örtlichen Vorschriften zu Brandschutz, Fasern und "
    "Kennzeichnung zu beachten.",
    # The order of the stripes
    "stripes counted": "{stripes} in {colours}",
    "stripes in order": "{counts}, von der ersten Reihe bis zur letzten: {order}.",
    "stripes in turn": "{counts}. Von der ersten Reihe an: {order}.",
    "stripe in order": "{name} {rows}",
    "stripes worked": "Diese {period} Streifen {times} häkeln.",
    "stripes worked and one": "Diese {period} Streifen {times} häkeln, dann noch einmal den "
    "ersten.",
    "stripes worked and some": "Diese {period} Streifen {times} häkeln, dann noch einmal die "
    "ersten {n}.",
    # The whole blanket
    "fabric alt": "Die ganze Decke von der rechten Seite: ihre Wellen, {stripes} in {colours}.",
    "fabric alt, waves": "Die ganze Decke von der rechten Seite: nebeneinander {waves} Wellen, "
    "{stripes} in {colours}.",
    "fabric lies tall": "Die Decke liegt flach und ist höher als breit, {size}, im wahren "
    "Verhältnis gezeichnet. Die Streifen laufen quer von Seite zu Seite; Reihe 1 liegt unten.",
    "fabric lies wide": "Die Decke liegt flach und ist breiter als hoch, {size}, im wahren "
    "Verhältnis gezeichnet. Die Streifen laufen quer von Seite zu Seite; Reihe 1 liegt unten.",
    "fabric misfit": "Die Reihen passen nicht aufeinander; gezeigt sind nur die, die sich häkeln "
    "lassen.",
    "fabric no wave": "Die Reihen haben keine einzelne Welle, die sich wiederholt.",
    "fabric waves": "Jede Reihe steigt und fällt in {n} Welle, {width} breit von Spitze zu Spitze "
    "und {height} hoch von Tal zu Spitze.|Jede Reihe steigt und fällt in {n} Wellen, jede {width} "
    "breit von Spitze zu Spitze und {height} hoch von Tal zu Spitze.",
    "fabric swaps": "Nach einigen Reihen tauschen Spitzen und Täler die Plätze.",
    "fabric slants": "Die Spitzen wandern von Reihe zu Reihe zur Seite.",
    "fabric columns": "Spitzen stehen über Spitzen und Täler über Tälern, so dass die Wellen "
    "Säulen bilden.",
    "fabric colours": "Farben: {colours}.",
    "colour is": "{name} ist {words}",
    "fabric ridges": "Nicht behäkelte Maschenglieder bilden Rippen entlang der Reihen.",
    "fabric fill": "Ausgleichsreihen machen die Enden gerade.",
    "fabric border": "Ringsum läuft ein Rand.",
    "fabric caption": "Die Decke im wahren Verhältnis.",
    "fabric caption, misfit": "Die Reihen, die sich häkeln lassen.",
    # The drawing with measures
    "schematic caption, misfit": "Umriss der Reihen, die sich häkeln lassen.",
    "schematic alt, misfit": "Umriss ohne Maße.",
    "schematic alt": "Umriss der Decke: {width} breit, {length} lang, {state}, die Streifen quer.",
    "state washed": "nach dem Waschen",
    "state unwashed": "frisch von der Nadel, vor dem Waschen",
    "schematic width": "Breite von Seitenrand zu Seitenrand: {length}.",
    "schematic length": "Länge von der ersten Reihe bis zur letzten: {length}.",
    "schematic detail": "{name}: {length}.",
    "schematic included": "Mitgemessen: {edging}.",
    "schematic off the hook": "Frisch von der Nadel, vor dem Waschen, misst sie {width} mal "
    "{length}.",
    "schematic way": "Die Streifen laufen quer über die Breite. Gehäkelt wird von unten nach oben.",
    "schematic caption": "Maße {state}.",
    "schematic caption, edged": "Maße {state}, mit: {edging}.",
    "schematic caption and off the hook": "{caption} Frisch von der Nadel: {width} mal {length}.",
    "edging fill": "Ausgleichsreihen",
    "edging border": "Rand",
    "edging both": "Ausgleichsreihen und Rand",
    "detail repeat": "Ein Rapport, von Spitze zu Spitze",
    "detail height": "Höhe der Welle, von Tal zu Spitze",
    "drawing row": "Reihe {row}",
    # The chart
    "chart alt": "Häkelschrift, {rows}: der Luftmaschenanschlag, {repeats} und beide Ränder.",
    "chart told": "Die Häkelschrift ist von der rechten Seite gesehen. Sie zeigt den "
    "Luftmaschenanschlag, {rows}, {repeats} und beide Ränder.",
    "chart caption": "Häkelschrift: {rows}, {repeats} mit beiden Rändern, die rechte Seite vorn.",
    "chart starts left": "{rows} beginnt am linken Rand|{rows} beginnen am linken Rand",
    "chart starts right": "{rows} beginnt am rechten Rand|{rows} beginnen am rechten Rand",
    "chart row": "Reihe {row}, {side}, in der Folge des Häkelns: {steps}.",
    "chart side right": "Hinreihe",
    "chart side wrong": "Rückreihe",
    "chart turning": "Die {n} Wendeluftmasche steht neben der Reihe."
    "|Die {n} Wendeluftmaschen stehen neben der Reihe.",
    "chart turning, counting": "Die {n} Wendeluftmasche steht für die erste Masche."
    "|Die {n} Wendeluftmaschen stehen für die erste Masche.",
    "chart said": "Alles, was die Häkelschrift zeigt, steht auch in den geschriebenen Reihen.",
    "told skip": "{n} Masche auslassen|{n} Maschen auslassen",
    "told chain": "{n} Luftmasche|{n} Luftmaschen",
    "told together": "{n} {stitch} zusammen abmaschen",
    "told in one": "{n} {stitch} in eine Einstichstelle",
    "told in one, chains": "{made} {stitch} in eine Einstichstelle, dazwischen {n} Luftmasche"
    "|{made} {stitch} in eine Einstichstelle, dazwischen {n} Luftmaschen",
    "told times": "{times} {step}",
    "told steps": "; ",
    # The close-up
    "closeup alt left": "Die untere linke Ecke aus der Nähe, wo Reihe 1 beginnt, {rows} hoch.",
    "closeup alt right": "Die untere rechte Ecke aus der Nähe, wo Reihe 1 beginnt, {rows} hoch.",
    "closeup left": "Die untere linke Ecke von der rechten Seite: unten der Luftmaschenanschlag, "
    "links der Seitenrand, dazu die Enden der Reihen, im Ganzen {rows}.",
    "closeup right": "Die untere rechte Ecke von der rechten Seite: unten der "
    "Luftmaschenanschlag, rechts der Seitenrand, dazu die Enden der Reihen, im Ganzen {rows}.",
    "closeup begins": "Hier beginnt Reihe 1.",
    "closeup straight": "Der Seitenrand läuft gerade nach oben.",
    "closeup strays": "Der Seitenrand weicht höchstens {length} von einer Geraden ab.",
    "closeup caption left": "Die untere linke Ecke, wo Reihe 1 beginnt.",
    "closeup caption right": "Die untere rechte Ecke, wo Reihe 1 beginnt.",
    # The stripes
    "stripes alt": "Die Streifen der Reihe nach: {stripes}, im Ganzen {rows}.",
    "stripes even": "Jeder Streifen ist {n} Reihe hoch.|Jeder Streifen ist {n} Reihen hoch.",
    "stripes between": "Die Streifen sind {least} bis {most} Reihen hoch.",
    "stripes caption": "Die Streifen von der ersten Reihe an, von links nach rechts; jeder so "
    "breit, wie er Reihen hat.",
    # What a colour looks like
    "looks": "{light} {tone} {hue}",
    "looks black": "Schwarz",
    "looks white": "Weiß",
    "light very dark": "sehr dunkles",
    "light dark": "dunkles",
    "light light": "helles",
    "light very light": "sehr helles",
    "tone greyish": "gräuliches",
    "tone vivid": "kräftiges",
    "tone pinkish": "rosastichiges",
    "tone reddish": "rötliches",
    "tone orange": "orangestichiges",
    "tone yellowish": "gelbliches",
    "tone greenish": "grünliches",
    "tone bluish": "bläuliches",
    "tone violet": "violettstichiges",
    "tone purplish": "lilastichiges",
    "tone brownish": "bräunliches",
    "hue pink": "Rosa",
    "hue red": "Rot",
    "hue orange": "Orange",
    "hue golden yellow": "Goldgelb",
    "hue yellow": "Gelb",
    "hue yellow green": "Gelbgrün",
    "hue green": "Grün",
    "hue turquoise": "Türkis",
    "hue blue": "Blau",
    "hue violet": "Violett",
    "hue purple": "Lila",
    "hue reddish purple": "Rotviolett",
    "hue purplish red": "Purpurrot",
    "hue grey": "Grau",
    "hue cream": "Creme",
    "hue beige": "Beige",
    "hue brown": "Braun",
    "hue olive": "Oliv",
}

SPELLED: Final[dict[str, str]] = {
    "row span": "{first} bis {last}",
    "inches": "{n} Zoll",
    "times by": "{width} mal {length}",
    "key entry": "{short}: {text}",
    "key yarn": "{letter}, {name}",
    "repeat mark": "Rapport: {n} Masche|Rapport: {n} Maschen",
    "fact stitch text": "{long}",
    "fact chain text": "{n} Luftmasche|{n} Luftmaschen",
    "called": "{name}, genannt {label}",
    "lettered name": "{letter}, {name}",
    "colours how": "Nach jeder Angabe: die Reihen dieser Farbe bis dahin.",
    "colours how, in turn": "Reihen der Streifenfolge, nach jeder Angabe die Reihen dieser Farbe "
    "bis dahin.",
    "colour span": "Reihe {last}, bis dahin {total}|Reihe {first} bis {last}, bis dahin {total}",
}
