"""An invented inventory of receptacle outlets, for trying out audits: no row stands for a real one.

    python -m groundrule.synthetic --rows 100000 --seed 1 --out outlets.parquet --columns outlets.toml

The town, its districts and all figures are made up; shares are set by hand to look plausible (kitchens
and baths have more protected outlets, newer permits too), not taken from any survey. The same seed gives
the same rows, and a longer table begins with the shorter one. Cells are missing and wrong on purpose.
"""

import argparse
import datetime
import os
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from groundrule._output import written_whole
from groundrule._source import ROWS_AT_ONCE, arrow

LABEL = "synthetic: invented rows, none stands for a real outlet"

COLUMN_MAP = '''# How to read the invented inventory that groundrule.synthetic writes.
item = "receptacle"
id = "PERMIT"
unknown = ["?", "N/A"]

[groups]
district = "DISTRICT"
year = "ISSUED:year"

[assume]
"panel.work" = "existing"

[columns]
ISSUED = "job.permit_date"
OCC = {fact = "job.occupancy", values = {1F = "one_family_dwelling", 2F = "two_family_dwelling", MF = "multifamily_dwelling_unit", OTH = "other_than_dwelling"}}
WORK = {fact = "receptacle.work", values = {N = "new", R = "replaced", A = "altered", E = "existing"}}
PLACE = {fact = "receptacle.location", values = {GAR = "garage", BATH = "bathroom", KIT = "kitchen", OUT = "outdoors", LAUN = "laundry_area", BASE = "basement_unfinished", BED = "bedroom", LIV = "living_room", HALL = "hallway"}}
CONFIG = "receptacle.configuration"
SERVES = {fact = "receptacle.serves", values = {GEN = "general", CTR = "countertop", EV = "vehicle_charging", RNG = "range", DRY = "dryer"}}
GFCI = {fact = "receptacle.gfci", values = {A = "class_a", N = "none"}}
TR = {fact = "receptacle.tamper_resistant", values = {Y = "yes", N = "no"}}
WR = {fact = "receptacle.weather_resistant", values = {Y = "yes", N = "no"}}
MOIST = {fact = "receptacle.moisture", values = {D = "dry", P = "damp", W = "wet"}}
SINK_FT = {fact = "receptacle.sink_distance", unit = "ft"}
HEIGHT = {fact = "receptacle.height", unit = "in"}
SYSTEM = {fact = "circuit.system", values = {120 = "120 V, 1-phase, 2-wire", 240 = "240 V, 1-phase, 2-wire", 120/240 = "120/240 V, 1-phase, 3-wire"}}
BREAKER_A = {fact = "circuit.breaker", unit = "A"}
AFCI = {fact = "circuit.afci", values = {Y = "yes", N = "no"}}
ALONE = {fact = "circuit.individual", values = {Y = "yes", N = "no"}}
'''.replace("120/240 =", '"120/240" =')

DISTRICTS = ("Northgate", "Millrace", "Old Quay", "Lantern Hill", "Saltmarsh", "Weir Bank")

Codes = npt.NDArray[np.int64]
_PLACES = ("GAR", "BATH", "KIT", "OUT", "LAUN", "BASE", "BED", "LIV", "HALL")
_PLACE_SHARES = (0.06, 0.1, 0.18, 0.08, 0.04, 0.06, 0.26, 0.18, 0.04)
_PROTECTED = np.array((0.7, 0.92, 0.8, 0.85, 0.55, 0.5, 0.03, 0.03, 0.02))
# What is put there, the blades, the system, the breaker: by the kind of outlet.
_KINDS = (
    ("GEN", "5-15R", "120", 15),
    ("GEN", "5-20R", "120", 20),
    ("CTR", "5-20R", "120", 20),
    ("EV", "14-50R", "120/240", 50),
    ("RNG", "14-50R", "120/240", 50),
    ("DRY", "14-30R", "120/240", 30),
    ("DRY", "10-30R", "120/240", 30),
    ("GEN", "6-20R", "240", 20),
)
_FIRST_DAY = datetime.date(2014, 1, 1).toordinal() - datetime.date(1970, 1, 1).toordinal()
_DAYS = 12 * 365


