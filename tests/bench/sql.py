"""The twenty rules in SQL, whose logic is three-valued as it stands.

Usage: sql.py FILE writes the query for SQLite. DuckDB's differs in how it looks things up.
"""

import sys
from pathlib import Path

# (when, require), over the inventory and the columns that the looked-up part adds: at_terminals, derated, rating, small, lowest,
# highest, cord, cmil, ground.
RULES = [
    ("location IN (0,1,2,3,4,5,6,7) AND voltage >= 110 AND voltage <= 250 AND voltage_to_ground <= 150 AND receptacle > 0", "gfci"),
    ("receptacle > 0 AND receptacle <= 50 AND voltage_to_ground <= 150 AND sink <= 6", "gfci"),
    ("NOT (occupancy = 0) AND location IN (0,2,5,8,9) AND voltage_to_ground <= 150 AND ((phases = 1 AND receptacle > 0 AND"
     " receptacle <= 50) OR (phases = 3 AND receptacle > 0 AND receptacle <= 100))", "gfci"),
    ("continuous", "load * 1.25 <= breaker"),
    ("NOT continuous", "load <= breaker"),
    ("load > 0", "CASE WHEN continuous THEN load * 1.25 WHEN NOT continuous THEN load END <= at_terminals"),
    ("breaker > 0 AND breaker <= 800", "breaker <= rating"),
    ("conductors > 3 OR ambient > 30", "load <= derated"),
    ("size <= 2", "breaker <= small"),
    ("receptacle > 0 AND NOT individual", "receptacle >= lowest AND receptacle <= highest"),
    ("receptacle > 0 AND individual", "receptacle >= breaker"),
    ("receptacle > 0", "load <= cord"),
    ("length > 50 AND load > 0",
     "100 * CASE WHEN phases = 3 THEN 1.732e0 WHEN phases IS NOT NULL THEN 2e0 END * CASE WHEN material = 0 THEN 12.9e0 WHEN material"
     " IS NOT NULL THEN 21.2e0 END * load * length / (cmil * voltage) <= 3"),
    ("breaker <= 400", "size >= ground"),
    ("vehicle", "individual AND load * 1.25 <= breaker"),
    ("vehicle AND receptacle > 0 AND (location IN (1,2,11) OR NOT (occupancy = 0))", "gfci"),
    ("occupancy IN (0,3) AND receptacle > 0", "voltage_to_ground <= 125 OR (receptacle > 20 AND voltage <= 250)"),
    ("breaker <= 100", "terminals <= 60 OR (insulation >= 75 AND terminals <= 75)"),
    ("occupancy = 0 AND location IN (0,5,6) AND receptacle > 0", "breaker >= 20 AND (size >= 2 OR (size >= 1 AND material = 0))"),
    ("phases = 3 OR voltage > 250",
     "voltage IN (208,240,277,480) AND (voltage_to_ground < voltage OR voltage = 277) AND NOT (occupancy = 0 AND voltage > 250)"),
]


def verdicts(kind=""):
    """The twenty columns of a SELECT, each cast to `kind` if one is named."""
    for i, (when, require) in enumerate(RULES, 1):
        case = f"CASE WHEN NOT ({when}) THEN 2 WHEN ({require}) THEN 0 WHEN ({when}) AND NOT ({require}) THEN 1 ELSE 3 END"
        yield f"({case}){kind} AS r{i}"


def sqlite():
    columns = ",\n ".join(verdicts())
    return f"""WITH looked_up AS (
 SELECT i.*, t.a AS at_terminals, c.a
   * (SELECT factor FROM correction WHERE rating = i.insulation AND up_to >= i.ambient ORDER BY up_to LIMIT 1)
   * (SELECT factor FROM adjustment WHERE up_to >= i.conductors ORDER BY up_to LIMIT 1) AS derated,
  s.a AS small, r.lowest, r.highest, o.a AS cord, m.cmil,
  (SELECT size FROM grounding WHERE material = i.material AND up_to >= i.breaker ORDER BY up_to LIMIT 1) AS ground
 FROM inventory i
  LEFT JOIN ampacity t ON t.size = i.size AND t.material = i.material AND t.rating = i.terminals
  LEFT JOIN ampacity c ON c.size = i.size AND c.material = i.material AND c.rating = i.insulation
  LEFT JOIN small s ON s.size = i.size AND s.material = i.material
  LEFT JOIN receptacles r ON r.breaker = i.breaker
  LEFT JOIN cord_load o ON o.receptacle = i.receptacle
  LEFT JOIN circular_mils m ON m.size = i.size),
rated AS (SELECT *, (SELECT a FROM standard WHERE a >= min(derated, at_terminals) ORDER BY a LIMIT 1) AS rating FROM looked_up)
SELECT
 {columns}
FROM rated
"""


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(sqlite(), encoding="utf-8")
