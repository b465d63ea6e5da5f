"""How long an audit of a table takes, beside scripts of five clauses as an analyst would write them.

    python -m groundrule.synthetic --rows 10000000 --seed 1 --out outlets.parquet --columns outlets.toml
    for who in groundrule polars duckdb; do python tests/bench/audit_table.py $who outlets.parquet outlets.toml; done

Each run is a process of its own and prints seconds, the peak of resident memory, and what it counted. The two
scripts check five clauses only, take a missing cell for a pass, and look at no wrong cell; the audit checks the whole
book, tells what stays open, and finds the wrong cells. So the ratio says what completeness costs, not who is faster.
"""

import json
import resource
import sys
import time
from typing import Any

WET = ("GAR", "BATH", "KIT", "OUT", "LAUN", "BASE")
DWELLINGS = ("1F", "2F", "MF")


def by_groundrule(table: str, columns: str) -> dict[str, int]:
    import groundrule

    audit = groundrule.open_book("nec-2023").audit(table, columns=columns)
    counts = audit.counts().to_pylist()
    (rows,) = audit.row_counts().to_pylist()
    told = {rule["citation"]: rule["violates"] for rule in counts if rule["violates"]}
    return {"rules": len(counts), "rows that violate": rows["violates"], "problems": audit.problem_count, **told}


def by_polars(table: str, _: str) -> dict[str, int]:
    import polars as pl

    dwelling = pl.col("OCC").is_in(DWELLINGS)
    bound = pl.col("WORK") != "E"
    rules = {
        "210.8(A)": bound & dwelling & pl.col("PLACE").is_in(WET) & (pl.col("GFCI") == "N"),
        "210.8(B)": bound & ~dwelling & pl.col("PLACE").is_in(WET) & (pl.col("GFCI") == "N"),
        "406.9": bound & (pl.col("PLACE") == "OUT") & (pl.col("WR") == "N"),
        "406.12": bound & dwelling & pl.col("CONFIG").str.starts_with("5-") & (pl.col("TR") == "N"),
        "625.54": bound & (pl.col("SERVES") == "EV") & (pl.col("GFCI") == "N"),
    }
    group = pl.col("DISTRICT"), pl.col("ISSUED").dt.year().alias("year")
    frame = pl.scan_parquet(table).group_by(*group).agg(
        **{clause: rule.sum() for clause, rule in rules.items()}
    )  # fmt: skip
    found = frame.collect(engine="streaming")
    return {clause: int(found[clause].sum()) for clause in rules}


def by_duckdb(table: str, _: str) -> dict[str, int]:
    import duckdb

    wet = ", ".join(f"'{place}'" for place in WET)
    dwellings = ", ".join(f"'{use}'" for use in DWELLINGS)
    rules = {
        "210.8(A)": f"OCC IN ({dwellings}) AND PLACE IN ({wet}) AND GFCI = 'N'",
        "210.8(B)": f"OCC NOT IN ({dwellings}) AND PLACE IN ({wet}) AND GFCI = 'N'",
        "406.9": "PLACE = 'OUT' AND WR = 'N'",
        "406.12": f"OCC IN ({dwellings}) AND CONFIG LIKE '5-%' AND TR = 'N'",
        "625.54": "SERVES = 'EV' AND GFCI = 'N'",
    }
    sums = ", ".join(
        f"count(*) FILTER (WORK <> 'E' AND {rule}) AS \"{clause}\"" for clause, rule in rules.items()
    )
    duckdb.sql("SET threads = 2")
    found = duckdb.sql(
        f"SELECT DISTRICT, year(ISSUED) AS year, {sums} FROM read_parquet('{table}') GROUP BY ALL"
    )
    columns = found.fetchnumpy()
    return {clause: int(columns[clause].sum()) for clause in rules}


def main() -> None:
    who, table, columns = sys.argv[1:4]
    run: dict[str, Any] = {"groundrule": by_groundrule, "polars": by_polars, "duckdb": by_duckdb}
    begin, busy = time.monotonic(), time.process_time()
    counted = run[who](table, columns)
    seconds, busy = time.monotonic() - begin, time.process_time() - busy
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    told = {"who": who, "seconds": round(seconds, 2), "processor seconds": round(busy, 2)}
    print(json.dumps({**told, "peak MB": round(peak), **counted}))


if __name__ == "__main__":
    main()
