"""What Qt's accessibility interface tells of every screen and of the views that paint themselves.

WCAG 2.2, success criteria 4.1.2 (name, role, value), 1.3.1 (labels), 2.4.3 (order of focus).
"""

import gc
from itertools import pairwise

import pytest
from desk import wait_until_settled
from PySide6.QtCore import QEvent, QPoint, QRect, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QLabel,
    QScrollBar,
    QSplitter,
    QWidget,
)
from screens import SCREENS, close, in_scroll_areas, inner, make_window, reachable, settle
from shiboken6 import Shiboken

from app import spoken
from app.spoken import Part, Role, Told, tell
from app.views.sentence import Figure
from core.design import edits

Text, Event = QAccessible.Text, QAccessible.Event


@pytest.fixture(scope="module")
def window(qapp, tmp_path_factory):
    window = make_window(tmp_path_factory.mktemp("access"))
    window.resize(1366, 768)
    window.show()
    window.activateWindow()
    wait_until_settled(window)
    yield window
    window.session.undo_stack.setClean()
    window.close()


@pytest.fixture(params=list(SCREENS))
def screen(request, window):
    shown = SCREENS[request.param](window)
    settle(60)
    yield shown
    if Shiboken.isValid(shown):  # dialogs are deleted when they are left
        close(window, shown)


def face(widget):
    return QAccessible.queryAccessibleInterface(widget)


def labels_of(screen):
    return [label for label in screen.findChildren(QLabel) if label.isVisible()]


def name_of(widget):
    """Return what names a widget: its own name, the label it is the buddy of, its text."""
    if widget.accessibleName():
        return widget.accessibleName()
    for label in widget.window().findChildren(QLabel):
        if label.buddy() is widget:
            return label.text()
    if isinstance(widget, QComboBox):  # its text is what is chosen, not what it is
        return ""
    found = face(widget)
    return found.text(Text.Name) if found is not None else ""


def widgets_of(screen):
    return [
        child
        for child in screen.findChildren(QWidget)
        if child.isVisible() and child.window() is screen.window() and not inner(child)
    ]


def nameless(screen):
    """Yield what takes the focus or can be pressed, and has no name in words."""
    for widget in widgets_of(screen):
        takes = widget.focusPolicy() != Qt.FocusPolicy.NoFocus and widget.focusProxy() is None
        takes = takes and not isinstance(widget, QLabel | QScrollBar)
        if takes or isinstance(widget, QAbstractButton):
            name = name_of(widget)
            if not any(letter.isalnum() for letter in name):
                yield widget, name


def alike(screen):
    """Yield names that two stops after each other have in common."""
    for one, other in pairwise(reachable(screen)):
        if name_of(one) == name_of(other):
            yield name_of(one)


def loose_labels(screen):
    """Yield labels with a key that leads nowhere."""
    for label in labels_of(screen):
        text = label.text().replace("&&", "")
        mine = label.window() is screen.window() and label.textFormat() != Qt.TextFormat.RichText
        if mine and "&" in text and label.buddy() is None:
            yield text


def test_every_control_of_every_screen_is_named(screen):
    assert not list(nameless(screen))
    assert not list(alike(screen))
    assert not list(loose_labels(screen))


def rect_in(widget, screen):
    return QRect(widget.mapTo(screen, QPoint(0, 0)), widget.size())


def goes_back(before, after):
    """Whether `after` stands before `before` as one reads: to the left in its line, or above."""
    if before.contains(after):
        return False
    shared = min(before.bottom(), after.bottom()) - max(before.top(), after.top())
    if shared > 0.5 * min(before.height(), after.height()):
        return after.center().x() < before.center().x()
    return after.bottom() <= before.top() + 2 and after.left() < before.right() - 2


