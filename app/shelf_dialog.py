"""The shelf's window: yarns kept between designs, found, weighed, put aside and worked.

It stands beside the main window and follows its design. Nothing on the shelf changes but by what
is done here, and every act says what it did and can be taken back.
"""

from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_tip
from app.computing import LatestWins
from app.keeping.shelf import ShelfKeeper
from app.shelf_errands import Errands
from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from app.views.figures import counted, yarn_length
from app.views.pages.page import Trouble
from app.views.scrolled import beyond
from app.views.shelf.answers import Answer, Request, look_up
from app.views.shelf.design_pane import DesignPane
from app.views.shelf.empty import message_page
from app.views.shelf.file_pane import FilePane
from app.views.shelf.looking import Looking
from app.views.shelf.rows import RowList, found_line
from app.views.shelf.words import called, grams
from app.views.shelf.yarn_form import YarnForm
from core.design.document import Design
from core.errors import DesignError
from core.pipeline import Results
from core.shelf.against import owned_balls, place_of, put_in_place, taken_in, with_owned
from core.shelf.changes import put, remove
from core.shelf.entry import Entry, new_uid
from core.shelf.example import example
from core.shelf.faults import ShelfError
from core.shelf.finding import Found
from core.shelf.lists import LIKE_G, LIKE_M

_SIDE: Final = 50 * UNIT
_WAIT_MS: Final = 40


