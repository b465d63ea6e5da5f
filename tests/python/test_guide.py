"""The guide docs/auditing.md runs from top to bottom."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

BLOCK = re.compile(r"^```(python|sh)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def test_every_block_runs(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    blocks = BLOCK.findall((root / "docs/auditing.md").read_text(encoding="utf-8"))
    names: dict[str, object] = {}
    ran = 0
    for kind, text in blocks:
        if kind == "python":
            exec(compile(text, "docs/auditing.md", "exec"), names)
            ran += 1
            continue
        for line in text.replace("\\\n", " ").splitlines():
            words = shlex.split(line, comments=True)
            if words[:2] == ["python", "-m"]:
                subprocess.run([sys.executable, *words[1:]], check=True)
                ran += 1
    assert ran >= 8