def held_back(screen):
    """Return stops that Tab doesn't come to from the first one."""
    stops = [widget for widget in reachable(screen) if not isinstance(widget, QSplitter)]
    stops[0].setFocus(Qt.FocusReason.TabFocusReason)
    seen = set()
    for _ in range(3 * len(stops) + 40):
        now = QApplication.focusWidget()
        assert now is not None
        seen.add(now)
        now.focusNextPrevChild(True)
    # Of a group one takes the focus; arrows go on from there.
    single = {
        stop
        for stop in stops
        if isinstance(stop, QAbstractButton) and (stop.group() or stop.autoExclusive())
    }
    return set(stops) - seen - single


def test_tab_goes_as_the_eye_goes_and_comes_round_and_escape_leaves(screen, qtbot):
    stops = reachable(screen)
    backs = []
    for before, after in pairwise(stops):
        if in_scroll_areas(before) == in_scroll_areas(after) and goes_back(
            rect_in(before, screen), rect_in(after, screen)
        ):
            backs.append((name_of(before), name_of(after)))
    assert len(backs) <= 1, backs  # the chain is a ring: once it comes round to its beginning
    if not isinstance(screen, QDialog):
        return
    screen.activateWindow()
    settle()
    if len(stops) > 1:
        assert not held_back(screen)
    for _ in range(2):  # a field may take the first one
        if Shiboken.isValid(screen) and screen.isVisible():
            qtbot.keyClick(screen.focusWidget() or screen, Qt.Key.Key_Escape)
            settle()
    assert not Shiboken.isValid(screen) or not screen.isVisible()


# views that paint themselves


def test_the_strip_is_a_list_of_its_stripes(window):
    strip, sequence = window.strip, window.session.design.stripes.sequence
    told = face(strip)
    assert told.role() == Role.List and told.text(Text.Name) == "Stripes"
    assert told.state().focusable
    assert told.childCount() == len(sequence)
    strip.choose(2)
    third = told.child(2)
    yarn = window.session.design.yarns[sequence[2].yarn].name
    assert third.text(Text.Name) == (
        f"Stripe 3 of {len(sequence)}: {sequence[2].rows} rows of {yarn}"
    )
    assert third.role() == Role.ListItem and third.state().selected
    assert not told.child(1).state().selected
    assert third.parent().text(Text.Name) == "Stripes"
    assert told.child(len(sequence)) is None


def test_the_stripe_that_keys_act_on_has_the_focus(window, qtbot):
    window.activateWindow()
    settle(50)
    window.strip.setFocus()
    qtbot.waitUntil(window.strip.hasFocus)
    window.strip.choose(0)
    qtbot.keyClick(window.strip, Qt.Key.Key_Up)
    assert face(window.strip).focusChild().text(Text.Name).startswith("Stripe 2 of ")


def test_the_wave_is_a_list_of_marks(window):
    told = face(window.wave)
    assert told.role() == Role.List
    names = [told.child(n).text(Text.Name) for n in range(told.childCount())]
    marks = [name for name in names if ", mark " in name]
    kinds = {name.split(":")[0] for name in marks}
    assert kinds == {"Peak", "Dip", "Run"}
    assert marks[0].endswith(f"mark 1 of {len(marks)}")


def test_chart_and_fabric_tell_what_is_selected(window):
    window.chart.selecting.click((3, 5))
    for view in (window.chart, window.fabric):
        told = face(view)
        assert told.role() == Role.Canvas
        assert "Row 3" in told.text(Text.Value)
        assert "Selected: " in told.text(Text.Description)
    window.linking.choose_nothing()
    assert face(window.chart).text(Text.Value) == ""


def test_a_step_from_stitch_to_stitch_says_the_stitch_and_no_more(window):
    """A reader says a changed description as a whole: heard with Orca 43 on Debian 12."""
    view = window.chart
    about = view.accessibleDescription()
    assert "Stitch symbols" in about
    view.selecting.click((3, 5))
    assert view.accessibleDescription().startswith("Selected: Row 3")
    assert "Stitch symbols" not in view.accessibleDescription()
    window.linking.choose_nothing()
    assert view.accessibleDescription() == about


