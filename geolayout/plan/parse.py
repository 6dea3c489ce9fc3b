"""From the text of a plan file to a plan, or to one sentence about what is wrong with it."""

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from geolayout.errors import GeolayoutError, PlanError
from geolayout.plan.machines import Machine
from geolayout.plan.near import near_names
from geolayout.plan.plan import Plan
from geolayout.plan.value import Value

__all__ = ["parse_farm", "parse_plan"]

SCHEMA = 1

M = TypeVar("M", bound=BaseModel)


class _Farm(Value):
    """A farm file: the machines that several plans share."""

    machine: tuple[Machine, ...] = ()


def parse_plan(text: str, *, farm: Sequence[Machine] = ()) -> Plan:
    """
    Read the text of a plan file.

    Parameters
    ----------
    text : str
        TOML, as documented key by key in the plan file's page.
    farm : sequence of Machine
        Machines of the farm; a machine of the plan wins over one of the same name.

    Returns
    -------
    plan : Plan

    Raises
    ------
    PlanError
        If the text is no TOML, or a key is unknown, missing or cannot be.
    """
    data = _load(text)
    _check_schema(data)
    _add_farm(data, farm)
    return _validated(Plan, data)


def parse_farm(text: str) -> tuple[Machine, ...]:
    """
    Read the machines of a farm file.

    Raises
    ------
    PlanError
        If the text is no TOML, or a key is unknown, missing or cannot be.
    """
    return _validated(_Farm, _load(text)).machine


def farm_file(text: str) -> str | None:
    """
    Return the name of the farm file a plan asks for, before the rest of the plan is looked at.

    Raises
    ------
    PlanError
        If the text is no TOML.
    """
    field = _load(text).get("field")
    name = field.get("farm") if isinstance(field, dict) else None
    return name if isinstance(name, str) else None


def _load(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PlanError(
            f"The plan cannot be read: {error}.",
            "It is not written in TOML.",
            "Look at that line: quotes round words, = after a key, one table a heading.",
        ) from None


def _check_schema(data: Mapping[str, Any]) -> None:
    """Say first whether it is a plan of this kind at all."""
    if data.get("schema") == SCHEMA and not isinstance(data["schema"], bool):
        return
    found = f"schema = {data['schema']!r}" if "schema" in data else "no schema"
    raise PlanError(
        f"The plan has {found}.",
        f"This version reads schema = {SCHEMA}.",
        f"Begin the file with schema = {SCHEMA}.",
    )


def _add_farm(data: dict[str, Any], farm: Sequence[Machine]) -> None:
    """Put the farm's machines beside the plan's own."""
    own = data.get("machine", [])
    if not farm or not isinstance(own, list):
        return
    names = {entry.get("name") for entry in own if isinstance(entry, dict)}
    data["machine"] = [*own, *(machine for machine in farm if machine.name not in names)]


def _validated(model: type[M], data: Mapping[str, Any]) -> M:
    """Return the checked value, or raise its first fault as one sentence."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        faults = [_sentence(model, data, fault) for fault in error.errors()]
        first = faults[0]
        more = len({str(fault) for fault in faults}) - 1
        if more:
            remedy = f"{first.remedy} ({more} more after that.)"
            raise PlanError(first.found, first.why, remedy) from None
        raise first from None


def _sentence(model: type[BaseModel], data: Mapping[str, Any], fault: ErrorDetails) -> PlanError:
    """Turn one fault of the checker into what was found, why not, and what to do."""
    where = _where(data, fault["loc"])
    own = fault.get("ctx", {}).get("error")
    if isinstance(own, GeolayoutError):
        place = f"{where}: " if where else ""
        return PlanError(place + own.found, own.why, own.remedy)
    key = str(fault["loc"][-1]) if fault["loc"] else ""
    if fault["type"] == "extra_forbidden":
        return PlanError(
            f"{where or 'The plan'} is not known.",
            "A key that nobody reads would be ignored without a word.",
            near_names(key, _keys_at(model, fault["loc"][:-1])),
        )
    if fault["type"] == "missing":
        return PlanError(f"{where or key} is missing.", "", f"Add {key}.")
    message = fault["msg"][0].lower() + fault["msg"][1:]
    return PlanError(f"{where} is {fault['input']!r}.", f"It cannot be: {message}.", "Mend it.")


def _where(data: object, path: Sequence[str | int]) -> str:
    """Say in words where in the file something is, by names where things have one."""
    words: list[str] = []
    here = data
    for step in path:
        if isinstance(step, int):
            here = here[step] if isinstance(here, (list, tuple)) and step < len(here) else None
            name = here.get("name") or here.get("crop") if isinstance(here, dict) else None
            words[-1] = f"{words[-1]} {name!r}" if name else f"{words[-1]} {step + 1}"
        elif isinstance(here, dict) and step in here:
            here = here[step]
            words.append(step)
        elif step == path[-1] and not _is_type_tag(step):
            words.append(step)
    return ", ".join(words)


def _is_type_tag(step: str) -> bool:
    """Whether a step names a branch of a union of types rather than a key."""
    return step in {"float", "int", "str", "literal['rest']", "Clearance", "constrained-float"}


def _keys_at(model: type[BaseModel], path: Sequence[str | int]) -> list[str]:
    """Return the keys that are known at a place of the plan."""
    here: type[BaseModel] = model
    for step in path:
        if isinstance(step, int):
            continue
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
