"""The same figures by pandas with statsmodels and by polars, and how long each takes.

    python3 tests/reference/beside.py FIGURES YARD TABLES

FIGURES is the built example `figures` of the crate `reinback-yard`, YARD the folder of a
yard (a large one: `cargo xtask large-yard`), TABLES the folder that `reinback report
--format parquet` has written of it. For every horse and exercise: attempts, faulty
ones, Wilson's range, the dispersion of the rides pulled towards the horse's other
exercises, and both halves of the time with Newcombe's range of their difference.

Every figure is compared to 1e-9. Printed are the seconds each needs (the middle of
nine runs, by the clock and by the processor), on one thread and on all: for reading,
for counting (bouts to faulty attempts of attempts, ride by ride; ours has to find the
bout of every mark as well, which the tables already have), and for the figures from
there; and how many times ours that is. Needs what requirements.txt lists.
"""

import csv
import importlib.metadata
import io
import math
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

RUNS = 9
Z = 1.959963984540054
# As in docs/measures.md: how firmly a line is pulled towards the horse's other exercises.
PRIOR_PRECISION = 100.0
FIGURES = (
    "attempts faulty rate low high dispersion before_attempts before_faulty after_attempts after_faulty "
    "difference difference_low difference_high"
).split()


# pandas and statsmodels


def read_pandas(folder):
    import pandas as pd

    columns = ["ride", "horse", "day", "exercise", "attempt", "faults"]
    return pd.read_parquet(folder / "bouts.parquet", columns=columns)


def count_pandas(bouts):
    first, last = bouts["day"].min(), bouts["day"].max()
    middle = first + (last - first) // 2
    own = bouts[bouts["attempt"]]
    own = own.assign(faulty=own["faults"] > 0)
    rides = own.groupby(["horse", "exercise", "ride"], sort=False).agg(
        n=("faulty", "size"), k=("faulty", "sum"), day=("day", "first")
    )
    rides = rides.reset_index()
    rides["after"] = rides["day"] > middle
    return rides


def by_pandas(rides):
    import numpy as np
    import pandas as pd
    from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

    rides = rides.copy(deep=False)
    key = ["horse", "exercise"]
    totals = rides.groupby(key)[["n", "k"]].transform("sum")
    p = totals["k"] / totals["n"]
    variance = p * (1 - p)
    off = rides["k"] - rides["n"] * p
    # An exercise always clean or always faulty has no variance, and tells nothing of likeness.
    rides["chi"] = (off * off / (rides["n"] * variance)).where(variance > 0, 0.0)
    rides["squares"] = (rides["n"] * rides["n"]).astype(float)
    for side, mask in [("before", ~rides["after"]), ("after", rides["after"])]:
        rides[f"{side}_attempts"] = rides["n"].where(mask, 0)
        rides[f"{side}_faulty"] = rides["k"].where(mask, 0)
    sums = ["n", "k", "chi", "squares", "before_attempts", "before_faulty", "after_attempts", "after_faulty"]
    lines = rides.groupby(key)[sums].sum()
    lines["rides"] = rides.groupby(key).size()
    n, k = lines["n"], lines["k"]

    freedom = lines["rides"] - 1
    leverage = n - lines["squares"] / n - freedom
    tells = (lines["rides"] > 1) & (k > 0) & (k < n) & (leverage > 1e-9)
    rho = ((lines["chi"] - freedom) / leverage).where(tells, 0.0)
    precision = (leverage * leverage / (2 * freedom)).where(tells, 0.0)
    horses = pd.DataFrame({"precision": precision, "weighted": precision * rho}).groupby("horse").transform("sum")
    pooled = (horses["weighted"] / horses["precision"]).where(horses["precision"] > 0, 0.0).clip(0, 1)
    shrunken = ((precision * rho + PRIOR_PRECISION * pooled) / (precision + PRIOR_PRECISION)).clip(0, 1)
    dispersion = (1 + (lines["squares"] / n - 1) * shrunken).clip(lower=1)

    low, high = proportion_confint(k, n, method="wilson")
    both = lines[(lines["before_attempts"] > 0) & (lines["after_attempts"] > 0)]
    counts = (both[name].to_numpy() for name in ("after_faulty", "after_attempts", "before_faulty", "before_attempts"))
    k2, n2, k1, n1 = counts
    difference_low, difference_high = confint_proportions_2indep(k2, n2, k1, n1, method="newcomb", compare="diff")
    found = pd.DataFrame({"attempts": n, "faulty": k, "rate": k / n, "low": low, "high": high})
    found["dispersion"] = np.minimum(dispersion, n)
    for name in FIGURES[6:10]:
        found[name] = lines[name]
    found["difference"] = pd.Series(k2 / n2 - k1 / n1, both.index)
    found["difference_low"] = pd.Series(difference_low, both.index)
    found["difference_high"] = pd.Series(difference_high, both.index)
    return found


