"""The inventory of the yardstick for the Python programs, and how one of them tells its result."""

import json
import resource
import sys
import time
from pathlib import Path

import numpy as np

COLUMNS = {
    "voltage": "i2", "voltage_to_ground": "i2", "phases": "u1", "breaker": "i2", "receptacle": "i2", "size": "u1",
    "material": "u1", "insulation": "u1", "terminals": "u1", "ambient": "i1", "conductors": "u1", "load": "f4",
    "continuous": "u1", "location": "u1", "occupancy": "u1", "sink": "f4", "gfci": "u1", "individual": "u1",
    "length": "f4", "vehicle": "u1",
}
TRUTHS = ("continuous", "gfci", "individual", "vehicle")


def read(directory, rows):
    """Values and masks of what is known, by column."""
    values, known = {}, {}
    for name, kind in COLUMNS.items():
        values[name] = np.fromfile(Path(directory) / f"{name}.bin", kind, rows)
        bits = np.fromfile(Path(directory) / f"{name}.known", np.uint8, (rows + 7) // 8)
        known[name] = np.unpackbits(bits, bitorder="little")[:rows].astype(bool)
    return values, known


def arrow(directory, rows):
    """The same as an Arrow table; truths are booleans."""
    import pyarrow as pa

    values, known = read(directory, rows)
    columns = {name: pa.array(v != 0 if name in TRUTHS else v, mask=~known[name]) for name, v in values.items()}
    return pa.table(columns)


def checksum(verdicts):
    """FNV-1a over all rows of rule 1, then of rule 2, … (see inventory.h)."""
    data = b"".join(np.ascontiguousarray(v, np.uint8).tobytes() for v in verdicts)
    mask, prime, value = (1 << 64) - 1, 1099511628211, 1469598103934665603
    for byte in data:
        value = (value ^ byte) * prime & mask
    return f"{value:016x}"


def run(name, prepare, check):
    """PROGRAM DIRECTORY ROWS RUNS: `prepare(directory, rows)` is not timed, `check(prepared)` is and gives 20 columns of verdicts."""
    directory, rows, runs = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    prepared = prepare(directory, rows)
    times = []
    for _ in range(runs + 1):
        begin = time.process_time()
        verdicts = check(prepared)
        times.append(time.process_time() - begin)
    median = sorted(times[1:])[len(times[1:]) // 2]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"name": name, "rows": rows, "ns_per_row": round(median / rows * 1e9, 3),
                      "checksum": checksum(verdicts), "peak_mb": round(peak, 1)}))
