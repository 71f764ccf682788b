import sys
from pathlib import Path

# At the end, not the front: a folder of the tests must never stand in for an installed package of its name.
sys.path += [str(Path(__file__).parent), str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "bench")]
