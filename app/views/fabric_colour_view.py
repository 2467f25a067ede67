"""How the fabric is seen: by which eyes, in which light, from how far. Its name always shows."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup, QColor, QPainter
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QSlider, QWidget

from app.theme import UNIT, Theme, small
from app.views.fabric_switches import FabricSwitches
from app.views.figures import number
from core.craft.units import MM_PER_IN
from core.design.document import Units
from core.palette.distance import GARDEN_M, ROOM_M, Blur, DistanceKind, blur_at, metres_away
from core.palette.lamplight import WARM
from core.palette.sight import DEFICIENT, PLAIN, Sight, SightKind

SIGHT_WORDS: Final[tuple[tuple[SightKind, str], ...]] = (
    ("plain", "&Plain"),
    ("grey", "&Grey: how light the colours are"),
    ("protan", "&Red-blind or red-weak eyes"),
    ("deutan", "Gree&n-blind or green-weak eyes"),
    ("tritan", "&Blue-blind or blue-weak eyes"),
    ("dusk", f"By &lamplight at dusk, {WARM.kelvin:.0f} K"),
)
DISTANCE_WORDS: Final[tuple[tuple[DistanceKind, str, float], ...]] = (
    ("near", "&Close up", 0.0),
    ("room", "From &across the room", ROOM_M),
    ("squint", "From across the room, &squinting", ROOM_M),
    ("garden", "Fro&m the end of a garden", GARDEN_M),
    ("phone", "As a &thumbnail on a phone", 0.0),
)
_HINTS: Final = {
    "plain": "Colours as they are",
    "grey": "As printed or copied in grey",
    "protan": "An estimate: no two eyes are alike. How weak they are is set on the canvas",
    "deutan": "An estimate: no two eyes are alike. How weak they are is set on the canvas",
    "tritan": "An estimate: no two eyes are alike. How weak they are is set on the canvas",
    "dusk": "A dim room with a warm lamp, seen by eyes that have partly got used to it",
    "near": "Nothing blurred",
    "room": "What a sharp eye blurs from there",
    "squint": "Half closed eyes out of focus: large shapes and light stay (F4)",
    "garden": "What a sharp eye blurs from there",
    "phone": "The whole blanket as small as a picture in a shop's list",
}
_ON_PLATE: Final[dict[DistanceKind, str]] = {
    "near": "",
    "room": "across the room",
    "squint": "across the room, squinting",
    "garden": "from the end of a garden",
    "phone": "as a thumbnail",
}
_LAMP_PX: Final = 7 * UNIT  # at the right, kept free for the lamp
_LEAST_PX: Final = 0.3  # a blur narrower than that can't be seen on the screen


class FabricColourView(QObject):
    """Keeps how the fabric is seen, with the menu to choose it and the plate that names it."""

    changed = Signal()
    sight_changed = Signal(object)  # Sight

    def __init__(self, canvas: QWidget, theme: Theme, switches: FabricSwitches) -> None:
        super().__init__(canvas)
        self._sight = PLAIN
        self._distance: DistanceKind = "near"
        self._severity = 1.0
        self._switches = switches
        self.plate = _Plate(canvas, theme)
        self.plate.severity.valueChanged.connect(self._on_severity)
        self.menu = QMenu("How the fabric is &seen", switches.seen)
        self._sights = self._choices(SIGHT_WORDS, self._choose_sight)
        self.menu.addSeparator()
        words = [(key, text) for key, text, _ in DISTANCE_WORDS]
        self._distances = self._choices(words, self.set_distance)
        self.menu.setToolTipsVisible(True)
        self._units: Units | None = None
        self.set_units("cm")
        switches.seen.setMenu(self.menu)
        switches.far.toggled.connect(self._on_far)
        self._tell()

    def _choices(
        self, words: Sequence[tuple[str, str]], do: Callable[..., None]
    ) -> dict[str, QAction]:
        group = QActionGroup(self)
        found = {}
        for key, text in words:
            action = self.menu.addAction(text)
            action.setCheckable(True)
            action.setToolTip(_HINTS[key])
            action.triggered.connect(partial(do, key))
            group.addAction(action)
            found[key] = action
        return found

    # what is chosen

    @property
    def sight(self) -> Sight:
        """How colours are seen."""
        return self._sight

    @property
    def distance(self) -> DistanceKind:
        """From how far."""
        return self._distance

    def set_units(self, units: Units) -> None:
        """Say distances in these units."""
        if units != self._units:
            self._units = units
            for key, text, metres in DISTANCE_WORDS:
                far = f", {far_words(metres, units)}" if metres else ""
                self._distances[key].setText(f"{text}{far}")

    def set_sight(self, sight: Sight) -> None:
        """See colours this way."""
        if sight.kind in DEFICIENT:
            self._severity = sight.severity
        if sight != self._sight:
            self._sight = sight
            self._tell()
            self.changed.emit()
            self.sight_changed.emit(sight)

    def set_distance(self, distance: DistanceKind, *_: object) -> None:
        """See the fabric from here."""
        if distance != self._distance:
            self._distance = distance
            self._tell()
            self.changed.emit()

    def _choose_sight(self, kind: SightKind, *_: object) -> None:
        self.set_sight(Sight(kind, self._severity if kind in DEFICIENT else 1.0))

    def _on_severity(self, percent: int) -> None:
        if self._sight.kind in DEFICIENT:
            self.set_sight(Sight(self._sight.kind, percent / 100))

    def _on_far(self, far: bool) -> None:
        """Go to the other side of the room and squint, or come back."""
        if far != (self._distance == "squint"):
            self.set_distance("squint" if far else "near")

    # what is shown

    def blur_px(self, width_mm: float, px_per_mm: float) -> tuple[float, float] | None:
        """Return both blurs in pixels, of light and of colour; None where nothing would show."""
        blur: Blur | None = blur_at(self._distance, width_mm)
        hint = ""
        found = None
        if blur is not None:
            found = blur.light_mm * px_per_mm, blur.colour_mm * px_per_mm
            if max(found) < _LEAST_PX:
                found, hint = None, "nothing blurs at this size"
            elif self._distance == "phone":
                metres = metres_away("phone", width_mm)
                hint = f"like the whole from {far_words(metres, self._units or 'cm')}"
        self.plate.show_hint(hint)
        return found

    def place(self, size: QSize) -> None:
        """Go to the canvas's upper left corner, below the switches where there is no room."""
        self.plate.place(size, self._switches)

    def taken_px(self) -> int:
        """Return the height that the plate takes from the canvas's top."""
        return 0 if self.plate.isHidden() else self.plate.geometry().bottom() + UNIT

    def _tell(self) -> None:
        self._sights[self._sight.kind].setChecked(True)
        self._distances[self._distance].setChecked(True)
        self._switches.far.setChecked(self._distance == "squint")
        parts = [] if self._sight.kind == "plain" else [self._sight.name]
        if self._distance != "near":
            parts.append(_ON_PLATE[self._distance])
        name = ", ".join(parts)
        name = name[:1].upper() + name[1:]
        seen = self._switches.seen
        seen.setText("Seen…")
        seen.setAccessibleName(f"How the fabric is seen: {name or 'plainly, close up'}")
        seen.setToolTip(f"{name or 'Plain, close up'}. Choose eyes, light and distance.")
        self.plate.show_name(name, self._sight)

    @property
    def name(self) -> str:
        """What the view is called; nothing if it is plain and close up."""
        return self.plate.name


