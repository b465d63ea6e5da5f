"""Files that the command writes are there whole or as they were, whenever it is ended."""

import resource
import shutil
import signal
import subprocess
from pathlib import Path

import pytest

COMMAND = shutil.which("groundrule")
pytestmark = pytest.mark.skipif(COMMAND is None, reason="the command is not installed")

RULES = Path(__file__).parents[2] / "rulesets/amendments/harbor-city-2025.rules"
JOB = Path(__file__).parents[2] / "docs/examples/garage-outlet.json"


def run_with_room_for(size: int, killed: bool, *arguments: str, told: str = "") -> int:
    """The command, in a process that may write so many bytes to a file: it is killed by the one
    after, or has the write refused. Gives its exit status, of a signal the negative."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
        signal.signal(signal.SIGXFSZ, signal.SIG_DFL if killed else signal.SIG_IGN)

    return subprocess.run([COMMAND, *arguments], input=told, text=True, capture_output=True,
                          preexec_fn=limit, check=False).returncode


@pytest.mark.parametrize("killed", [True, False])
@pytest.mark.parametrize("size", [0, 1, 500])
def test_a_rule_file_is_laid_out_whole_or_stays(tmp_path: Path, size: int, killed: bool) -> None:
    untidy = RULES.read_text(encoding="utf-8").replace("\n  ", "\n     ")
    path = tmp_path / "city.rules"
    path.write_text(untidy, encoding="utf-8")
    assert run_with_room_for(size, killed, "format", str(path)) == (-signal.SIGXFSZ if killed else 2)
    assert path.read_text(encoding="utf-8") == untidy
    if not killed:
        assert list(tmp_path.iterdir()) == [path]
    assert run_with_room_for(1 << 20, killed, "format", str(path)) == 0
    assert path.read_text(encoding="utf-8") not in ("", untidy)
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("killed", [True, False])
def test_an_interview_leaves_the_job_whole_or_as_it_was(tmp_path: Path, killed: bool) -> None:
    path = tmp_path / "job.json"
    path.write_text("before", encoding="utf-8")
    wanted = ("ask", str(JOB), "--book", "nec-2020", "--out", str(path))
    assert run_with_room_for(100, killed, *wanted) == (-signal.SIGXFSZ if killed else 2)
    assert path.read_text(encoding="utf-8") == "before"
    assert run_with_room_for(1 << 20, killed, *wanted) == 0
    assert path.read_text(encoding="utf-8").startswith("{")
