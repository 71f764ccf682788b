"""Runs every check, in order, and stops at the first that fails: ``python tests/run.py [PYTEST OPTIONS]``."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent


def main() -> int:
    """The exit status of the first check that fails, else 0; pytest comes last, so that its summary is."""
    checks = [
        [BIN / "ruff", "check", "."],
        [BIN / "ruff", "format", "--check", "."],
        [sys.executable, "-m", "mypy", "callnotes"],
        [BIN / "lint-imports", "--no-logo"],
        [sys.executable, "-m", "pytest", *sys.argv[1:]],
    ]
    for check in checks:
        print("+", *(Path(check[0]).name, *check[1:]), flush=True)
        status = subprocess.run(check, cwd=ROOT, check=False).returncode
        if status:
            return status
    return 0


if __name__ == "__main__":
    sys.exit(main())
