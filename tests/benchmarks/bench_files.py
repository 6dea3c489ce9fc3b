"""GeoJSON out, against `json.dump` of one mapping a feature and against `geopandas.to_file`."""

import json
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from geopandas import GeoDataFrame
from made_land import blob, field_of, laid
from race import Race, Totals
from shapely.geometry import mapping

from geolayout.handover.files.vector import LINE_DECIMALS, write_geojson
from geolayout.handover.tables import ground_table, on_wgs84, rows_table, trees_table
from geolayout.layout.build import Layout

PLAN = """
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[pattern]]
name = "alleys"
bands = [
  { name = "A", width = 24.0, stand = "maize" },
  { name = "T", width = 3.0, trees = { in_row_spacing = 2.0 } },
]
"""

HECTARES = 100.0
"""Size of the land. [ha]"""

TABLES: dict[str, Callable[[Layout], GeoDataFrame]] = {
    "ground": ground_table,
    "rows": rows_table,
    "trees": trees_table,
}


def races() -> Iterator[Race]:
    """Yield the races of this module."""
    layout = laid(field_of(blob(HECTARES, 200)), PLAN)
    with tempfile.TemporaryDirectory() as folder:
        for name, table_of in TABLES.items():
            table = on_wgs84(table_of(layout), layout.field.frame)
            work = f"GeoJSON of {len(table):,} {name}"
            yield _race(table, Path(folder), work, _dump, 6)
            yield _race(table, Path(folder), f"{work}, to_file", _to_file, 2.5)


def _race(
    table: GeoDataFrame,
    folder: Path,
    work: str,
    plain: Callable[[GeoDataFrame, Path], None],
    aim: float,
) -> Race:
    """Race our writer against another, each into a file of its own."""
    own, other = folder / "ours.geojson", folder / "plain.geojson"

    def ours() -> Path:
        write_geojson(table, own, LINE_DECIMALS)
        return own

    def theirs() -> Path:
        plain(table, other)
        return other

    return Race(work, ours, theirs, _totals, _totals, aim)


def _dump(table: GeoDataFrame, path: Path) -> None:
    """Write one mapping a feature."""
    records = table.drop(columns="geometry").to_dict("records")
    features = [
        {"type": "Feature", "id": i, "properties": record, "geometry": mapping(shape)}
        for i, (record, shape) in enumerate(zip(records, table.geometry, strict=True))
    ]
    with path.open("w", encoding="utf-8") as sheet:
        json.dump({"type": "FeatureCollection", "features": features}, sheet)


def _to_file(table: GeoDataFrame, path: Path) -> None:
    """Write with the table's own method, as the standard has it."""
    table.to_file(path, driver="GeoJSON", RFC7946="YES")


def _totals(path: Path) -> Totals:
    """Count the features of a file, and the numbers in their coordinates."""
    features = json.loads(path.read_text(encoding="utf-8"))["features"]
    numbers = sum(_numbers(feature["geometry"]["coordinates"]) for feature in features)
    return {"features": len(features), "numbers": numbers}


def _numbers(coordinates: list) -> int:
    """Count the numbers in nested lists."""
    return sum(_numbers(one) if isinstance(one, list) else 1 for one in coordinates)
