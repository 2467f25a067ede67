"""Two windows on one shelf do what they like, and a dict says what must be there."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from any_entry import entries
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from core.records import replace
from core.shelf.backups import Backup
from core.shelf.changes import Change, edit, put, remove
from core.shelf.entry import Entry
from core.shelf.faults import ShelfError
from core.shelf.store import Store


class ShelfMachine(RuleBasedStateMachine):
    """Two windows on one shelf do what they like; a dict says what must be there."""

    @initialize(folder=st.uuids())
    def begin(self, folder):
        import tempfile

        self.place = tempfile.TemporaryDirectory()
        self.moment = datetime(2026, 1, 1)
        where = Path(self.place.name) / folder.hex
        self.windows = [Store(where, now=lambda: self.moment) for _ in range(2)]
        self.model: dict[str, Entry] = {}
        self.done: list[Change] = []
        self.copies: list[tuple[Backup, dict[str, Entry]]] = []

    def do(self, window, change):
        self.windows[window].apply(change)
        for uid in change.uids:
            self.model.pop(uid, None)
        self.model.update(change.after)

    @rule(window=st.integers(0, 1), new=entries)
    def put_one(self, window, new):
        change = put("Put", [new])
        if new.uid not in self.model:
            self.do(window, change)
            self.done.append(change)

    @rule(window=st.integers(0, 1), pick=st.randoms(use_true_random=False), like=entries)
    def change_one(self, window, pick, like):
        if self.model:
            old = self.model[pick.choice(sorted(self.model))]
            change = edit("Change", old, replace(like, uid=old.uid))
            self.do(window, change)
            self.done.append(change)

    @rule(window=st.integers(0, 1), pick=st.randoms(use_true_random=False))
    def take_away(self, window, pick):
        if self.model:
            change = remove("Away", [self.model[pick.choice(sorted(self.model))]])
            self.do(window, change)
            self.done.append(change)

    @rule(window=st.integers(0, 1))
    def undo(self, window):
        if self.done:
            change = self.done.pop()
            fits = all(self.model.get(uid) == change.after.get(uid) for uid in change.uids)
            if fits:
                self.do(window, change.taken_back())
            else:
                with pytest.raises(ShelfError):
                    self.windows[window].apply(change.taken_back())

    @rule(window=st.integers(0, 1), days=st.integers(0, 2))
    def back_up(self, window, days):
        self.moment += timedelta(days=days, seconds=1)
        if self.model:
            copy = self.windows[window].back_up()
            self.copies.append((copy, dict(self.model)))

    @rule(window=st.integers(0, 1))
    def restore(self, window):
        self.moment += timedelta(seconds=1)
        copies = [(copy, was) for copy, was in self.copies if copy.path.exists()]
        if copies:
            copy, was = copies[-1]
            self.windows[window].restore(copy)
            self.model = dict(was)
            self.done.clear()

    @invariant()
    def both_windows_agree_with_the_model(self):
        for store in getattr(self, "windows", ()):
            assert {entry.uid: entry for entry in store.read().entries} == self.model

    def teardown(self):
        if hasattr(self, "place"):
            self.place.cleanup()


TestShelfMachine = ShelfMachine.TestCase
TestShelfMachine.settings = settings(
    max_examples=8, stateful_step_count=15, deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
