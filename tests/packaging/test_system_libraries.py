"""What the user is told where Qt lacks libraries, and where a window can be opened."""

import pytest

LDD = """\
/env/lib/python3.11/site-packages/PySide6/Qt/plugins/platforms/libqxcb.so:
\tlinux-vdso.so.1 (0x00007ffd8a1f2000)
\tlibQt6XcbQpa.so.6 => /env/Qt/lib/libQt6XcbQpa.so.6 (0x00007f9d7d000000)
\tlibxcb-icccm.so.4 => not found
\tlibxcb-keysyms.so.1 => not found
\tlibX11.so.6 => /lib/x86_64-linux-gnu/libX11.so.6 (0x00007f9d7ce00000)
\tlibxcb-icccm.so.4 => not found
"""


def test_each_missing_library_is_found_once(system_libraries):
    found = system_libraries.missing_libraries(LDD)
    assert found == ["libxcb-icccm.so.4", "libxcb-keysyms.so.1"]


def test_a_complete_system_lacks_nothing(system_libraries):
    assert system_libraries.missing_libraries("\tlibz.so.1 => /lib/libz.so.1 (0x01)\n") == []


def test_parts_of_qt_itself_are_not_the_systems_to_bring(system_libraries):
    assert system_libraries.missing_libraries("\tlibQt6Pdf.so.6 => not found\n") == []


def test_one_sentence_names_what_is_missing_and_the_command(system_libraries):
    missing = system_libraries.missing_libraries(LDD)
    assert system_libraries.sentence(missing) == (
        "Dipslope draws with Qt, which needs libraries that this system lacks "
        "(libxcb-icccm.so.4, libxcb-keysyms.so.1): on Debian or Ubuntu run "
        "`sudo apt install libxcb-icccm4 libxcb-keysyms1`, then start again."
    )


def test_root_needs_no_sudo(system_libraries):
    text = system_libraries.sentence(["libGL.so.1"], as_root=True)
    assert "run `apt install libgl1`" in text


def test_a_package_that_brings_two_libraries_is_named_once(system_libraries):
    text = system_libraries.sentence(["libgthread-2.0.so.0", "libglib-2.0.so.0"])
    assert "`sudo apt install libglib2.0-0`" in text


def test_a_library_of_unknown_package_is_named_by_itself(system_libraries):
    text = system_libraries.sentence(["libodd.so.3", "libGL.so.1"])
    assert "`sudo apt install libgl1` and install the package that contains libodd.so.3," in text


def test_only_unknown_libraries_give_no_command(system_libraries):
    text = system_libraries.sentence(["libodd.so.3"])
    assert "apt" not in text
    assert text.endswith(": install the package that contains libodd.so.3, then start again.")


@pytest.mark.parametrize(
    ("environ", "plugins"),
    [
        ({"DISPLAY": ":0"}, ["libqxcb.so"]),
        ({"WAYLAND_DISPLAY": "wayland-0"}, ["libqwayland.so"]),
        ({"DISPLAY": ":0", "WAYLAND_DISPLAY": "w"}, ["libqwayland.so", "libqxcb.so"]),
        ({"DISPLAY": ":0", "WAYLAND_DISPLAY": "w", "QT_QPA_PLATFORM": "xcb"}, ["libqxcb.so"]),
        ({"QT_QPA_PLATFORM": "wayland;xcb"}, ["libqwayland.so", "libqxcb.so"]),
        ({"DISPLAY": ":0", "QT_QPA_PLATFORM": "offscreen"}, []),
    ],
)
def test_the_plugins_follow_from_the_session(system_libraries, environ, plugins):
    assert system_libraries.window_plugins(environ) == plugins


@pytest.mark.parametrize(
    ("display", "addresses"),
    [
        (":0", ["/tmp/.X11-unix/X0", "\0/tmp/.X11-unix/X0"]),
        ("unix:3.0", ["/tmp/.X11-unix/X3", "\0/tmp/.X11-unix/X3"]),
        ("localhost:10.0", [("localhost", 6010)]),
        ("[::1]:1", [("::1", 6001)]),
        ("", []),
        ("nonsense", []),
    ],
)
def test_a_display_says_where_its_server_listens(system_libraries, display, addresses):
    assert system_libraries.x_addresses(display) == addresses


@pytest.mark.parametrize(
    ("environ", "system", "answering", "available"),
    [
        ({}, "linux", True, False),
        ({"DISPLAY": ":0"}, "linux", True, True),
        ({"DISPLAY": ":0"}, "linux", False, False),
        ({"DISPLAY": "", "WAYLAND_DISPLAY": "wayland-0"}, "linux", False, True),
        ({}, "darwin", False, True),
        ({}, "win32", False, True),
    ],
)
def test_a_window_needs_somebody_who_shows_it(
    system_libraries, environ, system, answering, available
):
    found = system_libraries.display_available(environ, system, lambda address: answering)
    assert found is available


def test_a_display_nobody_serves_is_no_display(system_libraries):
    assert not system_libraries.display_available({"DISPLAY": ":64123"}, "linux")
