"""The package passes the strictest checks of its types."""

import subprocess
import sys
from pathlib import Path

import pytest


def test_mypy_strict(root: Path) -> None:
    pytest.importorskip("mypy", reason="the extra `test` has mypy")
    checked = subprocess.run(
        [sys.executable, "-m", "mypy", "--config-file", root / "pyproject.toml"]
        + ["--cache-dir", root / "build/mypy_cache", "-p", "groundrule"],
        cwd=root / "bindings/python",
        capture_output=True,
        text=True,
    )
    assert checked.returncode == 0, checked.stdout
