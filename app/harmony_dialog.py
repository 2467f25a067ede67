"""A palette grown from one colour."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.spoken import Role, Told, tell
from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from app.views.colour_editor import ColourEditor
from app.views.pages.fields import ChoiceField, NumberField
from app.views.palette_taking import PaletteTaking
from app.views.proposals import Proposed
from core.design.document import Design
from core.palette.harmony import FEWEST, MOST, RULES, Rule, palette_from
from core.palette.words import colour_words


class HarmonyDialog(QDialog):
    """A colour, a rule and the palette that comes of them."""

    wish = Signal(str, object, object)

    def __init__(
        self, design: Design, colour: str, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Palette from a colour")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._design = design
        self._rule: Rule = RULES[0][0]
        self.editor = ColourEditor(theme, self)
        self.editor.show_colour(colour)
        self.editor.changed.connect(lambda *_: self._show(anew=False))
        self.rule = ChoiceField("How the palette grows", [(key, name) for key, name, _ in RULES])
        self.rule.setToolTip("How the other colours come from this one")
        self.rule.changed.connect(self._on_rule)
        self.about = QLabel(self)
        self.about.setProperty("quiet", True)
        self.about.setWordWrap(True)
        self.number = NumberField("Colours", (FEWEST, MOST), parent=self)
        self.number.setToolTip(f"How many colours, {FEWEST} to {MOST}")
        self.number.show_value(5)
        self.number.changed.connect(lambda *_: self._show(anew=True))
        self.band = _Band(theme, self)
        self.taking = PaletteTaking(theme, "Work the stripes in these colours, in this order", self)
        self.taking.taken.connect(self._take)
        self.taking.left.connect(self.reject)
        self._lay_out()
        self.resize(920, 424)
        self._show(anew=True)
        follow_layout(self)

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(UNIT)
        left.addWidget(self.editor)
        for words, field in (("&How it grows", self.rule), ("C&olours", self.number)):
            line = QHBoxLayout()
            label = QLabel(words, self)
            label.setBuddy(field)
            line.addWidget(label)
            line.addWidget(field, 1)
            left.addLayout(line)
        left.addWidget(self.about)
        left.addStretch(1)
        right = QVBoxLayout()
        right.setSpacing(UNIT)
        right.addWidget(self.band)
        right.addWidget(self.taking, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(3 * UNIT)
        row.addLayout(left, 2)
        row.addLayout(right, 3)

    def palette_colours(self) -> tuple[str, ...]:
        """Return the palette as it is shown."""
        number = min(max(round(self.number.value()), FEWEST), MOST)
        return palette_from(self.editor.colour, self._rule, number)

    def _on_rule(self, key: str, _: object) -> None:
        self._rule = next(rule for rule, *_ in RULES if rule == key)
        self.rule.show_value(key)
        self._show(anew=True)

    def _show(self, *, anew: bool) -> None:
        colours = self.palette_colours()
        about = next(about for rule, _, about in RULES if rule == self._rule)
        self.about.setText(f"{about}.")
        self.band.show_colours(colours)
        self.taking.show_proposals([Proposed(c) for c in colours], self._design.yarns, anew=anew)

    def _take(self, text: str, edit: object) -> None:
        self.wish.emit(text, edit, None)
        self.accept()


class _Band(QWidget):
    """The palette as stripes side by side."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._colours: tuple[str, ...] = ()
        self.setFixedHeight(6 * UNIT)
        self.setAccessibleName("Palette")
        tell(self, Told(role=Role.Graphic))

    def sizeHint(self) -> QSize:
        """Return a band."""
        return QSize(320, 6 * UNIT)

    def show_colours(self, colours: tuple[str, ...]) -> None:
        """Show a palette."""
        self._colours = colours
        self.setAccessibleDescription(", ".join(colour_words(colour) for colour in colours))
        self.update()

    def paintEvent(self, event: object) -> None:
        """Paint the stripes."""
        del event
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        with QPainter(self) as painter:
            wide = box.width() / max(len(self._colours), 1)
            for place, colour in enumerate(self._colours):
                left = box.left() + place * wide
                painter.fillRect(QRectF(left, box.top(), wide, box.height()), QColor(colour))
            painter.setPen(QColor(self._theme.tones.hairline))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box)
