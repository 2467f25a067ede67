"""Turns data from outside into a `Design`, or into a sentence that names the bad place.

The file library stops at the first fault and says where in its own words; here the path is
followed through the types once more to say what was expected there.
"""

import difflib
import json
import re
from typing import Any, Final

import msgspec
from msgspec import inspect

from core.design.document import Design
from core.errors import DesignError

# The last "at" is the library's own: a hostile key's name may hold another.
_AT: Final = re.compile(r"(?P<what>.*) - at `\$(?P<path>[^`]*)`\Z", re.DOTALL)
_STEP: Final = re.compile(r"\.(?P<key>[^.\[]+)|\[(?P<index>\d+)\]")
_FIELD: Final = re.compile(r"field `(?P<field>.*)`", re.DOTALL)
_NAMED: Final = re.compile(r"[a-z_]+(\.[a-z_]+|\[\d+\])*: ")  # it names the place itself
_MAX_SHOWN: Final = 40


def design_from_raw(raw: dict[str, Any]) -> Design:
    """Return the design that plain JSON values describe.

    Raises:
        DesignError: A value is of the wrong type, out of bounds, missing or unknown; the
            message starts with the value's path.
    """
    try:
        return msgspec.convert(raw, Design)
    except msgspec.ValidationError as error:
        raise DesignError(_sentence(str(error), raw)) from error
    except RecursionError as error:
        raise DesignError("the values are nested too deeply") from error


def raw_from_design(design: Design) -> dict[str, Any]:
    """Return the design as plain JSON values, absent parts left out.

    Measures come out as broken numbers even where whole ones were put in, so that equal
    designs give equal values.
    """
    raw: dict[str, Any] = msgspec.to_builtins(design_from_raw(msgspec.to_builtins(design)))
    raw = {key: value for key, value in raw.items() if value is not None}
    if not raw["own_words"]:
        del raw["own_words"]
    raw["wave"] = {key: value for key, value in raw["wave"].items() if value is not None}
    for yarn in raw["yarns"]:  # as files have always been while no ball has been weighed
        for key in ("left_g", "left_after", "weight"):
            if yarn[key] is None:
                del yarn[key]
    if design.stripes.plan is None:  # as files without a plan have always been
        raw["stripes"].pop("plan")
    for key in ("use", "skill", "contact", "licence"):
        if not raw[key]:
            del raw[key]
    if design.loops.in_turn is None:  # as files without loops in turn have always been
        raw["loops"] = {
            k: v for k, v in raw["loops"].items() if k not in ("in_turn", "each_colour")
        }
    return raw


def checked(design: Design) -> Design:
    """Return `design` itself if every value in it is within its bounds.

    Raises:
        DesignError: A value isn't; the message starts with its path.
    """
    design_from_raw(msgspec.to_builtins(design))
    return design


def _sentence(message: str, raw: Any) -> str:
    match = _AT.fullmatch(message)
    what, path = (match["what"], match["path"]) if match else (message, "")
    if not _leads_somewhere(path):  # part of a hostile key's name, not the library's words
        what, path = message, ""
    place = path.lstrip(".") or "design"
    field = _FIELD.search(what)
    if what.startswith("Object contains unknown field") and field:
        return f"{_below(path, field['field'])}: unknown key{_did_you_mean(field['field'], path)}"
    if what.startswith("Object missing required field") and field:
        return f"{_below(path, field['field'])}: missing"
    if what.startswith(("Expected", "Invalid")):
        expected = _expected(_type_at(path), _value_at(raw, path))
        return f"{place}: expected {expected}, got {_shown(_value_at(raw, path))}"
    return what if not path and _NAMED.match(what) else f"{place}: {what}"


def _below(path: str, field: str) -> str:
    return f"{path}.{field[:_MAX_SHOWN]}".lstrip(".")


def _did_you_mean(field: str, path: str) -> str:
    known = _type_at(path)
    names = [f.encode_name for f in known.fields] if isinstance(known, inspect.StructType) else []
    near = difflib.get_close_matches(field, names, n=1)
    return f' (did you mean "{near[0]}"?)' if near else ""


def _steps(path: str) -> list[str | int]:
    return [m["key"] if m["key"] else int(m["index"]) for m in _STEP.finditer(path)]


def _leads_somewhere(path: str) -> bool:
    try:
        _type_at(path)
    except StopIteration:
        return False
    return True


def _value_at(raw: Any, path: str) -> Any:
    for step in _steps(path):
        raw = raw[step]
    return raw


def _type_at(path: str) -> inspect.Type:
    found: inspect.Type = inspect.type_info(Design)
    for step in _steps(path):
        found = _plain(found)
        if isinstance(found, inspect.StructType):
            found = next(f.type for f in found.fields if f.encode_name == step)
        elif isinstance(found, inspect.VarTupleType):
            found = found.item_type
    return _plain(found)


def _plain(kind: inspect.Type) -> inspect.Type:
    """Return the type without its notes and without the null that it may be."""
    if isinstance(kind, inspect.Metadata):
        return _plain(kind.type)
    if isinstance(kind, inspect.UnionType):
        return _plain(next(t for t in kind.types if not isinstance(t, inspect.NoneType)))
    return kind


def _expected(kind: inspect.Type, value: Any) -> str:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    match kind:
        case inspect.IntType(ge=low, le=high):
            too_big = is_number and high is not None and value > high
            return f"an integer of {f'{high} or less' if too_big else f'{low} or more'}"
        case inspect.FloatType(ge=low, le=high):
            too_big = is_number and high is not None and value > high
            return f"a number of {f'{high:g} or less' if too_big else f'{low:g} or more'}"
        case inspect.LiteralType(values=values):
            return " or ".join(f'"{word}"' for word in values)
        case inspect.BoolType():
            return "true or false"
        case inspect.StrType(pattern=pattern) if pattern and "0-9A-Fa-f" in pattern:
            return "a colour like #3a7ca5"
        case inspect.StrType(max_length=longest, min_length=shortest):
            if isinstance(value, str) and (shortest or 0) <= len(value) <= (longest or 0):
                return "plain text without control signs or signs that turn it round"
            return f"plain text of {shortest or 0} to {longest} characters"
        case inspect.VarTupleType():
            return "a list" + _lengths(kind)
        case _:
            return "an object"


def _lengths(kind: inspect.VarTupleType) -> str:
    if kind.max_length is None:
        return ""
    return f" of {kind.min_length or 0} to {kind.max_length} entries"


def _shown(value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return "an object"
    text = json.dumps(value, ensure_ascii=True)
    return text if len(text) <= _MAX_SHOWN else f"{text[:_MAX_SHOWN]}…"