def rows_pandas(found):
    rows = found.reset_index().astype(object)
    rows = rows.where(rows.notna(), None).to_dict("records")
    return {(row["horse"], row["exercise"]): row for row in rows}


# polars


def read_polars(folder):
    import polars as pl

    columns = ["ride", "horse", "day", "exercise", "attempt", "faults"]
    return pl.read_parquet(folder / "bouts.parquet", columns=columns)


def count_polars(bouts):
    import polars as pl

    col = pl.col
    first, last = bouts["day"].min(), bouts["day"].max()
    middle = first + (last - first) // 2
    rides = (
        bouts.lazy()
        .filter("attempt")
        .group_by("horse", "exercise", "ride")
        .agg(pl.len().cast(pl.Int64).alias("n"), (col("faults") > 0).sum().cast(pl.Int64).alias("k"), col("day").first())
    )
    return rides.with_columns(after=col("day") > middle).collect()


def by_polars(rides):
    import polars as pl

    col = pl.col
    key = ["horse", "exercise"]

    def wilson(k, n):
        reach = Z * (k * (n - k) / n + Z * Z / 4).sqrt()
        return (k + Z * Z / 2 - reach) / (n + Z * Z), (k + Z * Z / 2 + reach) / (n + Z * Z)

    def part(name, after):
        return pl.when(col("after") == after).then(col(name)).otherwise(0).sum()

    p = col("k").sum() / col("n").sum()
    off = col("k") - col("n") * p
    lines = rides.lazy().group_by(key).agg(
        (off * off / (col("n") * p * (1 - p))).sum().alias("chi"),
        (col("n") * col("n")).sum().cast(pl.Float64).alias("squares"),
        part("n", False).alias("before_attempts"),
        part("k", False).alias("before_faulty"),
        part("n", True).alias("after_attempts"),
        part("k", True).alias("after_faulty"),
        pl.len().cast(pl.Int64).alias("rides"),
        col("n").sum().alias("attempts"),
        col("k").sum().alias("faulty"),
    )
    n, k = col("attempts"), col("faulty")
    freedom = col("rides") - 1
    leverage = n - col("squares") / n - freedom
    tells = (col("rides") > 1) & (k > 0) & (k < n) & (leverage > 1e-9)
    lines = lines.with_columns(
        rho=pl.when(tells).then((col("chi") - freedom) / leverage).otherwise(0.0),
        precision=pl.when(tells).then(leverage * leverage / (2 * freedom)).otherwise(0.0),
    )
    weight = col("precision").sum().over("horse")
    pooled = pl.when(weight > 0).then((col("precision") * col("rho")).sum().over("horse") / weight).otherwise(0.0)
    shrunken = (col("precision") * col("rho") + PRIOR_PRECISION * pooled.clip(0, 1)) / (
        col("precision") + PRIOR_PRECISION
    )
    dispersion = (1 + (col("squares") / n - 1) * shrunken.clip(0, 1)).clip(lower_bound=1)
    low, high = wilson(k, n)
    lines = lines.with_columns(
        rate=k / n, low=low, high=high, dispersion=pl.min_horizontal(dispersion, n.cast(pl.Float64))
    )
    k1, n1, k2, n2 = (col(name) for name in ("before_faulty", "before_attempts", "after_faulty", "after_attempts"))
    (l1, u1), (l2, u2), p1, p2 = wilson(k1, n1), wilson(k2, n2), k1 / n1, k2 / n2
    both = (n1 > 0) & (n2 > 0)
    lines = lines.with_columns(
        difference=pl.when(both).then(p2 - p1),
        difference_low=pl.when(both).then(p2 - p1 - ((p2 - l2) ** 2 + (u1 - p1) ** 2).sqrt()),
        difference_high=pl.when(both).then(p2 - p1 + ((u2 - p2) ** 2 + (p1 - l1) ** 2).sqrt()),
    )
    return lines.select(*key, *FIGURES).collect()


