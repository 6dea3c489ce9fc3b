"""Which rows of a layer are meant: by id, or by a column and its value."""

from collections.abc import Sequence

from geolayout.errors import FileError
from geolayout.land.files.sheet import Row, Sheet

__all__ = ["chosen_rows", "several"]

_ID_COLUMNS = ("field_id", "id", "name", "fid")


def chosen_rows(
    sheet: Sheet,
    field_id: str | int | None,
    attribute: tuple[str, object] | None,
    noun: str = "field",
) -> list[Row]:
    """
    Take the rows that meet an id and an attribute.

    Parameters
    ----------
    sheet : Sheet
        The layer.
    field_id : str or int or None
        Met by the GeoJSON id, else by column ``field_id``, ``id``, ``name`` or ``fid``.
    attribute : (str, value) or None
        A column and the value it must have.
    noun : str
        What a message calls a row.

    Returns
    -------
    rows : list of Row
        All of them where nothing is chosen.

    Raises
    ------
    FileError
        If a choice is made and no row meets it.
    """
    rows = list(sheet.rows)
    if field_id is not None:
        rows = _with_id(rows, field_id)
    if attribute is not None:
        rows = _with_attribute(sheet, rows, attribute)
    wanted = [str(field_id)] if field_id is not None else []
    wanted += [f"{attribute[0]} = {attribute[1]}"] if attribute else []
    if wanted and not rows:
        raise FileError(
            f"No {noun} of {sheet.label} answers to {' and '.join(wanted)}.",
            f"It holds {len(sheet.rows)}; {_first_ids(sheet.rows)}.",
            "Choose one of these.",
        )
    return rows


def _with_id(rows: list[Row], field_id: str | int) -> list[Row]:
    """Take the rows with an id; the first column that knows it decides."""
    found = [row for row in rows if _same(row.given_id, field_id)]
    for name in _ID_COLUMNS:
        found = found or [row for row in rows if _same(row.column(name), field_id)]
    return found


def _with_attribute(sheet: Sheet, rows: list[Row], attribute: tuple[str, object]) -> list[Row]:
    column, value = attribute
    columns = {key for row in sheet.rows for key in row.properties}
    if column.casefold() not in {key.casefold() for key in columns}:
        raise FileError(
            f"{sheet.label} has no column '{column}'.",
            f"Its columns are: {', '.join(sorted(columns)) or 'none'}.",
            "Choose one of these.",
        )
    return [row for row in rows if _same(row.column(column), value)]


def _same(value: object, wanted: object) -> bool:
    """Compare as text, and as numbers where the column holds numbers: 7 is 7.0."""
    if value is None:
        return False
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return str(value).strip() == str(wanted).strip() or value == wanted


def _first_ids(rows: Sequence[Row]) -> str:
    names = [row.label(row.number or "without a name") for row in rows[:5]]
    return f"the first are: {', '.join(names)}"


def several(sheet: Sheet, rows: Sequence[Row]) -> FileError:
    """Say that a choice leaves several fields, and which come first."""
    return FileError(
        f"{sheet.label} leaves a choice of {len(rows)} fields; {_first_ids(rows)}.",
        "A layout is for one field.",
        "Choose one by its id, or by a column and its value.",
    )