def test_a_figures_description_is_not_its_name_once_more(window):
    for figure in window.sentence.findChildren(Figure):
        told = face(figure)
        name = told.text(Text.Name).split(":")[0]
        assert name and name not in told.text(Text.Description)


@pytest.fixture
def heard(monkeypatch, window, qtbot):
    """What readers are told of the parts of views: kinds of events and the parts' names."""
    said = []
    monkeypatch.setattr(spoken.QAccessible, "isActive", lambda: True)

    def hear(event):
        part = face(event.object()).child(event.child())
        said.append((event.type(), part.text(Text.Name)))

    monkeypatch.setattr(spoken.QAccessible, "updateAccessibility", hear)
    window.activateWindow()
    window.chart.setFocus()
    settle(50)
    said.clear()
    yield said
    stack = window.session.undo_stack
    stack.setIndex(0)
    settle(50)


def test_what_a_mark_has_become_is_said_while_keys_pull_it(window, qtbot, heard):
    """Readers don't say again what has the focus: they have to be told that its name changed."""
    window.wave.setFocus()
    qtbot.waitUntil(lambda: bool(heard))
    kind, name = heard[-1]
    assert kind == Event.Focus and name.startswith("Peak: 2 in 1 ×2")
    heard.clear()
    qtbot.keyClick(window.wave, Qt.Key.Key_Right)
    assert [kind for kind, _ in heard] == [Event.Focus] and heard[0][1].startswith("Run: 3")
    heard.clear()
    qtbot.keyClick(window.wave, Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == [(Event.NameChanged, heard[0][1])] and heard[0][1].startswith("Run: 4")


def test_where_names_of_items_go_unsaid_the_description_says_them(
    window, qtbot, heard, monkeypatch
):
    """The screen reader of Debian 12 passes over new names of a list's items."""
    monkeypatch.setattr(spoken, "speaks_descriptions", lambda: True)
    window.wave.setFocus()
    qtbot.waitUntil(lambda: bool(heard))
    part = face(window.wave).focusChild()
    assert part.text(Text.Description) == ""  # else it would be said twice when it is come to
    heard.clear()
    qtbot.keyClick(window.wave, Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: bool(heard))
    assert [kind for kind, _ in heard] == [Event.NameChanged, Event.DescriptionChanged]
    assert part.text(Text.Description) == part.text(Text.Name) == heard[0][1]
    qtbot.keyClick(window.wave, Qt.Key.Key_Right)
    assert part.text(Text.Description) == ""


def test_what_a_stripe_has_become_is_said(window, qtbot, heard):
    window.strip.choose(0)
    window.strip.setFocus()
    qtbot.waitUntil(lambda: bool(heard))
    heard.clear()
    window.session.change("recolour", lambda design: edits.set_yarn(design, 0, name="Foam"))
    assert (Event.NameChanged, "Stripe 1 of 12: 2 rows of Foam") in heard


def test_the_lamp_tells_where_it_is(window):
    told = face(window.fabric.relief.dial)
    assert told.role() == Role.Dial and "above the fabric" in told.text(Text.Value)


def test_parts_go_with_their_widgets(qapp):
    class View(QWidget):
        def __init__(self):
            super().__init__()
            self.n = 5
            tell(
                self,
                Told(
                    role=Role.List,
                    count=lambda: self.n,
                    part=lambda k: Part(f"part {k}", QRect(0, 10 * k, 9, 9), k == 1),
                ),
            )

    kept = []
    for way in range(60):
        view = View()
        told = face(view)
        kept = [told.child(n) for n in range(5)]
        view.n = 2
        assert told.childCount() == 2 and not kept[4].isValid()
        if way % 2:
            view.deleteLater()
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        del view
        gc.collect()
    assert kept
