"""The page on seed: its plan is laid, and the order it prints is the order of that layout."""

import re
import shutil
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.handover.words.seed import machine_lines, order_lines
from geolayout.jobs.writing import write

PAGE = (Path(__file__).parents[2] / "docs" / "seed.md").read_text("utf-8")
(PLAN,) = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.S)
_, ORDER, MACHINE = re.findall(r"```text\n(.*?)```", PAGE, flags=re.S)


@pytest.fixture(scope="module")
def figures(tmp_path_factory):
    folder = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path_factory.mktemp("page") / "fields"))
    (folder / "plan.toml").write_text(PLAN, encoding="utf-8")
    return jobs.tell(jobs.lay(jobs.read(folder / "plan.toml"))).figures


def words(lines):
    return " ".join(" ".join(lines).split())


def test_the_order_of_the_page_is_the_order(figures):
    assert words(order_lines(figures.seed_order)) == words([ORDER])


def test_what_the_page_says_of_the_machine_is_so(figures):
    assert words(machine_lines(figures.sown_by)) == words([MACHINE])


def test_the_maize_of_the_page_by_hand(figures):
    maize = figures.seed_order.lines[0]
    ground = next(band for band in figures.crops if band.crop == "maize").band_m2 / 1e4
    seeds = ground * 80_000 / 0.90
    assert maize.seeds.low == maize.seeds.high == pytest.approx(seeds)
    assert maize.kg_ordered.low == pytest.approx(seeds * 0.3e-3 * 1.03)
    assert maize.packs == (-(-seeds * 1.03 // 50_000),) * 2


def test_a_folder_keeps_the_own_crops_and_orders_the_same_from_itself(tmp_path):
    folder = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path / "fields"))
    own = '[[crop]]\nname = "pea"\ntgw = { low = 190.0, high = 210.0 }\nseed = { spare = 4.0 }\n'
    (folder / "my_crops.toml").write_text(own, encoding="utf-8")
    plan = PLAN.replace("[field]", '[field]\ncrops = "my_crops.toml"')
    (folder / "plan.toml").write_text(plan, encoding="utf-8")
    job = jobs.resolve(jobs.read(folder / "plan.toml"))
    first = jobs.lay(job)
    write(job, first, tmp_path / "out")
    again = jobs.lay(jobs.read(tmp_path / "out" / "plan_resolved.toml"))
    order = jobs.tell(first).figures.seed_order
    peas = next(line for line in order.lines if line.crop == "peas")
    assert peas.spare == 4.0
    assert peas.kg.high / peas.kg.low == pytest.approx(210 / 190)
    assert jobs.tell(again).figures.seed_order == order
