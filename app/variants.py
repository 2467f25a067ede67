"""Variants kept aside: look at one instead of the design, beside it, or put it back.

Each is kept as a version too, so none is lost with the window. Looking at one changes nothing:
what is wished for meanwhile is refused, and the design comes back as soon as anything else is
done.
"""

from typing import Any, Final

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QMenu, QWidget

from app.computing import LatestWins, LiveResults, ShouldStop
from app.documents import Documents
from app.keeping.keeper import Keeper
from app.opened import OpenDialogs
from app.session import Session
from app.theme import Theme
from app.views.aside_bar import AsideBar, AsideName
from core.design.document import Design
from core.pipeline import Pipeline, Results, settle
from core.records import Struct

MOST: Final = 9
NONE_YET: Final = "Nothing is kept aside yet. Shift+F5 keeps the design as it is now."
LOOKING: Final = (
    "This is the one kept aside, to look at. F5 goes back to the design; Put back makes it the "
    "design."
)
_ENDING: Final = (QEvent.Type.WindowBlocked, QEvent.Type.WindowDeactivate)


class _Aside(Struct, eq=False):
    """A variant kept aside; its results are worked out when they are first wanted."""

    name: str
    design: Design
    results: Results | None = None


class Variants(QObject):
    """Keeps variants of the open design aside, and shows one of them instead of it."""

    shown = Signal(object)  # Results to look at; None when the design is shown again
    said = Signal(str)

    def __init__(
        self,
        session: Session,
        live: LiveResults,
        keeper: Keeper,
        documents: Documents,
        theme: Theme,
        opened: OpenDialogs,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._session, self._live, self._keeper = session, live, keeper
        self._documents, self._theme, self._opened = documents, theme, opened
        self._window = window
        self._kept: list[_Aside] = []
        self._chosen = 0
        self._looking: _Aside | None = None
        self._awaited: _Aside | None = None  # to be looked at once it is worked out
        self._count = 0
        self._worker: LatestWins | None = None
        self.bar = AsideBar(window)
        self.bar.flip_wished.connect(self.flip)
        self.bar.beside_wished.connect(self.see_beside)
        self.bar.back_wished.connect(self.put_back)
        self.bar.forget_wished.connect(self.forget)
        self.bar.chosen.connect(self._choose)
        session.design_changed.connect(lambda _: self.end_flip())
        session.replaced.connect(self._forget_all)
        window.installEventFilter(self)

    def add_to(self, menu: QMenu) -> None:
        """Put what can be done with variants into a menu."""
        for text, keys, do in (
            ("&Keep aside…", "Shift+F5", self.ask_name),
            ("&Flip to the one kept aside", "F5", self.flip),
            ("See both &beside each other…", "Ctrl+F5", self.see_beside),
            ("&Put back the one kept aside", "", self.put_back),
        ):
            action = menu.addAction(text)
            action.setAutoRepeat(False)
            if keys:
                action.setShortcut(keys)
            action.triggered.connect(lambda _checked=False, do=do: do())

    @property
    def is_flipped(self) -> bool:
        """Whether a variant is looked at instead of the design."""
        return self._looking is not None

    @property
    def name(self) -> str:
        """The name of the variant that is looked at; nothing if none is."""
        return self._looking.name if self._looking is not None else ""

    @property
    def names(self) -> list[str]:
        """Names of what is kept aside, the oldest first."""
        return [aside.name for aside in self._kept]

    # keeping

    def ask_name(self) -> None:
        """Ask what to call the design as it is, and keep it aside."""
        self._documents.finish_typing()
        self.end_flip()
        popup = AsideName(f"Variant {self._count + 1}", self._window)
        popup.named.connect(lambda name: self.keep(name, self._session.design))
        popup.open_over(self._window)

    def keep(self, name: str, design: Design) -> None:
        """Keep a design aside, and as a version."""
        self._count += 1
        self._keeper.keep_version("kept", name, design=design)
        left = self._take(name, design)
        gone = f" {left} makes room for it; it is still among the versions." if left else ""
        self.said.emit(f"Kept aside: {name}.{gone} Change the blanket; F5 flips between the two.")

    def take(self, name: str, design: Design) -> None:
        """Keep a version aside and look at it."""
        self.end_flip()
        self._take(name, design)
        self.flip()

    def _take(self, name: str, design: Design) -> str:
        """Put one onto the bar; return what is said of one that leaves it, or nothing."""
        live = self._live.results
        is_there = live is not None and live.design == design and self._live.is_settled
        results = live if is_there else None
        others = [aside for aside in self._kept if aside.name != name]
        left = f"The other “{name}”" if len(others) < len(self._kept) else ""
        if len(others) >= MOST:
            left = f"“{others[0].name}”"
        self._kept = others[-(MOST - 1) :]
        self._kept.append(_Aside(name, design, results))
        self._chosen = len(self._kept) - 1
        self._show_bar()
        return left

    def forget(self) -> None:
        """Keep the chosen one aside no longer; its version stays."""
        self.end_flip()
        if self._aside is not None:
            del self._kept[self._chosen]
            self._chosen = max(len(self._kept) - 1, 0)
            self._show_bar()

    @property
    def _aside(self) -> _Aside | None:
        return self._kept[self._chosen] if self._kept else None

    def _choose(self, number: int) -> None:
        was_flipped = self.is_flipped
        self.end_flip()
        self._chosen = number
        if was_flipped:
            self.flip()
        self._show_bar()

    # looking

    def flip(self) -> None:
        """Look at the variant kept aside, or go back to the design."""
        aside = self._aside
        if self.is_flipped or self._awaited is not None:
            self.end_flip()
        elif aside is None:
            self.said.emit(NONE_YET)
        elif aside.design == self._session.design:
            self.said.emit(f"{aside.name} is the design as it is: there is nothing to flip to yet.")
        elif aside.results is None:
            self._work_out(aside)
        else:
            self._look(aside, aside.results)
        self._show_bar()

    def end_flip(self) -> None:
        """Show the design again, if a variant is looked at or is being worked out to be."""
        self._awaited = None
        if self._looking is not None:
            self._looking = None
            self._show_bar()
            self.shown.emit(None)

    def refuse(self) -> None:
        """Say that what is only looked at can't be changed."""
        self.said.emit(LOOKING)

    def see_beside(self) -> None:
        """Open design and variant beside each other."""
        self._documents.finish_typing()
        self.end_flip()
        aside = self._aside
        if aside is None:
            self.said.emit(NONE_YET)
            return
        from app.beside_dialog import BesideDialog

        dialog = BesideDialog(self._session.design, aside.name, aside.design, self._theme,
                              self._window)  # fmt: skip
        dialog.back_wished.connect(self.put_back)
        self._opened.choose(dialog)

    def put_back(self) -> None:
        """Make the design what was kept aside, as one step."""
        self.end_flip()
        aside = self._aside
        if aside is None:
            self.said.emit(NONE_YET)
            return
        design = aside.design
        self._session.change(f"Put back “{aside.name}”", lambda _: design)

    def close(self) -> None:
        """Stop the thread behind it; call before the window closes."""
        if self._worker is not None:
            self._worker.close()
            self._worker = None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Show the design again as soon as a dialog or another window is gone to."""
        if event.type() in _ENDING:
            self.end_flip()
        return super().eventFilter(watched, event)

    def _work_out(self, aside: _Aside) -> None:
        if self._worker is None:
            self._worker = LatestWins(_results_of, self)
            self._worker.finished.connect(self._on_worked_out)
            self._worker.failed.connect(self._on_failed)
        self.said.emit(f"Settling {aside.name}…")
        self._awaited = aside
        self._worker.submit(aside.design)

    def _on_failed(self, error: object) -> None:
        self._awaited = None
        self.said.emit(f"The one kept aside can't be shown: {error}.")

    def _on_worked_out(self, results: Results) -> None:
        for kept in self._kept:
            if kept.design == results.design:
                kept.results = results
        aside, self._awaited = self._awaited, None
        if aside is not None and aside.results is not None:
            self._look(aside, aside.results)
            self._show_bar()

    def _look(self, aside: _Aside, results: Results) -> None:
        self._looking = aside
        self.shown.emit(results)
        self.said.emit(LOOKING)

    def _show_bar(self) -> None:
        self.bar.show_kept(self.names, self._chosen, flipped=self.is_flipped)

    def _forget_all(self) -> None:
        """Forget what was kept aside: it was of another design."""
        self._kept, self._chosen, self._count = [], 0, 0
        self._show_bar()


def _results_of(design: Any, should_stop: ShouldStop) -> Results:
    """Return a design's results with its fabric laid from strips; runs in the worker."""
    pipeline = Pipeline()
    work = pipeline.work(design)
    if work is not None:
        pipeline.take_settled(design, *settle(work, should_stop=should_stop))
    return pipeline.results(design)
