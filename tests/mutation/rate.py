"""Holds the share of mutants that the tests of a shipped book kill, and the page that gives the reasons of the others.

python3 tests/mutation/rate.py build/release/bin/groundrule nec-2023 95

Ends with 1 if it is less than the percentage given, if a survivor is in no class, or if rulesets/SURVIVORS.md is not current.
"""

import sys

import survivors


def main(command: str, book: str, least: float) -> int:
    told = survivors.told(command, book)
    assert told["killed"] + len(told["survivors"]) == told["mutants"] > 0
    share = 100 * told["killed"] / told["mutants"]
    print(f"{book}: {told['killed']} of {told['mutants']} mutants killed, {share:.2f} percent; {least} are asked for")
    without = survivors.unexcused(told["survivors"])
    if without:
        print("in no class of tests/mutation/reasons.csv: write a case that kills it, or give its reason:", *without, sep="\n")
    current = survivors.counts(told) == survivors.column_of_page(book)
    if not current:
        print("rulesets/SURVIVORS.md is not current: run tests/mutation/survivors.py")
    return 0 if share >= least and not without and current else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2], float(sys.argv[3])))
