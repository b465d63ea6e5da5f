"""Audits inside real local clusters of two workers, one of which is killed on the way.

Not run by default, since Spark needs Java and minutes: pip install '.[test,cluster]', then
`pytest -m cluster`.
"""

import os
import pickle
import signal
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pyarrow.parquet as parquet
import pytest

import groundrule
from groundrule import synthetic
from groundrule.cluster import Work

cluster = pytest.mark.cluster


@pytest.fixture(scope="module")
def work(outlet_map: groundrule.ColumnMap) -> Work:
    return Work("nec-2023", outlet_map)


def counted(rows: Any) -> Counter[Any]:
    return Counter((r["id"], r["topic"], r["number"], r["district"], r["verdict"]) for r in rows)


def test_parts_tell_what_the_whole_tells(work: Work, outlets: Any, outlet_map: Any) -> None:
    sent = pickle.loads(pickle.dumps(work))
    audit = groundrule.open_book("nec-2023").audit(outlets, columns=outlet_map)
    batches = outlets.to_batches(max_chunksize=700)
    found = [row for batch in sent.findings(batches) for row in batch.to_pylist()]
    assert counted(found) == counted(audit.findings().read_all().to_pylist())
    summed: Counter[str] = Counter()
    for batch in batches:
        for part in sent.counts([batch]):
            for row in part.to_pylist():
                summed[row["topic"]] += row["undetermined"]
    assert summed == {r["topic"]: r["undetermined"] for r in audit.counts().to_pylist()}
    assert list(sent.findings([])) == list(sent.counts([])) == []


def test_work_needs_a_name_for_rows() -> None:
    with pytest.raises(ValueError, match="the column map needs an id"):
        Work("nec-2023", groundrule.ColumnMap())


@pytest.fixture(scope="module")
def expected(parts: Path, outlet_map: groundrule.ColumnMap) -> Counter[Any]:
    table = parquet.read_table(parts)
    audit = groundrule.open_book("nec-2023").audit(table, columns=outlet_map)
    return counted(audit.findings().read_all().to_pylist())


@pytest.fixture(scope="module")
def parts(tmp_path_factory: Any) -> Path:
    """Sixteen files. No NaN, which pandas takes for null."""
    path: Path = tmp_path_factory.mktemp("outlets")
    table = synthetic.table(64_000, seed=11, dirty=0)
    for part in range(16):
        parquet.write_table(table.slice(part * 4_000, 4_000), path / f"part-{part:02}.parquet")
    return path


@pytest.fixture
def spark(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.setenv("PYSPARK_PYTHON", sys.executable)
    sql = pytest.importorskip("pyspark.sql", reason="the extra `cluster` has pyspark")
    session = (
        sql.SparkSession.builder.master("local-cluster[2,1,1024]")
        .config("spark.ui.enabled", "false")
        .config("spark.executor.memory", "1g")
        .config("spark.driver.host", "127.0.0.1")
        .config("spark.executorEnv.PYTHONPATH", os.environ.get("PYTHONPATH", ""))
        .getOrCreate()
    )
    yield session
    session.stop()


def executors() -> list[int]:
    """Processes of Spark's executors that this test's session started: those below this process."""
    parents = {}
    names = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                stat = (entry / "stat").read_text().rpartition(")")[2].split()
                parents[int(entry.name)] = int(stat[1])
                names[int(entry.name)] = (entry / "cmdline").read_bytes()
            except OSError:
                continue

    def ours(process: int) -> bool:
        while process in parents:
            if process == os.getpid():
                return True
            process = parents[process]
        return False

    return [p for p, line in names.items() if b"CoarseGrainedExecutorBackend" in line and ours(p)]


@cluster
def test_spark_finds_the_same(spark: Any, work: Work, parts: Path, expected: Counter[Any]) -> None:
    frame = spark.read.parquet(str(parts))
    assert counted(row.asDict() for row in work.findings_in_spark(frame).collect()) == expected
    counts = work.counts_in_spark(frame).collect()
    assert sum(row["violates"] for row in counts) == sum(expected.values())


@cluster
def test_spark_finds_the_same_without_one_worker(
    spark: Any, work: Work, parts: Path, expected: Counter[Any]
) -> None:
    killed = threading.Event()

    def kill() -> None:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            done = spark.sparkContext.statusTracker().getActiveStageIds()
            running = executors()
            if done and len(running) == 2:
                time.sleep(0.5)
                os.kill(running[0], signal.SIGKILL)
                killed.set()
                return
            time.sleep(0.02)

    frame = spark.read.parquet(str(parts)).repartition(48)
    killer = threading.Thread(target=kill)
    killer.start()
    found = counted(row.asDict() for row in work.findings_in_spark(frame).collect())
    killer.join()
    assert killed.is_set()
    assert found == expected


@pytest.fixture
def dask_cluster() -> Iterator[Any]:
    distributed = pytest.importorskip("distributed", reason="the extra `cluster` has dask")
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
        ) as local,
        distributed.Client(local) as client,
    ):
        yield client


def read(parts: Path) -> Any:
    import dask.dataframe as dd

    return dd.read_parquet(parts, dtype_backend="pyarrow", split_row_groups=True)


def records(frame: Any) -> list[dict[str, Any]]:
    import pyarrow as pa

    rows: list[dict[str, Any]] = pa.Table.from_pandas(frame, preserve_index=False).to_pylist()
    return rows


@cluster
def test_dask_finds_the_same(
    dask_cluster: Any, work: Work, parts: Path, expected: Counter[Any]
) -> None:
    found = work.findings_in_dask(read(parts)).compute()
    assert counted(records(found)) == expected


@cluster
def test_dask_finds_the_same_without_one_worker(
    dask_cluster: Any, work: Work, parts: Path, expected: Counter[Any]
) -> None:
    future = dask_cluster.compute(work.findings_in_dask(read(parts)))
    pids = dask_cluster.run(os.getpid)
    while not dask_cluster.processing():
        time.sleep(0.01)
    time.sleep(0.3)
    assert not future.done(), "the worker is lost in the middle"
    os.kill(next(iter(pids.values())), signal.SIGKILL)
    assert counted(records(future.result(timeout=300))) == expected