def far_words(metres: float, units: Units) -> str:
    """Return a distance in a room or a garden."""
    if units == "cm":
        return f"{number(metres)} m"
    return f"{number(metres / (12 * MM_PER_IN / 1000))} ft"


class _Plate(QWidget):
    """Names the view on the canvas; for weak eyes it holds how weak they are."""

    def __init__(self, canvas: QWidget, theme: Theme) -> None:
        super().__init__(canvas)
        self._theme = theme
        self.name = self._hint = ""
        self._size, self._switches = QSize(), None  # type: tuple[QSize, QWidget | None]
        self._label = QLabel(self)
        self._label.setFont(small(self.font()))
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setWordWrap(True)
        self.severity = QSlider(Qt.Orientation.Horizontal, self)
        self.severity.setRange(0, 100)
        self.severity.setValue(100)
        self.severity.setPageStep(10)
        self.severity.setSingleStep(5)
        self.severity.setFixedWidth(12 * UNIT)
        self.severity.setAccessibleName("How weak these eyes are, in per cent")
        self.severity.setToolTip("How weak these eyes are: 100 % is one kind of cone missing")
        row = QHBoxLayout(self)
        row.setContentsMargins(UNIT, UNIT // 2, UNIT, UNIT // 2)
        row.setSpacing(UNIT)
        row.addWidget(self._label)
        row.addWidget(self.severity)
        theme.changed.connect(self.update)
        self.hide()

    def show_name(self, name: str, sight: Sight) -> None:
        """Name the view; without a name the plate is put away."""
        self.name = name
        weak = sight.kind in DEFICIENT
        self.severity.setVisible(weak)
        if weak and self.severity.value() != round(100 * sight.severity):
            self.severity.blockSignals(True)
            self.severity.setValue(round(100 * sight.severity))
            self.severity.blockSignals(False)
        self._write()
        self.setVisible(bool(name))

    def show_hint(self, hint: str) -> None:
        """Say what more there is to know."""
        if hint != self._hint:
            self._hint = hint
            self._write()

    def _write(self) -> None:
        text = f"{self.name}: {self._hint}" if self._hint else self.name
        self._label.setText(text)
        self.setAccessibleName(f"The fabric is seen: {text}")
        if self._switches is not None:
            self.place(self._size, self._switches)

    def place(self, size: QSize, switches: QWidget) -> None:
        """Go to the upper left corner."""
        self._size, self._switches = size, switches
        line = self._label.fontMetrics().horizontalAdvance(self._label.text()) + 3 * UNIT
        if not self.severity.isHidden():
            line += self.severity.width() + UNIT
        beside = line <= switches.geometry().left() - 2 * UNIT
        top = UNIT if beside else switches.geometry().bottom() + UNIT
        room = size.width() - 2 * UNIT - (0 if beside else _LAMP_PX)
        wide = max(min(line, room), 1)
        layout = self.layout()
        assert layout is not None
        layout.invalidate()
        self.setGeometry(UNIT, top, wide, layout.heightForWidth(wide))

    def paintEvent(self, event: object) -> None:
        """Paint the plate, so that it is read over any yarn."""
        del event
        tones = self._theme.tones
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QColor(tones.accent))
            painter.setBrush(QColor(tones.sheet))
            painter.drawRoundedRect(self.rect().adjusted(0, 0, -1, -1), 6, 6)
