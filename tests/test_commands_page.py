"""The page of the commands: every example runs as it stands."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PAGE = (ROOT / "docs" / "commands.md").read_text("utf-8")
BLOCKS = re.findall(r"^```sh\n(.*?)^```$", PAGE, re.M | re.S)
EXAMPLES = [line for block in BLOCKS for line in block.splitlines()]


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_runs(example, tmp_path):
    shutil.copytree(ROOT / "sample_fields", tmp_path / "sample_fields")
    command = example.replace("geolayout", f'"{sys.executable}" -m geolayout.apps.cli', 1)
    subprocess.run(["bash", "-c", command], cwd=tmp_path, check=True, capture_output=True)