def _picked(words: Sequence[str], codes: Codes) -> Any:
    pa = arrow()
    return pa.DictionaryArray.from_arrays(pa.array(codes.astype(np.int32)), pa.array(words))


def _kinds(random: np.random.Generator, place: Codes) -> Codes:
    """Ranges stand in kitchens, dryers in laundries, charging outlets in garages and outdoors."""
    count = len(place)
    kind: Codes = random.choice(2, count, p=(0.62, 0.38))
    draw = random.random(count)
    at = [place == index for index in range(len(_PLACES))]
    kind[at[2] & (draw < 0.6)] = 2
    kind[at[2] & (draw > 0.94)] = 4
    kind[(at[0] | at[3]) & (draw < 0.12)] = 3
    kind[at[4] & (draw < 0.3)] = 5
    kind[at[4] & (draw > 0.95)] = 6
    kind[at[0] & (draw > 0.97)] = 7
    return kind


def _heights(random: np.random.Generator, place: Codes) -> Any:
    """As three clerks wrote them: bare inches, inches, feet."""
    inches = np.where(np.isin(place, (1, 2)), 44, 16) + random.integers(-2, 3, len(place))
    words = [f"{i}" for i in range(80)] + [f"{i} in" for i in range(80)]
    words += [f"{i / 12:.2f} ft" for i in range(80)]
    return _picked(words, inches + 80 * random.choice(3, len(place), p=(0.7, 0.2, 0.1)))


def _columns(random: np.random.Generator, start: int, count: int) -> dict[str, Any]:
    pa = arrow()
    place = random.choice(len(_PLACES), count, p=_PLACE_SHARES)
    day = random.integers(0, _DAYS, count)
    kind = _kinds(random, place)
    newer = day / _DAYS
    protected = random.random(count) < _PROTECTED[place] * (0.6 + 0.4 * newer)
    outdoors = place == 3
    breaker = np.array([amperes for *_, amperes in _KINDS])[kind]
    breaker = np.where(random.random(count) < 0.02, np.minimum(breaker + 10, 60), breaker)
    yes_no = ("N", "Y")

    def share(of: Any) -> Codes:
        drawn: Codes = (random.random(count) < of).astype(np.int64)
        return drawn

    return {
        "PERMIT": pa.array([f"SYN-{number:09d}" for number in range(start, start + count)]),
        "ISSUED": pa.array((day + _FIRST_DAY).astype(np.int32)).cast(pa.date32()),
        "DISTRICT": _picked(DISTRICTS, random.choice(6, count, p=(0.3, 0.2, 0.15, 0.15, 0.12, 0.08))),
        "OCC": _picked(("1F", "2F", "MF", "OTH"), random.choice(4, count, p=(0.62, 0.1, 0.2, 0.08))),
        "WORK": _picked(("N", "R", "A", "E"), random.choice(4, count, p=(0.6, 0.2, 0.12, 0.08))),
        "PLACE": _picked(_PLACES, place),
        "CONFIG": _picked([kind[1] for kind in _KINDS], kind),
        "SERVES": _picked([kind[0] for kind in _KINDS], kind),
        "GFCI": _picked(("N", "A"), protected.astype(np.int64)),
        "TR": _picked(yes_no, share(0.7 + 0.29 * newer)),
        "WR": _picked(yes_no, share(np.where(outdoors, 0.85, 0.02))),
        "MOIST": _picked(("D", "P", "W"), np.where(outdoors, 1 + share(0.6), share(0.02))),
        "SINK_FT": pa.array(np.round(random.gamma(2.0, np.where(place == 2, 1.8, 9.0)), 1)),
        "HEIGHT": _heights(random, place),
        "SYSTEM": _picked([kind[2] for kind in _KINDS], kind),
        "BREAKER_A": pa.array(breaker),
        "AFCI": _picked(yes_no, share(0.45 + 0.5 * newer)),
        "ALONE": _picked(yes_no, np.where(kind >= 3, share(0.97), share(0.06))),
    }


