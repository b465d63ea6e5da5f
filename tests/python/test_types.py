"""The package passes the strictest checks of its types, and the examples in its docstrings run."""

import doctest
import importlib
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import groundrule


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


def test_examples_in_docstrings() -> None:
    attempted = 0
    for found in pkgutil.iter_modules(groundrule.__path__, "groundrule."):
        module = importlib.import_module(found.name)
        result = doctest.testmod(module, verbose=False)
        assert result.failed == 0, found.name
        attempted += result.attempted
    assert attempted >= 7
