"""
Task data as a reader in another language has them: `isoxml` of the npm registry, under node.

It shares no line with what writes here or with the other reader. Where node or the package is not
installed the tests skip; `npm install --global isoxml` installs it, or `NODE_PATH` says where.
"""

import json
import os
import shutil
import subprocess
import zipfile
from functools import cache

import numpy as np
import pytest
from lxml.etree import parse as fromfile
from sample_layouts import STRIPS, paper_layout, sample_layout

from geolayout.appraisal.cautions import cautions
from geolayout.handover.files.rateground import operation_rates
from geolayout.handover.taskdata.folder import ASKED_FOLDERS, FOLDERS, write_taskdata

VERSIONS = (*FOLDERS, *ASKED_FOLDERS)

SCRIPT = """
const { ISOXMLManager } = require('isoxml')
const { readFileSync } = require('fs')
const rates = zone => (zone.attributes.ProcessDataVariable || []).map(one =>
  [one.attributes.ProcessDataDDI, one.attributes.ProcessDataValue,
   one.attributes.ProductIdRef.entity.attributes.ProductDesignator])
const told = task => ({
  name: task.attributes.TaskDesignator,
  zones: (task.attributes.TreatmentZone || []).map(zone => ({
    code: zone.attributes.TreatmentZoneCode,
    polygons: (zone.attributes.PolygonTreatmentZoneonly || []).length,
    rates: rates(zone) })),
  grids: (task.attributes.Grid || []).map(grid => ({
    kind: grid.attributes.GridType,
    columns: grid.attributes.GridMaximumColumn,
    rows: grid.attributes.GridMaximumRow,
    data: Buffer.from(grid.binaryData).toString('hex'),
    named: grid.getAllReferencedTZNCodes() })),
  groups: (task.attributes.GuidanceAllocation || []).map(one =>
    one.attributes.GuidanceGroupIdRef.entity.attributes.GuidanceGroupDesignator) })
const manager = new ISOXMLManager()
const medium = new Uint8Array(readFileSync(process.argv[2]))
manager.parseISOXMLFile(medium, 'application/zip').then(() => {
  const all = manager.rootElement.attributes
  console.log(JSON.stringify({
    warnings: manager.getWarnings(),
    fields: all.Partfield.map(one => [one.attributes.PartfieldDesignator,
      (one.attributes.PolygonnonTreatmentZoneonly || []).length,
      (one.attributes.GuidanceGroup || []).length, (one.attributes.LineString || []).length]),
    crops: all.CropType.map(one => [one.attributes.CropTypeDesignator,
      (one.attributes.CropVariety || []).map(v => v.attributes.CropVarietyDesignator)]),
    tasks: all.Task.map(told) }))
})
"""


def run(*command, modules=None):
    """Run a program to its end, with a folder in which node looks for packages."""
    env = os.environ if modules is None else {**os.environ, "NODE_PATH": modules}
    return subprocess.run(command, check=False, capture_output=True, text=True, env=env)


@cache
def node_modules():
    """Return the folder in which node finds the reader, or skip."""
    if shutil.which("node") is None:
        pytest.skip("node is not installed")
    folder = os.environ.get("NODE_PATH")
    if folder is None and shutil.which("npm") is not None:
        folder = run("npm", "root", "--global").stdout.strip()
    if run("node", "-e", "require('isoxml')", modules=folder or "").returncode:
        pytest.skip("the npm package isoxml is not installed where node looks")
    return folder or ""


@cache
def handed(folder, version):
    """Zip a folder as it lies on a medium and read it with the other reader."""
    inner, zipped, script = folder / version / "TASKDATA", folder / "medium.zip", folder / "read.js"
    with zipfile.ZipFile(zipped, "w") as archive:
        for path in sorted(inner.iterdir()):
            archive.write(path, f"TASKDATA/{path.name}")
    script.write_text(SCRIPT)
    done = run("node", str(script), str(zipped), modules=node_modules())
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


SPRAYED = STRIPS + (
    '[[machine]]\nname = "sprayer"\nworking_width = 24.0\n'
    '[[operation]]\nname = "spray"\nmachine = "sprayer"\nover = "block"\nlitres_per_ha = 200.0\n'
)


@cache
def layout_of(name):
    return paper_layout(SPRAYED) if name == "sprayed" else sample_layout(name)


@pytest.fixture(scope="module", params=["pond_piece", "church_close", "slough_quarter", "sprayed"])
def written(request, tmp_path_factory):
    node_modules()
    layout = layout_of(request.param)
    folder = tmp_path_factory.mktemp(request.param)
    write_taskdata(layout, cautions(layout), operation_rates(layout), folder, ASKED_FOLDERS)
    return layout, folder


@pytest.mark.parametrize("version", VERSIONS)
def test_it_reads_them_without_a_warning_and_finds_field_crops_and_tasks(written, version):
    layout, folder = written
    got = handed(folder, version)
    assert got["warnings"] == []
    root = fromfile(str(folder / version / "TASKDATA" / "TASKDATA.XML")).getroot()
    ((name, areas, groups, lines),) = got["fields"]
    assert name == layout.field.name
    counted = [len(root.findall(f"PFD/{tag}")) for tag in ("PLN", "GGP", "LSG")]
    assert [areas, groups, lines] == counted
    assert (groups > 0) == ("_4" in version)
    assert got["crops"] == [
        [crop.get("B"), [one.get("B") for one in crop.iter("CVT")]] for crop in root.iter("CTP")
    ]
    assert [task["name"] for task in got["tasks"]] == [one.get("B") for one in root.iter("TSK")]


@pytest.mark.parametrize("version", VERSIONS)
def test_it_finds_the_rates_of_every_zone(written, version):
    """Whole numbers of the dictionary: 10 plants, 0.001 seeds/m2, 0.01 kg/ha and 0.0001 l/ha."""
    layout, folder = written
    got = handed(folder, version)
    steps = {"plants/ha": 0.1, "seeds/m2": 1000.0, "kg/ha": 100.0, "l/ha": 10_000.0}
    tasks = [task for task in got["tasks"] if task["zones"]]
    for task, one in zip(tasks, operation_rates(layout), strict=True):
        counts = [steps[product.unit] for product in one.products]
        zones = [one.zones[-1], *one.zones[:-1]]
        meant = [[round(r * k) for r, k in zip(z.rate, counts, strict=True)] for z in zones]
        told = [[value for _, value, _ in zone["rates"]] for zone in task["zones"]]
        if not task["grids"]:
            assert told == meant
            drawn = [zone["polygons"] > 0 for zone in task["zones"]]
            assert drawn == [False, *[True] * (len(told) - 1)]
            continue
        (grid,) = task["grids"]
        raw = bytes.fromhex(grid["data"])
        cells = grid["columns"] * grid["rows"]
        if version.endswith("_codes"):
            codes = np.frombuffer(raw, dtype=np.uint8)
            assert (grid["kind"], len(codes), told) == ("1", cells, meant)
            assert set(grid["named"]) == set(codes.tolist()) <= set(range(len(meant)))
        else:
            values = np.frombuffer(raw, dtype="<i4").reshape(cells, -1)
            assert (grid["kind"], told) == ("2", meant[:1])
            assert np.unique(values, axis=0).tolist() == sorted(meant)
