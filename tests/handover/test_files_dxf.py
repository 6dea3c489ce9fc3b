"""DXF: without fault by its own auditor, and GDAL finds the same places in it."""

import os
import re
import subprocess
import sys
from functools import cache
from hashlib import sha256
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely
from sample_layouts import SAMPLES, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.dxf import dxf_bytes, grid_scale
from geolayout.handover.files.shapelayers import LAYERS, layers_of
from geolayout.land.frames.mapgrid import map_grid, utm_code


def grid_of(layout):
    frame = layout.field.frame
    return map_grid(utm_code(frame.lon, frame.lat))


@cache
def written(name):
    layout = sample_layout(name)
    return dxf_bytes(layout, layers_of(layout, cautions(layout)), grid_of(layout))


@pytest.fixture(scope="module", params=SAMPLES)
def drawing(request, tmp_path_factory):
    path = tmp_path_factory.mktemp("dxf") / f"{request.param}.dxf"
    path.write_bytes(written(request.param))
    return request.param, path


def test_nothing_is_wrong_with_it(drawing):
    name, path = drawing
    document = ezdxf.readfile(path)
    assert document.audit().errors == []
    assert (document.dxfversion, document.units) == ("AC1024", ezdxf.units.M)
    assert set(LAYERS) <= {layer.dxf.name for layer in document.layers}
    counts = len(document.modelspace().query('LWPOLYLINE[layer=="PASS"]'))
    layout = sample_layout(name)
    assert counts == len(layout.passes) + len(layout.rounds)


def test_gdal_finds_trees_and_hazards_where_they_are(drawing):
    name, path = drawing
    layout = sample_layout(name)
    table = pyogrio.read_dataframe(path, layer="entities")
    marks = [
        one.place for one in cautions(layout) if one.severity == "hazard" and one.place is not None
    ]
    for layer, xy in (("TREE", layout.trees.xy), ("HAZARD", np.array(marks).reshape(-1, 2))):
        mine = table[(table["Layer"] == layer) & table["Text"].isna()]
        found = shapely.get_coordinates(mine.geometry.array)
        meant = grid_of(layout).places(layout.field.frame.lonlat(xy)) if len(xy) else found
        assert np.allclose(found, meant, atol=0.0006)


def test_hazards_are_named_in_the_drawing(drawing):
    name, path = drawing
    layout = sample_layout(name)
    count = sum(one.severity == "hazard" and one.place is not None for one in cautions(layout))
    texts = ezdxf.readfile(path).modelspace().query('TEXT[layer=="HAZARD"]')
    assert [text.dxf.text.startswith("HAZARD ") for text in texts] == [True] * count


def test_the_drawing_says_its_grid_and_how_far_it_is_from_a_tape():
    # Pond Piece lies at 0.76 E, the middle of zone 31 is 3 E: 2.24 degrees, 152 km at 52.3 N.
    # Scale there: 0.9996 (1 + (152 / 6,384)^2 / 2) = 0.99988.
    layout = sample_layout("pond_piece")
    assert grid_scale(layout, grid_of(layout)) == pytest.approx(0.99988, abs=1e-5)
    text = written("pond_piece").decode()
    assert "EPSG:32631" in text
    assert re.search(r"100 m on the ground are 99\.98[89] m in this drawing\.", text)


DIGEST = """
import sys, hashlib
sys.path.insert(0, sys.argv[1])
from sample_layouts import sample_layout
from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.dxf import dxf_bytes
from geolayout.handover.files.shapelayers import layers_of
from geolayout.land.frames.mapgrid import map_grid, utm_code
layout = sample_layout("pond_piece")
grid = map_grid(utm_code(layout.field.frame.lon, layout.field.frame.lat))
drawn = dxf_bytes(layout, layers_of(layout, cautions(layout)), grid)
print(hashlib.sha256(drawn).hexdigest())
"""


def digest_with(seed):
    """Return the digest of a drawing made in a process of its own."""
    tests = str(Path(__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-c", DIGEST, tests],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def test_the_same_layout_gives_the_same_bytes():
    layout = sample_layout("pond_piece")
    again = dxf_bytes(layout, layers_of(layout, cautions(layout)), grid_of(layout))
    assert again == written("pond_piece")
    # Sets of words are gone through in another order in every process but with a fixed seed.
    assert {digest_with(seed) for seed in ("1", "4")} == {sha256(again).hexdigest()}
    assert ezdxf.options.write_fixed_meta_data_for_testing is False
