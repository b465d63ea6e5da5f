"""Holds the share of mutants that the tests of a shipped book kill.

python3 tests/mutation/rate.py build/release/bin/groundrule nec-2023 95

Ends with 1 and the first survivors if it is less than the percentage given.
"""

import json
import subprocess
import sys


def main(command: str, book: str, least: float) -> int:
    done = subprocess.run(
        [command, "mutate", book, "--format", "json"], capture_output=True, encoding="utf-8", check=False
    )
    if done.returncode not in (0, 1):
        print(done.stderr, file=sys.stderr)
        return 1
    told = json.loads(done.stdout)
    assert told["killed"] + len(told["survivors"]) == told["mutants"] > 0
    share = 100 * told["killed"] / told["mutants"]
    print(f"{book}: {told['killed']} of {told['mutants']} mutants killed, {share:.2f} percent; {least} are asked for")
    if share >= least:
        return 0
    for s in told["survivors"][:50]:
        print(f"{s['file']}:{s['line']}:{s['column']}: {s['in']}: {s['kind']}: {s['from']} -> {s['to']}")
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2], float(sys.argv[3])))
