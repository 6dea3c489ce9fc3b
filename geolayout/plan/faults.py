"""
What the checker of values found wrong, told as one sentence about one key.

The checker tries every branch of a key that may be a number or a word, and complains once more
about a list with a faulty entry; a reader wants one fault for one key, at its deepest place.
"""

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from typing import get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from geolayout.errors import GeolayoutError, PlanError
from geolayout.plan.near import near_names

__all__ = ["as_written", "first_fault"]

Path = tuple[str | int, ...]

MAY_BE = {
    "bool_type": "true or false",
    "dict_type": "a table",
    "finite_number": "a finite number",
    "float_type": "a number",
    "greater_than": "more than {gt:g}",
    "greater_than_equal": "{ge:g} or more",
    "int_from_float": "a whole number",
    "int_type": "a whole number",
    "less_than": "less than {lt:g}",
    "less_than_equal": "{le:g} or less",
    "literal_error": "{expected}",
    "model_type": "a table",
    "string_too_long": "at most {max_length} letters long",
    "string_too_short": "at least one letter long",
    "string_type": "words in quotes",
    "too_short": "a list of {min_length} or more",
    "tuple_type": "a list",
}
"""What a key may be, by what the checker calls its fault; the rest is about days."""

NAMED_BY = ("name", "crop", "year", "kind")
"""Keys by which an entry of a list is told from the others, the first it has."""


def first_fault(
    model: type[BaseModel], data: Mapping[str, object], faults: Sequence[ErrorDetails]
) -> PlanError:
    """
    Return the first fault as an error, with the number of those behind it.

    Parameters
    ----------
    model : type of BaseModel
        What the data was checked against.
    data : mapping
        What was checked, as it was read.
    faults : sequence of ErrorDetails
        What the checker found.

    Returns
    -------
    error : PlanError
    """
    placed: dict[Path, list[ErrorDetails]] = {}
    for fault in faults:
        placed.setdefault(_path(data, fault), []).append(fault)
    deepest = [
        path
        for path in placed
        if not any(other[: len(path)] == path and other != path for other in placed)
    ]
    # a key written with a slip is unknown, and missing under its own name: tell of the slip
    slips = {path[:-1]: path for path in deepest if placed[path][0]["type"] == "extra_forbidden"}
    if placed[deepest[0]][0]["type"] == "missing" and deepest[0][:-1] in slips:
        deepest.insert(0, deepest.pop(deepest.index(slips[deepest[0][:-1]])))
    first = _told(model, data, deepest[0], placed[deepest[0]])
    if len(deepest) == 1:
        return first
    more = len(deepest) - 1
    behind = "1 more fault lies" if more == 1 else f"{more} more faults lie"
    return PlanError(first.found, first.why, f"{first.remedy} ({behind} behind it.)")


def _path(data: object, fault: ErrorDetails) -> Path:
    """Return where a fault lies, without the steps that name a branch of types."""
    path: list[str | int] = []
    here = data
    for step in fault["loc"]:
        if isinstance(step, int):
            here = here[step] if isinstance(here, (list, tuple)) and step < len(here) else None
            path.append(step)
        elif isinstance(here, dict) and step in here:
            here = here[step]
            path.append(step)
    last = fault["loc"][-1:]
    if fault["type"] == "missing" and last != tuple(path[-1:]):
        path += last
    return tuple(path)


def _told(
    model: type[BaseModel], data: Mapping[str, object], path: Path, faults: Sequence[ErrorDetails]
) -> PlanError:
    """Turn the faults of one key into what was found, why not, and what to do."""
    fault = faults[0]
    own = fault.get("ctx", {}).get("error")
    if isinstance(own, GeolayoutError):
        place = ", ".join(_words(data, path))
        return PlanError(f"In {place}: {own.found}" if place else own.found, own.why, own.remedy)
    key = next((step for step in reversed(path) if isinstance(step, str)), "the file")
    if fault["type"] == "extra_forbidden":
        return PlanError(
            f"{_place(data, path)} is not known.",
            "A key that nobody reads would be ignored without a word.",
            near_names(key, _keys_at(model, path[:-1])),
        )
    short_line = fault["type"] == "too_short" and path[-1] == "points"
    if short_line or fault["type"] in ("missing", "too_long"):
        return _incomplete(data, path, fault)
    if fault["loc"][-1] == "[key]":
        return PlanError(
            f"{_place(data, path)} is not known.",
            f"A key here may be {fault['ctx']['expected']}.",
            near_names(key, _quoted(fault)),
        )
    written = as_written(fault["input"])
    return PlanError(f"{_place(data, path)} is {written}.", _why(faults), _remedy(key, faults))


