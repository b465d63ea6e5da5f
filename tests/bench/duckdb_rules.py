"""The twenty rules in DuckDB: one query over an Arrow table, look-ups as joins with small tables that list every key."""

import arrays
import duckdb
import inventory
import numpy as np
import pyarrow as pa
import sql

QUERY = f"""
WITH looked_up AS (
 SELECT i.*, t.a AS at_terminals, c.a * f.factor * j.factor AS derated, s.a AS small, r.lowest, r.highest, o.a AS cord, m.cmil,
  g.size AS ground,
  CASE WHEN c.a * f.factor * j.factor <= t.a THEN c.a * f.factor * j.factor
       WHEN c.a * f.factor * j.factor > t.a THEN t.a END AS lower
 FROM circuits i
  LEFT JOIN ampacity t ON t.size = i.size AND t.material = i.material AND t.rating = i.terminals
  LEFT JOIN ampacity c ON c.size = i.size AND c.material = i.material AND c.rating = i.insulation
  LEFT JOIN correction f ON f.rating = i.insulation AND f.ambient = i.ambient
  LEFT JOIN adjustment j ON j.conductors = i.conductors
  LEFT JOIN small s ON s.size = i.size AND s.material = i.material
  LEFT JOIN receptacles r ON r.breaker = i.breaker
  LEFT JOIN cord_load o ON o.receptacle = i.receptacle
  LEFT JOIN circular_mils m ON m.size = i.size
  LEFT JOIN grounding g ON g.material = i.material AND g.breaker = i.breaker),
rated AS (SELECT *, CASE {" ".join(f"WHEN lower <= {a:g} THEN {a:g}" for a in arrays.standard[:-1])} END AS rating FROM looked_up)
SELECT {", ".join(sql.verdicts("::UTINYINT"))} FROM rated
"""


def listed(array, value, *keys):
    """Every cell of an array as a row: its keys, then its value."""
    at = np.argwhere(~np.isnan(array))
    columns = {key: at[:, k].astype("i4") for k, key in enumerate(keys)}
    return pa.table({**columns, value: array[tuple(at.T)]})


def prepare(directory, rows):
    connection = duckdb.connect()
    connection.execute("SET threads = 1")
    tables = {
        "ampacity": listed(arrays.ampacity, "a", "material", "rating", "size"),
        "adjustment": listed(arrays.adjustment, "factor", "conductors"),
        "small": listed(arrays.small, "a", "material", "size"),
        "circular_mils": listed(arrays.circular_mils, "cmil", "size"),
        "cord_load": listed(arrays.cord_load, "a", "receptacle"),
        "grounding": listed(arrays.grounding, "size", "material", "breaker"),
        "correction": listed(arrays.correction, "factor", "rating", "shifted"),
        "lowest": listed(arrays.lowest, "lowest", "breaker"),
        "highest": listed(arrays.highest, "highest", "breaker"),
    }
    for name, table in tables.items():
        connection.register("given", table)
        connection.execute(f"CREATE TABLE {name} AS SELECT * FROM given")
    connection.execute("ALTER TABLE correction RENAME shifted TO ambient")
    connection.execute("UPDATE correction SET ambient = ambient - 128")
    connection.execute("CREATE TABLE receptacles AS SELECT breaker, lowest, highest FROM lowest JOIN highest USING (breaker)")
    connection.register("given", inventory.arrow(directory, rows))
    # Raw doubles, like the others: a float times a decimal constant would else be a float.
    connection.execute("CREATE TABLE circuits AS SELECT * REPLACE (load::DOUBLE AS load, length::DOUBLE AS length) FROM given")
    return connection


def check(connection):
    table = connection.sql(QUERY).to_arrow_table()
    return [column.to_numpy() for column in table.columns]


if __name__ == "__main__":
    inventory.run("duckdb", prepare, check)