# What a clerk gets wrong, by column: words that are no code, values that can't be.
_WRONG: Mapping[str, Sequence[object]] = {
    "PLACE": ("GARR", "KICHEN", "bath room"),
    "CONFIG": ("5-21R", "NEMA?"),
    "GFCI": ("X", "YES"),
    "HEIGHT": ("eighteen", "-4 in", "18 kg"),
    "SINK_FT": (-3.0, float("nan"), 1e12),
    "BREAKER_A": (-20, -1),
    "SYSTEM": ("110", "12O"),
}


def _spoilt(
    random: np.random.Generator, name: str, array: Any, missing: float, dirty: float
) -> Any:
    """Cells emptied, and some of them wrong."""
    pa = arrow()
    count = len(array)
    if name in _WRONG:
        wrong = np.flatnonzero(random.random(count) < dirty)
        entries = pa.array(_WRONG[name])
        picked = entries.take(pa.array(random.integers(0, len(entries), len(wrong))))
        if pa.types.is_dictionary(array.type):
            words = pa.concat_arrays([array.dictionary, entries])
            codes = array.indices.to_numpy().copy()
            at = pa.compute.index_in(picked, entries).to_numpy()
            codes[wrong] = at + len(array.dictionary)
            array = pa.DictionaryArray.from_arrays(pa.array(codes), words)
        else:
            values = array.to_numpy().copy()
            values[wrong] = picked.to_numpy()
            array = pa.array(values)
    kept = np.where(random.random(count) < missing, -1, np.arange(count))
    return array.take(pa.array(kept, mask=kept < 0))


def batches(
    rows: int, seed: int = 0, missing: float = 0.05, dirty: float = 0.001
) -> Iterator[Any]:
    """The inventory as record batches. missing, dirty: shares of cells that are empty or wrong."""
    pa = arrow()
    import pyarrow.compute  # noqa: F401  (pa.compute)

    for start in range(0, rows, ROWS_AT_ONCE):
        random = np.random.default_rng([seed, start])
        columns = _columns(random, start, ROWS_AT_ONCE)
        spoilt = {
            name: array if name == "PERMIT" else _spoilt(random, name, array, missing, dirty)
            for name, array in columns.items()
        }
        plain = {
            name: array.cast(pa.string()) if pa.types.is_dictionary(array.type) else array
            for name, array in spoilt.items()
        }
        batch = pa.RecordBatch.from_pydict(plain)
        schema = batch.schema.with_metadata({"label": LABEL, "seed": str(seed)})
        yield batch.slice(0, min(ROWS_AT_ONCE, rows - start)).replace_schema_metadata(schema.metadata)


def table(rows: int, seed: int = 0, missing: float = 0.05, dirty: float = 0.001) -> Any:
    """The inventory as a pyarrow.Table."""
    return arrow().Table.from_batches(batches(rows, seed, missing, dirty))


def write(
    path: str | os.PathLike[str], rows: int, seed: int = 0, missing: float = 0.05, dirty: float = 0.001
) -> None:
    """Writes the inventory as a Parquet file, whole or not at all, batch by batch."""
    import pyarrow.parquet as parquet

    writer = None
    with written_whole(path) as part:
        try:
            for batch in batches(rows, seed, missing, dirty):
                writer = writer or parquet.ParquetWriter(part, batch.schema)
                writer.write_batch(batch)
        finally:
            if writer is not None:
                writer.close()


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="python -m groundrule.synthetic", description="Writes an invented inventory of outlets."
    )
    parser.add_argument("--rows", type=int, required=True)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--missing", type=float, default=0.05, help="share of cells that are empty")
    parser.add_argument("--dirty", type=float, default=0.001, help="share of cells that are wrong")
    parser.add_argument("--out", required=True, metavar="FILE.parquet")
    parser.add_argument("--columns", metavar="FILE.toml", help="where to write its column map")
    told = parser.parse_args(arguments)
    if told.rows < 1:
        parser.error("--rows is at least 1")
    write(told.out, told.rows, told.seed, told.missing, told.dirty)
    if told.columns:
        with written_whole(told.columns) as part:
            part.write_text(COLUMN_MAP, encoding="utf-8")
    print(f"{told.out}: {told.rows} rows; {LABEL}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