def rows_polars(found):
    return {(row["horse"], row["exercise"]): row for row in found.to_dicts()}


ENGINES = {
    "pandas": (read_pandas, count_pandas, by_pandas, rows_pandas),
    "polars": (read_polars, count_polars, by_polars, rows_polars),
}
STEPS = ("load", "lower", "compute")


# Ours, and the comparison


def ours(program, yard):
    """Our figures, and our seconds by step and number of threads."""
    run = subprocess.run([program, yard], capture_output=True, text=True, check=True)
    times = {}
    for line in run.stderr.splitlines():
        step, seconds, *threads = line.split()
        times[step, int(threads[0]) if threads else None] = float(seconds)
    return list(csv.DictReader(io.StringIO(run.stdout))), times


def differences(expected, found):
    """How many figures were compared, and the largest relative difference."""
    compared, worst, missing = 0, 0.0, []
    rows = dict(found)
    for line in expected:
        row = rows.pop((line["horse"], line["exercise"]), None)
        if row is None:
            missing.append(line)
            continue
        for name in FIGURES:
            # Ours has no range where there are too few to tell; another program gives one.
            if line[name] == "":
                continue
            one, other = float(line[name]), row[name]
            # A number that is none would be lost in the largest difference.
            if other is None or not math.isfinite(one) or not math.isfinite(other):
                missing.append(line)
                continue
            compared += 1
            worst = max(worst, abs(one - other) / max(abs(one), abs(other), 1e-3))
    return compared, worst, len(missing) + len(rows)


def measured(work, *arguments):
    """What it gives, and the middle of the processor's and the clock's seconds."""
    spent = []
    for _ in range(RUNS):
        start = time.process_time(), time.perf_counter()
        found = work(*arguments)
        spent.append((time.process_time() - start[0], time.perf_counter() - start[1]))
    return found, *(statistics.median(column) for column in zip(*spent))


def one_engine(name, folder):
    """In a process of its own, whose threads the environment has limited."""
    read, count, compute, _ = ENGINES[name]
    bouts, *reading = measured(read, folder)
    rides, *counting = measured(count, bouts)
    _, *computing = measured(compute, rides)
    print(*reading, *counting, *computing)


def main():
    if sys.argv[1:2] == ["--engine"]:
        return one_engine(sys.argv[2], Path(sys.argv[3]))
    program, yard, folder = map(Path, sys.argv[1:])
    packages = ("pandas", "statsmodels", "polars")
    print(", ".join(f"{name} {importlib.metadata.version(name)}" for name in packages))
    expected, times = ours(program, yard)
    failed = 0
    for name, (read, count, compute, rows) in ENGINES.items():
        compared, worst, missing = differences(expected, rows(compute(count(read(folder)))))
        print(f"{name}: {len(expected)} lines, {compared} figures, largest difference {worst:.1e}, {missing} missing")
        failed += worst > 1e-9 or missing or not compared
    print("\n| threads | program | reading | counting | times ours | figures | times ours |\n|" + " --- |" * 7)
    cores = len(os.sched_getaffinity(0))
    for threads in sorted({1, cores}):
        own = [times.get((step, threads), times.get((step, None))) for step in STEPS]
        print(f"| {threads} | ours | {own[0]:.2f} s | {own[1]:.4f} s | | {own[2]:.4f} s | |")
        limits = ("POLARS_MAX_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS")
        environment = {**os.environ, **dict.fromkeys(limits, str(threads))}
        for name in ENGINES:
            ask = [sys.executable, __file__, "--engine", name, folder]
            run = subprocess.run(ask, env=environment, capture_output=True, text=True, check=True)
            spent = list(map(float, run.stdout.split()))
            pairs = list(zip(spent[::2], spent[1::2]))
            cells = [f"{clock:.4f} s ({processor:.4f})" for processor, clock in pairs]
            ratios = [f"{pair[1] / seconds:.1f}" for pair, seconds in zip(pairs, own)]
            print(f"| {threads} | {name} | {cells[0]} | {cells[1]} | {ratios[1]} | {cells[2]} | {ratios[2]} |")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