class ShelfDialog(QDialog):
    """The list, and beside it the chosen yarn, the open design and the file."""

    wish = Signal(str, object, object)  # of the design

    def __init__(
        self, keeper: ShelfKeeper, results: Results, folder: Path, theme: Theme, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Yarn shelf")
        self._keeper, self._results, self._theme = keeper, results, theme
        self.errands = Errands(keeper, folder, theme, self)
        self._shown: tuple[Found, ...] = ()
        self._chosen = ""
        self._is_closed = False
        self._new = ""  # a yarn just put there, to be named
        self._worker = LatestWins(look_up, self)
        self._worker.finished.connect(self._show_answer)
        self._worker.failed.connect(lambda error: self.say(f"⚠ {error}"))
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_WAIT_MS)
        self._soon.timeout.connect(self._ask)
        self._build()
        self._wire()
        self.resize(1120, 664)
        self.show_results(results)
        keeper.look()
        self.list.setFocus()
        follow_layout(self)

    # building

    def _build(self) -> None:
        self.looking = Looking(self._theme, self)
        self.trouble = Trouble(self)
        self.restore_button = self._button("Re&store…", "Choose a backup of the shelf")
        self.anew_button = self._button("Begin an e&mpty shelf", "Keep the old file aside")
        self.again_button = self._button("Try a&gain", "Read the shelf once more")
        self._ways = QWidget(self)
        ways = QHBoxLayout(self._ways)
        ways.setContentsMargins(0, 0, 0, 0)
        ways.setSpacing(UNIT)
        for button in (self.restore_button, self.anew_button, self.again_button):
            ways.addWidget(button)
        ways.addStretch(1)
        self._ways.hide()
        self.list = RowList("Yarns on the shelf", self._theme, self)
        self._left = QStackedWidget(self)
        self._left.addWidget(self.list)
        self._left.addWidget(beyond(self._empty(), self))
        self._left.addWidget(beyond(self._none_found(), self))
        self.count = QLabel(self)
        self.count.setProperty("quiet", True)
        self.add_button = self._button("&Add a yarn", "Put a yarn on the shelf (Ins in the list)")
        self.remove_button = self._button("Remove", "Take the yarn off the list (Del in the list)")
        self.take_all_button = self._button(
            "Take all into this desi&gn", "Every yarn listed here that something is left of"
        )
        self.undo_button = self._button("&Undo", "")
        self.redo_button = self._button("Redo", "")
        under = QHBoxLayout()
        under.setSpacing(UNIT)
        under.addWidget(self.add_button)
        under.addWidget(self.remove_button)
        under.addWidget(self.take_all_button)
        under.addStretch(1)
        under.addWidget(self.count)
        left = QVBoxLayout()
        left.setSpacing(UNIT)
        left.addWidget(self.trouble)
        left.addWidget(self._ways)
        left.addWidget(self._left, 1)
        left.addLayout(under)
        self.said = QLabel("Nothing on the shelf changes by opening or saving a design.", self)
        self.said.setTextFormat(Qt.TextFormat.PlainText)  # yarns' names come from lists, too
        self.said.setWordWrap(True)
        self.said.setAccessibleName("What was done")
        self.close_button = self._button("&Close", "Close the shelf (Esc)")
        foot = QHBoxLayout()
        foot.setSpacing(UNIT)
        foot.addWidget(self.said, 1)
        foot.addWidget(self.undo_button)
        foot.addWidget(self.redo_button)
        foot.addWidget(self.close_button)
        body = QHBoxLayout()
        body.setSpacing(2 * UNIT)
        body.addLayout(left, 1)
        body.addWidget(self._side())
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.looking)
        column.addLayout(body, 1)
        column.addLayout(foot)

    def _side(self) -> QWidget:
        self.form = YarnForm(self._theme, self)
        self.design = DesignPane(self._theme, self)
        self.file = FilePane(self._keeper.store.path, self._theme, self)
        self._pages = QStackedWidget(self)
        self.tabs = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(UNIT // 2)
        for number, (words, page, tip) in enumerate(
            (
                ("This &yarn", self.form, "What is there of the chosen yarn"),
                ("This &design", self.design, "What the shelf has for the open design"),
                ("Its &file", self.file, "Backups and lists"),
            )
        ):
            button = self._button(words, tip)
            button.setCheckable(True)
            self.tabs.addButton(button, number)
            row.addWidget(button, 1)
            self._pages.addWidget(page)
        self.tabs.button(0).setChecked(True)
        side = QWidget(self)
        side.setFixedWidth(_SIDE)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        column.addLayout(row)
        column.addWidget(self._pages, 1)
        return side

    def _empty(self) -> QWidget:
        self.first_button = self._button("Put the first yarn t&here", "Add a yarn and name it")
        self.first_button.setProperty("primary", True)
        self.keep_button = self._button(
            "Kee&p this design's yarns…", "See which yarns would come from the design"
        )
        self.example_button = self._button("L&ook at an example", "A few invented yarns to try")
        self.first_button.clicked.connect(lambda: self.add_yarn())
        self.keep_button.clicked.connect(lambda: self._keep_design())
        self.example_button.clicked.connect(lambda: self.put_example())
        return message_page(
            "Nothing on the shelf yet",
            "The shelf keeps the yarns you own between designs, down to the last weighed remnant.",
            (self.first_button, self.keep_button, self.example_button),
        )

    def _none_found(self) -> QWidget:
        self.none_words = QLabel(self)
        self.none_words.setTextFormat(Qt.TextFormat.PlainText)
        self.all_button = self._button("Show e&verything", "Look for nothing in particular")
        self.all_button.clicked.connect(lambda: self.looking.reset())
        return message_page("No yarn is like that", self.none_words, (self.all_button,))

    def _button(self, words: str, tip: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setAutoDefault(False)
        button.setToolTip(tip)
        return button

    def _wire(self) -> None:
        keeper, form = self._keeper, self.form
        keeper.changed.connect(self._follow)
        keeper.said.connect(self.say)
        self.errands.said.connect(self.say)
        self.errands.put_there.connect(self._choose)
        keeper.troubled.connect(self._show_trouble)
        self.looking.changed.connect(self._soon.start)
        self.list.chosen.connect(self._on_chosen)
        self.list.opened.connect(self._edit)
        self.list.add_wished.connect(self.add_yarn)
        self.list.remove_wished.connect(self.remove_yarn)
        self.add_button.clicked.connect(lambda: self.add_yarn())
        self.remove_button.clicked.connect(lambda: self.remove_yarn())
        self.take_all_button.clicked.connect(lambda: self.take_in_all())
        self.undo_button.clicked.connect(lambda: self._undo())
        self.redo_button.clicked.connect(lambda: self._redo())
        self.close_button.clicked.connect(self.close)
        self.restore_button.clicked.connect(lambda: self.errands.restore())
        self.anew_button.clicked.connect(lambda: self.errands.begin_anew())
        self.again_button.clicked.connect(lambda: keeper.look())
        self.tabs.idClicked.connect(self.show_page)
        form.change.connect(lambda *step: keeper.do(*step))
        form.said.connect(self.say)
        form.take_wished.connect(self.take_in)
        form.exchange_wished.connect(self.put_in_place)
        self.design.keep_wished.connect(self._keep_design)
        self.design.own_wished.connect(self.own)
        self.design.find_wished.connect(self.looking.look_for_colour)
        file = self.file
        file.folder_wished.connect(self.errands.open_folder)
        file.back_up_wished.connect(lambda: keeper.back_up())
        file.restore_wished.connect(self.errands.restore)
        file.import_wished.connect(self.errands.ask_import)
        file.export_wished.connect(self.errands.ask_export)
        file.example_wished.connect(self.put_example)
        for keys, do in (
            (QKeySequence.StandardKey.Undo, self._undo),
            (QKeySequence.StandardKey.Redo, self._redo),
            (QKeySequence.StandardKey.Find, self._find),
        ):
            QShortcut(QKeySequence(keys), self).activated.connect(do)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Follow the open design."""
        self._results = results
        self.form.show_design(results)
        self.looking.show_design(results.design)
        self._soon.start()

    def say(self, text: str) -> None:
        """Say what was done, or why it can't be."""
        self.said.setText(text)

    def show_page(self, number: int) -> None:
        """Show a page at the side."""
        self.tabs.button(number).setChecked(True)
        self._pages.setCurrentIndex(number)

    @property
    def chosen(self) -> Entry | None:
        """The chosen yarn."""
        return self._keeper.entry(self._chosen)

    def _follow(self, *_: object) -> None:
        if self._is_closed:
            return
        if self._keeper.trouble is None:
            self.trouble.say("")
            self._ways.hide()
        keeper = self._keeper
        undo = QKeySequence(QKeySequence.StandardKey.Undo).toString()
        for button, text, words in (
            (self.undo_button, keeper.undo_text, "Undo"),
            (self.redo_button, keeper.redo_text, "Redo"),
        ):
            button.setEnabled(bool(text))
            keys = f" ({undo})" if words == "Undo" else ""
            button.setToolTip(
                plain_tip(f"{words}: {text}{keys}") if text else f"Nothing to {words.lower()}"
            )
        self.form.show_entry(self.chosen)
        self._ask()

    def _ask(self) -> None:
        self._worker.submit(Request(self._keeper.entries, self.looking.search, self._results))

    def _show_answer(self, answer: Answer) -> None:
        self._shown = answer.found
        units = answer.design.units
        uids = [found.entry.uid for found in answer.found]
        if self._chosen not in uids:
            row = min(max(self.list.row, 0), len(uids) - 1)
            self._chosen = uids[row] if uids else ""
        row = uids.index(self._chosen) if self._chosen else -1
        self.list.show_lines(len(uids), lambda number: found_line(answer.found[number], units), row)
        everything = len(self._keeper.entries)
        if not everything:
            self.count.setText("")
        elif len(uids) == everything:
            total = yarn_length(answer.length_m, units)
            self.count.setText(f"{counted(everything, 'yarn')}, {total}")
        else:
            self.count.setText(f"{len(uids)} of {counted(everything, 'yarn')}")
        self._show_left(answer, everything)
        self.add_button.setEnabled(self._keeper.trouble is None)
        self.remove_button.setEnabled(bool(self._chosen))
        self.take_all_button.setEnabled(bool(self._left_of()))
        self.form.show_entry(self.chosen)
        self.design.show_haves(answer.haves, answer.design)
        if self._new and self._new == self._chosen:
            self._new = ""
            self._edit()

    def _show_left(self, answer: Answer, everything: int) -> None:
        page = 0
        if not everything:
            page = 0 if self._keeper.trouble else 1
        elif not answer.found:
            page = 2
            text = f"{counted(everything, 'yarn')} on the shelf."
            if answer.far is not None and answer.far.apart is not None:
                text += f" The nearest in colour is {called(answer.far.entry)}, but it is not near."
            self.none_words.setText(text)
        if self._left.currentIndex() != page:
            had_focus = self._left.isAncestorOf(self.focusWidget() or self)
            self._left.setCurrentIndex(page)
            if had_focus:
                (self.list, self.first_button, self.all_button)[page].setFocus()

    def _show_trouble(self, trouble: ShelfError) -> None:
        """Say what is wrong; the ways out are there as long as the shelf can't be read."""
        if self._keeper.trouble is None:
            self.say(f"⚠ {trouble}")
            return
        self.trouble.say(str(trouble))
        self._ways.setVisible(True)
        can_go = trouble.trouble in ("damaged", "gone", "newer")
        self.restore_button.setVisible(can_go)
        self.anew_button.setVisible(can_go)
        self.say("The open design is not affected.")
        self._ask()

    # hands

    def _on_chosen(self, row: int) -> None:
        if 0 <= row < len(self._shown):
            self._chosen = self._shown[row].entry.uid
            self.form.show_entry(self.chosen)

    def _edit(self) -> None:
        if self.chosen is not None:
            self.show_page(0)
            self.form.name.setFocus()
            self.form.name.selectAll()

    def _find(self) -> None:
        self.looking.words.setFocus()
        self.looking.words.selectAll()

    def _undo(self) -> None:
        self._finish_typing()
        self._keeper.undo()

    def _redo(self) -> None:
        self._keeper.redo()

    def _finish_typing(self) -> None:
        self.form.notes.finish()

    def add_yarn(self) -> None:
        """Put a new yarn there, to be named at once."""
        entries = self._keeper.entries
        names, number = {entry.name for entry in entries}, len(entries) + 1
        while f"Yarn {number}" in names:
            number += 1
        like = self.chosen or (entries[-1] if entries else None)
        entry = Entry(
            uid=new_uid(),
            name=f"Yarn {number}",
            colour=like.colour if like else self._results.design.yarns[0].colour.lower(),
            ball_m=like.ball_m if like else LIKE_M,
            ball_g=like.ball_g if like else LIKE_G,
            fibre=like.fibre if like else "",
            weight=like.weight if like else None,
            currency=like.currency if like else "",
        )
        self._chosen = self._new = entry.uid
        if not self.looking.search.is_open:
            self.looking.reset()
        said = f"{entry.name} is on the shelf with 0 balls: name it, then say what there is."
        self._keeper.do(put(f"Add {entry.name}", [entry]), said)

    def remove_yarn(self) -> None:
        """Take the chosen yarn off the list."""
        entry = self.chosen
        if entry is not None:
            self._finish_typing()
            entry = self.chosen or entry
            said = f"{called(entry)} is off the shelf with {grams(entry.grams)}; undo puts it back."
            self._keeper.do(remove(f"Remove {entry.name}", [entry]), said)

    def put_example(self) -> None:
        """Put the example there."""
        some = example()
        said = "An example is on the shelf: eight invented yarns. Undo takes them off."
        self._keeper.do(put("Put an example there", some), said)

    # between shelf and design

    def take_in(self) -> None:
        """Give the design the chosen yarn."""
        entry = self.chosen
        if entry is None:
            return
        before, entries = self._results.design, self._keeper.entries
        after = taken_in(before, (entry,), entries)
        is_new = len(after.yarns) > len(before.yarns)
        owned = _owned_words(after, entry, entries)
        text = (
            f"Take {entry.name} from the shelf" if is_new else f"Own {entry.name} as on the shelf"
        )
        self.wish.emit(text, partial(taken_in, wanted=(entry,), entries=entries), None)
        if self._results.design == before:
            already = f"{entry.name} is in the design already, with {owned}."
            self.say(already if after == before else f"⚠ The design doesn't take {entry.name}.")
            return
        what = "is now a yarn of the design" if is_new else "was in the design already"
        self.say(
            f"{entry.name} {what}, with {owned}. The shelf stays as it is: put aside what "
            "you mean to use."
        )

    def put_in_place(self, number: int) -> None:
        """Give the chosen yarn everything that a yarn of the design is used for."""
        entry, before = self.chosen, self._results.design
        if entry is None or number >= len(before.yarns):
            return
        old, entries = before.yarns[number], self._keeper.entries
        edit = partial(put_in_place, number=number, entry=entry, entries=entries)
        try:
            after = edit(before)
        except DesignError as error:
            self.say(f"⚠ {error}.")
            return
        if after == before:
            self.say(f"{entry.name} is that yarn already.")
            return
        self.wish.emit(f"Put {entry.name} in place of {old.name}", edit, None)
        if self._results.design == before:
            self.say(f"⚠ The design doesn't take {entry.name}.")
            return
        thickness = ""
        if None not in (old.weight, entry.weight) and old.weight != entry.weight:
            thickness = " It is of another weight class: work a swatch before you rely on the size."
        owned = _owned_words(after, entry, entries)
        self.say(f"{entry.name} is worked in place of {old.name}, with {owned}.{thickness}")

    def take_in_all(self) -> None:
        """Give the design every yarn listed that something is left of, in one step."""
        wanted, before = self._left_of(), self._results.design
        if not wanted:
            return
        some = counted(len(wanted), "yarn")
        take = partial(taken_in, wanted=wanted, entries=self._keeper.entries)
        self.wish.emit(f"Take {some} from the shelf", take, None)
        if self._results.design == before:
            already = take(before) == before
            self.say(
                "All of them are in the design already, with what is there owned." if already
                else f"⚠ The design doesn't take {some} more."
            )  # fmt: skip
            return
        self.say(f"The design has {some} of the shelf. Plan stash on the Yarn page orders stripes.")

    def _left_of(self) -> tuple[Entry, ...]:
        """Return the yarns listed that something is left of for this blanket."""
        title = self._results.design.title
        listed = (found.entry for found in self._shown)
        return tuple(entry for entry in listed if entry.for_title_g(title) > 0)

    def own(self) -> None:
        """Set what the design owns to what is on the shelf."""
        design, entries = self._results.design, self._keeper.entries
        if with_owned(design, owned_balls(design, entries)) == design:
            self.say("The design owns just what is on the shelf already.")
            return
        self.wish.emit("Own what is on the shelf", partial(_owning, entries=entries), None)
        some = len(owned_balls(design, entries))
        self.say(f"The design owns what the shelf has of {counted(some, 'yarn')}.")

    def _keep_design(self) -> None:
        self.errands.keep_design(self._results.design)

    def _choose(self, uid: str) -> None:
        self._chosen = uid

    # the window

    def event(self, event: QEvent) -> bool:
        """Look again when coming back: another window may have changed the shelf."""
        if event.type() == QEvent.Type.WindowActivate and not self._keeper.is_busy:
            self._keeper.look()
        return super().event(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Finish typing."""
        self._finish_typing()
        super().closeEvent(event)

    def done(self, result: int) -> None:
        """Finish typing, stop the work and close."""
        self._finish_typing()
        if not self._is_closed:
            self._is_closed = self.errands.is_closed = True
            keeper = self._keeper  # it outlives this window
            keeper.changed.disconnect(self._follow)
            keeper.said.disconnect(self.say)
            keeper.troubled.disconnect(self._show_trouble)
        self._soon.stop()
        self._worker.close()
        super().done(result)


def _owned_words(design: Design, entry: Entry, entries: tuple[Entry, ...]) -> str:
    """Return what a design owns of the yarn that an entry stands for, once it was taken in."""
    place = place_of(design, entry, entries)
    if place is None:
        return f"{grams(0)} owned"
    number, lots = place
    yarn = design.yarns[number]
    text = f"{grams(yarn.owned_balls * yarn.ball_g)} owned"
    return f"{text} in {lots} dye lots" if lots > 1 else text


def _owning(design: Design, *, entries: tuple[Entry, ...]) -> Design:
    return with_owned(design, owned_balls(design, entries))
