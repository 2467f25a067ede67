"""The keys of every view that acts on keys, as the list of all keys tells them.

A test reads the views' modules and finds every key they act on here.
"""

from typing import Final

from core.records import Struct


class ViewKeys(Struct, frozen=True):
    """Keys of one view.

    Attributes:
        view: What the view is called.
        modules: The modules that act on them, as they lie in `app`.
        keys: The keys, and what each does.
    """

    view: str
    modules: tuple[str, ...]
    keys: tuple[tuple[str, str], ...]


VIEW_KEYS: Final[tuple[ViewKeys, ...]] = (
    ViewKeys(
        "Chart and fabric",
        ("views/stitch_canvas.py", "views/canvas.py"),
        (
            ("Click, Enter", "select a stitch: the one pointed at, or in the middle"),
            ("Shift+click", "select all from there to here"),
            ("Left, Right", "go along the row (with nothing selected: move the view)"),
            ("Up", "go to a stitch worked into it (else: move the view)"),
            ("Down", "go to the stitch it is worked into (else: move the view)"),
            ("Shift+arrows", "select from stitch to stitch, or whole rows"),
            ("Home, End", "go to the row's left or right end; with Shift select up to it"),
            ("PageUp, PageDown", "go ten rows up or down"),
            ("Double-click", "select the repeat; beside the blanket, show all"),
            ("Escape", "select nothing; put the ruler away; stop measuring"),
            ("Z", "zoom to what is selected"),
            ("Wheel, pinch", "zoom where the hand is"),
            ("Plus, Minus", "zoom in and out"),
            ("0", "show all"),
            ("Space and drag, middle drag, drag", "move the view"),
            ("Shift+wheel", "move the view sideways"),
            ("M", "measure: click two places or drag; M again ends it"),
        ),
    ),
    ViewKeys("Chart", (), (("Click on a row's number", "select the row; with Shift, rows"),)),
    ViewKeys(
        "Fabric",
        ("views/fabric_edges.py",),
        (
            ("Shift+Right, Shift+Left", "a repeat more or less, with nothing selected"),
            ("Shift+Up, Shift+Down", "a row more or less, with nothing selected"),
        ),
    ),
    ViewKeys(
        "Lamp of the fabric",
        ("views/light_dial.py",),
        (("Left, Right, Up, Down", "move the lamp"), ("Home", "put it back")),
    ),
    ViewKeys(
        "Rows from the side",
        ("views/side_view.py",),
        (("Up, Down", "go from row to row"), ("Home, End", "first and last row")),
    ),
    ViewKeys(
        "Stripes",
        ("views/stripe_strip.py", "views/stripes/keys.py"),
        (
            ("Up, Down, Home, End", "choose a stripe; with Shift up to it, with Ctrl only point"),
            ("Ctrl+Space", "choose one more, or one less"),
            ("Ctrl+A", "choose all stripes"),
            ("Y", "choose all of its yarn"),
            ("Enter, Return, Space", "choose its yarn"),
            ("1 to 9", "give it one of the first yarns"),
            ("Plus, Minus", "a row more or less"),
            ("Shift+1, Shift+2", "one or two rows each"),
            ("Alt+Up, Alt+Down", "move it"),
            ("Insert", "add a stripe above"),
            ("Delete, Backspace", "delete"),
            ("Ctrl+D", "duplicate"),
            ("Ctrl+C, Ctrl+X, Ctrl+V", "copy, cut, paste above"),
            ("F2", "name it"),
            ("L", "lock or unlock"),
            ("M", "mirror: add the way back"),
            ("R", "reverse the order"),
            ("S", "split in two"),
            ("J", "join"),
            ("X", "exchange two"),
            ("Escape", "drop what is dragged; choose one only"),
        ),
    ),
    ViewKeys(
        "Wave",
        ("views/wave_band.py",),
        (
            ("Left, Right", "choose a peak, dip or run"),
            ("Up, Down", "a stitch more or less"),
            ("Alt+Left, Alt+Right", "move a peak or dip"),
            ("Escape", "drop what is dragged"),
        ),
    ),
    ViewKeys(
        "The sentence and what pops up",
        ("views/sentence.py", "views/knowing.py"),
        (
            ("Enter, Space", "change the figure"),
            ("Shift+F1", "how the figure is known"),
            ("Escape", "close"),
        ),
    ),
    ViewKeys(
        "Fields with figures",
        ("views/pages/fields.py",),
        (("Up, Down", "a step more or less"), ("Escape", "put back what was there")),
    ),
    ViewKeys(
        "Words",
        ("views/pages/words.py", "views/pages/words_linked.py"),
        (
            ("Ctrl+F", "find in the words"),
            ("Enter, Return", "next place; with Shift the one before"),
            ("Escape", "close the search"),
            ("Arrows", "move through the words; their stitches light up"),
            ("Enter on a phrase", "select its stitches; Escape lets them go"),
        ),
    ),
    ViewKeys(
        "Lists on the pages",
        (
            "views/pages/checks.py",
            "views/pages/colour_merges.py",
            "views/pages/choice_list.py",
        ),
        (
            ("Enter, Return, Space", "go there, or take it"),
            ("Home, End", "first and last of a list"),
        ),
    ),
    ViewKeys(
        "Table of yarns",
        ("views/pages/yarn_table.py",),
        (
            ("F2, Enter, Return", "change a field"),
            ("Insert", "add a yarn"),
            ("Delete, Backspace", "take a yarn away"),
        ),
    ),
    ViewKeys(
        "Yarns of a stripe plan",
        ("views/stripes/plan_yarns.py",),
        (("Delete, Backspace", "take out of the rule"),),
    ),
    ViewKeys(
        "Drawing of an end",
        ("views/pages/end_drawing.py",),
        (
            ("Left, Right, Home, End", "choose a stitch of the fill"),
            ("PageUp, PageDown", "choose a row of the fill"),
            ("Up, Down", "a taller or lower stitch"),
        ),
    ),
    ViewKeys(
        "Drawn wave",
        ("views/sketch_surface.py",),
        (
            ("Tab", "from point to point"),
            ("Left, Right, Up, Down", "move the point; with Shift further"),
            ("Insert", "add a point"),
            ("Delete, Backspace", "remove the point"),
            ("Enter, Return", "start from the wave there is"),
            ("Plus, Minus", "zoom in and out"),
            ("Ctrl+Z", "take the last stroke back"),
            ("Escape", "drop what is dragged"),
        ),
    ),
    ViewKeys(
        "Picture for colours",
        ("views/picture_view.py",),
        (
            ("Left, Right, Up, Down", "move the place that is taken"),
            ("PageUp, PageDown", "a larger or smaller place"),
        ),
    ),
    ViewKeys(
        "Waves to begin from",
        ("views/beginning/cards.py",),
        (("Arrows", "go from wave to wave"), ("Enter, Return", "begin with it")),
    ),
    ViewKeys(
        "Yarn shelf",
        ("views/shelf/rows.py", "views/shelf/small_fields.py"),
        (
            ("Enter, Return, F2", "change the yarn"),
            ("Insert", "add a yarn"),
            ("Delete, Backspace", "take a yarn off the shelf"),
            ("Escape", "put back what a field said"),
        ),
    ),
    ViewKeys(
        "Find an action",
        ("finder_slip.py",),
        (
            ("Up, Down, PageUp, PageDown", "choose"),
            ("Enter, Return", "do it"),
            ("Escape", "put the slip away"),
        ),
    ),
)
