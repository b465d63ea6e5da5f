"""The invented figures of the twenty rules, for every program of the yardstick.

Usage: tables.py DIRECTORY writes tables.h, tables.lua and tables.sql there. twenty.rules holds the same figures in the rule language.
"""

import sys
from pathlib import Path

# [material: copper, aluminum][rating: 60, 75, 90 °C][size, from 14 AWG to 750 kcmil], amperes
AMPACITY = [
    [
        [15, 20, 30, 40, 55, 70, 85, 95, 110, 125, 145, 165, 195, 215, 240, 260, 280, 320, 350, 400],
        [20, 25, 35, 50, 65, 85, 100, 115, 130, 150, 175, 200, 230, 255, 285, 310, 335, 380, 420, 475],
        [25, 30, 40, 55, 75, 95, 115, 130, 145, 170, 195, 225, 260, 290, 320, 350, 380, 430, 475, 535],
    ],
    [
        [None, 15, 25, 35, 40, 55, 65, 75, 85, 100, 115, 130, 150, 170, 195, 210, 225, 260, 285, 320],
        [None, 20, 30, 40, 50, 65, 75, 90, 100, 120, 135, 155, 180, 205, 230, 250, 270, 310, 340, 385],
        [None, 25, 35, 45, 55, 75, 85, 100, 115, 135, 150, 175, 205, 230, 260, 280, 305, 350, 385, 435],
    ],
]
RATINGS = [60, 75, 90]
CIRCULAR_MILS = [4110, 6530, 10380, 16510, 26240, 41740, 52620, 66360, 83690, 105600, 133100, 167800, 211600, 250000, 300000,
                 350000, 400000, 500000, 600000, 750000]
# Rows are upper bounds of the ambient temperature, °C; beyond the last there is no factor.
CORRECTION_UP_TO = [10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60]
CORRECTION = [
    [1.29, 1.22, 1.15, 1.08, 1.00, 0.91, 0.82, 0.71, 0.58, 0.41, None],
    [1.20, 1.15, 1.11, 1.05, 1.00, 0.94, 0.88, 0.82, 0.75, 0.67, 0.58],
    [1.15, 1.12, 1.08, 1.04, 1.00, 0.96, 0.91, 0.87, 0.82, 0.76, 0.71],
]
ADJUSTMENT_UP_TO = [3, 6, 9, 20, 30, 40, 255]
ADJUSTMENT = [1.0, 0.8, 0.7, 0.5, 0.45, 0.40, 0.35]
STANDARD = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600,
            700, 800]
SMALL = [[15, 20, 30], [None, 15, 25]]  # [material][size 0 … 2]
RECEPTACLES = {15: (15, 15), 20: (15, 20), 30: (30, 30), 40: (40, 50), 50: (50, 50)}
CORD_LOAD = {15: 12, 20: 16, 30: 24, 50: 40, 60: 48}
GROUNDING_UP_TO = [15, 20, 60, 100, 200, 300, 400]
GROUNDING = [[0, 1, 2, 3, 4, 5, 6], [1, 2, 3, 4, 5, 7, 8]]  # [material] size


def braces(value):
    """A C++ initializer; -1 is no entry."""
    if isinstance(value, (list, tuple)):
        return "{" + ", ".join(braces(v) for v in value) + "}"
    return "-1" if value is None else repr(value)


def header():
    yield "// Written by tables.py. -1: no entry."
    yield "#pragma once"
    yield "namespace tables {"
    yield f"inline constexpr double ampacity[2][3][20] = {braces(AMPACITY)};"
    yield f"inline constexpr double circular_mils[20] = {braces(CIRCULAR_MILS)};"
    yield f"inline constexpr int correction_up_to[11] = {braces(CORRECTION_UP_TO)};"
    yield f"inline constexpr double correction[3][11] = {braces(CORRECTION)};"
    yield f"inline constexpr int adjustment_up_to[7] = {braces(ADJUSTMENT_UP_TO)};"
    yield f"inline constexpr double adjustment[7] = {braces(ADJUSTMENT)};"
    yield f"inline constexpr int standard[{len(STANDARD)}] = {braces(STANDARD)};"
    yield f"inline constexpr double small[2][3] = {braces(SMALL)};"
    yield f"inline constexpr int receptacles[5][3] = {braces([(k, *v) for k, v in RECEPTACLES.items()])};"
    yield f"inline constexpr int cord_load[5][2] = {braces(list(CORD_LOAD.items()))};"
    yield f"inline constexpr int grounding_up_to[7] = {braces(GROUNDING_UP_TO)};"
    yield f"inline constexpr int grounding[2][7] = {braces(GROUNDING)};"
    yield "} // namespace tables"


