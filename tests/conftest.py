"""What the tests share: the folder of shared makers on the path, and the real fields."""

import sys
from pathlib import Path

# Under import mode `importlib` a test file cannot see the files beside it by itself.
sys.path.insert(0, str(Path(__file__).parent))
