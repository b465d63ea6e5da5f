"""Writes docs/interview.md: the interview about the garage outlet, asked again with the answers that the page tells.

    python tests/reference/interview.py > build/interview.md && mv build/interview.md docs/interview.md

An answer that the page does not tell yet is given behind the command: "run.method at panels[0].circuits[0].runs[0] > emt".
"""

import re
import sys
from pathlib import Path

import groundrule

PAGE = Path(__file__).resolve().parents[2] / "docs" / "interview.md"
BOOKS = ("nec-2023", "nec-2020", "nec-2017+tia-17-2")
LINE = re.compile(r"^ {5}(\S+) at (\S+) > (.+)$", re.MULTILINE)

Turn = tuple[str, str, str, str]  # question, fact, item, answer


class NoAnswer(Exception):
    """The page tells no answer to what is asked."""


def answers_in(text: str) -> dict[tuple[str, str], str]:
    return {(fact, item): answer for fact, item, answer in LINE.findall(text)}


def interviewed(name: str, answers: dict[tuple[str, str], str]) -> tuple[list[Turn], dict]:
    """All that is asked from an empty job on, and the job that it ends with."""
    interview = groundrule.Interview(groundrule.open_book(name), {}, outline=True)
    turns: list[Turn] = []
    while (asked := interview.question) is not None:
        answer = answers.get((asked.fact, asked.item))
        if answer is None:
            raise NoAnswer(f"{name}: {asked.fact} at {asked.item}: {asked.question}")
        turns.append((asked.question, asked.fact, asked.item, answer))
        interview.answer(answer)
    return turns, interview.job()


def fields(name: str, job: dict) -> int:
    """How many questions it would be to ask every field of every item of a job, and how many items each list has."""
    schema = groundrule.open_book(name).schema()

    def below(value: dict, shape: dict) -> int:
        shape = schema["$defs"][shape["$ref"].rsplit("/", 1)[1]] if "$ref" in shape else shape
        count = 0
        for key, inner in shape["properties"].items():
            if key in ("id", "note", "assumed", "complete"):
                continue
            count += 1
            if inner.get("type") == "array":
                count += sum(below(item, inner["items"]) for item in value.get(key, []))
        return count

    return below(job, schema)


def turns_text(turns: list[Turn], first: int = 1) -> str:
    return "".join(
        f"{number:3}. {question}\n     {fact} at {item} > {answer}\n"
        for number, (question, fact, item, answer) in enumerate(turns, first)
    )


def written(answers: dict[tuple[str, str], str]) -> str:
    told = {name: interviewed(name, answers) for name in BOOKS}
    turns, job = told[BOOKS[0]]
    findings = groundrule.open_book(BOOKS[0]).check(job)
    known = {(fact, item) for _, fact, item, _ in turns}
    besides = {(fact, item): (question, fact, item, answer) for name in BOOKS[1:] for question, fact, item, answer in told[name][0]
               if (fact, item) not in known}  # fmt: skip
    violated = "".join(f"- {f.citation}, {f.title}, at `{f.item}`\n" for f in findings.violations)
    table = "".join(
        f"| {name} | {len(told[name][0])} | {fields(name, told[name][1])} | {len(groundrule.open_book(name).check(told[name][1]).violations)} |\n"
        for name in BOOKS
    )
    return f"""# An interview about a garage outlet

Written by `tests/reference/interview.py` from the answers on this page; a test asks the same again, and fails if it is not current.
The scenario is invented, and has faults on purpose: a charging outlet in the garage of a one-family dwelling, 8/3 NM-B on a 50 A breaker.

`groundrule ask --book nec-2023 --outline --out job.json` begins with an empty job. It asks what work it is, what the building is, and
what is there, from the panel down to the box; lists for whose items no rule can bind are not asked for. Then it asks for facts: what
decides most for the effort of finding it out comes first, and the interview stays with the item at hand while that is worth half as
much as the best. Below, each question is followed by the fact, the item and the answer.

```
{turns_text(turns)}```

Then nothing is left to ask, and no finding is open for want of a fact. It violates:

{violated}
## How many questions

| book | asked | all fields and lists of the same items | violated |
|---|---|---|---|
{table}
What the earlier editions ask beside that:

```
{turns_text(list(besides.values()))}```
"""


def main() -> int:
    answers = answers_in(PAGE.read_text(encoding="utf-8") if PAGE.exists() else "")
    answers.update(answers_in("".join(f"     {line}\n" for line in sys.argv[1:])))
    try:
        sys.stdout.write(written(answers))
    except NoAnswer as missing:
        sys.stderr.write(f"no answer to {missing}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