def _incomplete(data: object, path: Path, fault: ErrorDetails) -> PlanError:
    """Tell of a key that is not there, or of a place on the map with too few or many numbers."""
    if fault["type"] == "missing" and isinstance(path[-1], str):
        return PlanError(f"{_place(data, path)} is missing.", "", f"Add {path[-1]}.")
    few = fault["type"] != "too_long"
    where = _place(data, path[:-1] if fault["type"] == "missing" else path)
    return PlanError(
        f"{where} has too {'few' if few else 'many'} values.",
        "A place is a longitude and a latitude, and a line is two places or more.",
        "Write a place as [7.25, 52.5], and a line as [[7.25, 52.5], [7.26, 52.5]].",
    )


def _why(faults: Sequence[ErrorDetails]) -> str:
    """Say what the key may be, over all branches of its types."""
    phrases = [
        MAY_BE.get(fault["type"], "a day").format(**fault.get("ctx", {})) for fault in faults
    ]
    return f"It must be {' or '.join(dict.fromkeys(phrases))}."


def _remedy(key: str, faults: Sequence[ErrorDetails]) -> str:
    """Say what to write instead."""
    types = {fault["type"] for fault in faults}
    value = faults[0]["input"]
    if isinstance(value, str):
        if types & {"float_type", "int_type", "bool_type"} and not _is_word(value):
            return "Write it without quotes."
        options = [word for fault in faults for word in _quoted(fault)]
        if options:
            return near_names(value, options)
    if "tuple_type" in types:
        return f"Put it in brackets: {key} = [ ... ]."
    if types <= {"model_type", "dict_type"}:
        return f"Put its keys in braces: {key} = {{ ... }}."
    if types <= set(MAY_BE):
        return f"Change {key}."
    return "Write it as 2027-04-20, without quotes."


def _is_word(value: str) -> bool:
    """Whether quoted text is a word rather than a number, true or false in quotes."""
    return not re.fullmatch(r"\s*([-+\d.,e_]+|true|false|yes|no)\s*", value, re.IGNORECASE)


def _quoted(fault: ErrorDetails) -> list[str]:
    """Return the words that a key takes, if it takes words."""
    return re.findall(r"'([^']+)'", fault.get("ctx", {}).get("expected", ""))


def as_written(value: object) -> str:
    """
    Return a value about as the file has it.

    Examples
    --------
    >>> as_written(True), as_written("6.0"), as_written([])
    ('true', '"6.0"', 'an empty list')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list" if value else "an empty list"
    return value.isoformat() if isinstance(value, (dt.date, dt.time)) else str(value)


def _place(data: object, path: Path) -> str:
    """Name a key, after the place it lies in."""
    *before, key = _words(data, path) or ["The file"]
    return f"In {', '.join(before)}: {key}" if before else key


def _words(data: object, path: Path) -> list[str]:
    """Say in words where in the file something is, by names where things have one."""
    words: list[str] = []
    here = data
    for step in path:
        if isinstance(step, int):
            here = here[step] if isinstance(here, (list, tuple)) and step < len(here) else None
            known = [here[key] for key in NAMED_BY if key in here] if isinstance(here, dict) else []
            words[-1] += f" {as_written(known[0])}" if known and known[0] else f" {step + 1}"
        else:
            here = here.get(step) if isinstance(here, dict) else None
            words.append(step)
    return words


def _keys_at(model: type[BaseModel], path: Path) -> list[str]:
    """Return the keys that are known at a place of the plan."""
    here: type[BaseModel] = model
    for step in path:
        for name, info in here.model_fields.items():
            if step in (name, info.alias):
                here = _model_in(info.annotation) or here
    return [info.alias or name for name, info in here.model_fields.items()]


def _model_in(annotation: object) -> type[BaseModel] | None:
    """Return the model inside an annotation such as ``tuple[Stand, ...]``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in get_args(annotation):
        found = _model_in(inner)
        if found is not None:
            return found
    return None
