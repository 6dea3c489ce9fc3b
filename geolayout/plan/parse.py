"""From the text of a plan file to a plan, or to one sentence about what is wrong with it."""

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from geolayout.errors import PlanError
from geolayout.plan.crops.crop import Crop, CropFile
from geolayout.plan.crops.ownseed import with_own_seed
from geolayout.plan.farm import FarmFile
from geolayout.plan.faults import as_written, first_fault
from geolayout.plan.money.farm import with_farm_money
from geolayout.plan.plan import Plan

__all__ = ["parse_crops", "parse_farm", "parse_plan"]

SCHEMA = 1

M = TypeVar("M", bound=BaseModel)


def parse_plan(text: str, *, farm: FarmFile | None = None, crops: Sequence[Crop] = ()) -> Plan:
    """
    Read the text of a plan file.

    Parameters
    ----------
    text : str
        TOML, as documented key by key in the plan file's page.
    farm : FarmFile, optional
        The farm; what the plan says of it wins key by key, and a machine of the plan over one of
        the same name.
    crops : sequence of Crop
        The user's own crops; a crop of the plan wins over one of the same name.

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
    if farm is not None:
        _add_machines(data, farm)
        _add_farm(data, farm)
        _add_money(data, farm)
    _add_crops(data, crops)
    return with_own_seed(_validated(Plan, data))


def parse_farm(text: str) -> FarmFile:
    """
    Read the text of a farm file.

    Raises
    ------
    PlanError
        If the text is no TOML, or a key is unknown, missing or cannot be.
    """
    return _validated(FarmFile, _load(text))


def parse_crops(text: str) -> tuple[Crop, ...]:
    """
    Read the text of a file of crops; short names of its sources are written out.

    Raises
    ------
    PlanError
        If the text is no TOML, or a key is unknown, missing or cannot be.
    """
    return _validated(CropFile, _load(text, "The crop file")).with_sources()


def farm_file(text: str) -> str | None:
    """
    Return the name of the farm file a plan asks for, before the rest of the plan is looked at.

    Raises
    ------
    PlanError
        If the text is no TOML.
    """
    return _file_of(text, "farm")


def crops_file(text: str) -> str | None:
    """
    Return the name of the crop file a plan asks for, before the rest of the plan is looked at.

    Raises
    ------
    PlanError
        If the text is no TOML.
    """
    return _file_of(text, "crops")


def _file_of(text: str, key: str) -> str | None:
    """Return a name that the table [field] has under a key."""
    field = _load(text).get("field")
    name = field.get(key) if isinstance(field, dict) else None
    return name if isinstance(name, str) else None


def _load(text: str, what: str = "The plan") -> dict[str, Any]:
    """Return the tables of a TOML text."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PlanError(
            f"{what} cannot be read: {error}.",
            "It is not written in TOML.",
            "Look at that line: quotes round words, = after a key, one table a heading.",
        ) from None


def _check_schema(data: Mapping[str, Any]) -> None:
    """Say first whether it is a plan of this kind at all."""
    if data.get("schema") == SCHEMA and not isinstance(data["schema"], bool):
        return
    found = f"schema = {as_written(data['schema'])}" if "schema" in data else "no schema"
    raise PlanError(
        f"The plan has {found}.",
        f"This version reads schema = {SCHEMA}.",
        f"Begin the file with schema = {SCHEMA}.",
    )


def _add_machines(data: dict[str, Any], farm: FarmFile) -> None:
    """Put the farm's machines beside the plan's own."""
    own = data.get("machine", [])
    if not farm.machines or not isinstance(own, list):
        return
    names = {entry.get("name") for entry in own if isinstance(entry, dict)}
    data["machine"] = [*own, *(machine for machine in farm.machines if machine.name not in names)]


def _add_crops(data: dict[str, Any], crops: Sequence[Crop]) -> None:
    """Put the crops of a file beside the plan's own."""
    own = data.get("crop", [])
    if not crops or not isinstance(own, list):
        return
    names = {entry.get("name") for entry in own if isinstance(entry, dict)}
    data["crop"] = [*own, *(crop for crop in crops if crop.name not in names)]


def _add_farm(data: dict[str, Any], farm: FarmFile) -> None:
    """Put what the farm's file says of the farm under what the plan says of it."""
    own = data.get("farm", {})
    if farm.farm is None or not isinstance(own, dict):
        return
    data["farm"] = {**farm.farm.model_dump(by_alias=True, exclude_unset=True), **own}


def _add_money(data: dict[str, Any], farm: FarmFile) -> None:
    """Put the farm's prices under the plan's own."""
    if farm.money is not None and isinstance(data.get("money", {}), dict):
        data["money"] = with_farm_money(data, farm.money)


def _validated(model: type[M], data: Mapping[str, Any]) -> M:
    """Return the checked value, or raise its first fault as one sentence."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise first_fault(model, data, error.errors()) from None