def lua_list(values):
    return "{" + ", ".join("nil" if v is None else repr(v) for v in values) + "}"


def lua_map(pairs):
    return "{" + ", ".join(f"[{k}] = {v!r}" for k, v in pairs if v is not None) + "}"


def lua():
    yield "-- Written by tables.py."
    yield "local T = {ampacity = {}, correction = {}, small = {}, grounding = {}}"
    for m in range(2):
        yield f"T.ampacity[{m}] = {{}}"
        for k, rating in enumerate(RATINGS):
            yield f"T.ampacity[{m}][{rating}] = {lua_map(enumerate(AMPACITY[m][k]))}"
        yield f"T.small[{m}] = {lua_map(enumerate(SMALL[m]))}"
        yield f"T.grounding[{m}] = {lua_list(GROUNDING[m])}"
    for k, rating in enumerate(RATINGS):
        yield f"T.correction[{rating}] = {lua_list(CORRECTION[k])}"
    yield f"T.circular_mils = {lua_map(enumerate(CIRCULAR_MILS))}"
    yield f"T.correction_up_to = {lua_list(CORRECTION_UP_TO)}"
    yield f"T.adjustment_up_to = {lua_list(ADJUSTMENT_UP_TO)}"
    yield f"T.adjustment = {lua_list(ADJUSTMENT)}"
    yield f"T.standard = {lua_list(STANDARD)}"
    yield f"T.receptacle_from = {lua_map((k, v[0]) for k, v in RECEPTACLES.items())}"
    yield f"T.receptacle_to = {lua_map((k, v[1]) for k, v in RECEPTACLES.items())}"
    yield f"T.cord_load = {lua_map(CORD_LOAD.items())}"
    yield f"T.grounding_up_to = {lua_list(GROUNDING_UP_TO)}"
    yield "return T"


def rows_of_tables():
    """Every table as (name, columns, primary key, rows), for SQL and data frames."""
    yield ("ampacity", ("size", "material", "rating", "a"), 3,
           [(i, m, t, AMPACITY[m][k][i]) for m in range(2) for k, t in enumerate(RATINGS) for i in range(20)
            if AMPACITY[m][k][i] is not None])
    yield "circular_mils", ("size", "cmil"), 1, list(enumerate(CIRCULAR_MILS))
    yield ("correction", ("rating", "up_to", "factor"), 2,
           [(t, h, f) for k, t in enumerate(RATINGS) for h, f in zip(CORRECTION_UP_TO, CORRECTION[k])])
    yield "adjustment", ("up_to", "factor"), 1, list(zip(ADJUSTMENT_UP_TO, ADJUSTMENT))
    yield "standard", ("a",), 1, [(a,) for a in STANDARD]
    yield ("small", ("size", "material", "a"), 2,
           [(i, m, SMALL[m][i]) for m in range(2) for i in range(3) if SMALL[m][i] is not None])
    yield "receptacles", ("breaker", "lowest", "highest"), 1, [(k, *v) for k, v in RECEPTACLES.items()]
    yield "cord_load", ("receptacle", "a"), 1, list(CORD_LOAD.items())
    yield ("grounding", ("material", "up_to", "size"), 2,
           [(m, h, GROUNDING[m][j]) for m in range(2) for j, h in enumerate(GROUNDING_UP_TO)])


def sql():
    for name, columns, keys, rows in rows_of_tables():
        types = ", ".join(f"{c} {'REAL' if c == 'factor' else 'INTEGER'}" for c in columns)
        yield f"CREATE TABLE {name}({types}, PRIMARY KEY({', '.join(columns[:keys])}));"
        for row in rows:
            yield f"INSERT INTO {name} VALUES({', '.join('NULL' if v is None else repr(v) for v in row)});"


if __name__ == "__main__":
    target = Path(sys.argv[1])
    target.mkdir(parents=True, exist_ok=True)
    for file, lines in (("tables.h", header()), ("tables.lua", lua()), ("tables.sql", sql())):
        (target / file).write_text("\n".join(lines) + "\n", encoding="utf-8")
