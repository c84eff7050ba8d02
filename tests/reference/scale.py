"""Reads the Parquet files of yards back with other engines and compares the counts.

    python3 tests/reference/scale.py PROGRAM YARD...    # as `cargo xtask reference` does

PROGRAM is the built `reinback`. Each yard is written as Parquet and as JSON; then

- pyarrow, DuckDB and Polars count attempts, faults and what is in no rate, horse by
  horse, and must agree with the JSON; so must the ranges in estimates.parquet;
- every query of docs/at-scale.md runs over all the yards in DuckDB and in DataFusion
  (and in Spark, where pyspark is installed); the answers must be the same, and those
  that count what the JSON counts must agree with it.

Needs what requirements.txt lists. Exits with 1 where anything differs.
"""

import datetime
import decimal
import importlib.metadata
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import datafusion
import duckdb
import polars as pl
import pyarrow.compute as pc
import pyarrow.parquet as pq

PAGE = Path(__file__).resolve().parents[2] / "docs" / "at-scale.md"
TABLES = ("rides", "bouts", "marks", "estimates")


class Check:
    """Counts comparisons and says which fail."""

    def __init__(self):
        self.made = self.failed = 0

    def same(self, what, found, expected):
        self.made += 1
        if not alike(found, expected):
            self.failed += 1
            print(f"{what}:\n  {shown(found, expected)}")


def shown(found, expected):
    if isinstance(found, dict) and isinstance(expected, dict):
        keys = [key for key in {**found, **expected} if not alike(found.get(key), expected.get(key))]
        return "\n  ".join(f"{key}: {found.get(key)} instead of {expected.get(key)}" for key in keys[:5])
    return f"{found!r:.400} instead of {expected!r:.400}"


def alike(one, other):
    """Equal; numbers to 1e-9."""
    if isinstance(one, dict):
        return isinstance(other, dict) and one.keys() == other.keys() and all(alike(one[k], other[k]) for k in one)
    if isinstance(one, (list, tuple)):
        return len(one) == len(other) and all(map(alike, one, other))
    if isinstance(one, float) or isinstance(other, float):
        return None not in (one, other) and math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    return one == other


def export(program, yard, into, names):
    """Writes a yard's tables; gives its JSON report."""
    ask = [program, "report", "--yard", yard]
    written = subprocess.run([*ask, "--format", "parquet", "--into", into, *names], capture_output=True, text=True)
    printed = subprocess.run(ask, capture_output=True, text=True)
    for run in (written, printed):
        # 1: it is done, and some file has a warning.
        if run.returncode not in (0, 1):
            sys.exit(f"{' '.join(map(str, run.args))}: {run.stderr}")
    return json.loads(printed.stdout)


# What the JSON says.


def told(report):
    """Counts by horse, exercise and rein, and of what is in no rate."""
    counts = {"rides": {}, "attempts": {}, "kinds": {}, "unreviewed": {}, "waiting": {}, "loose": {}}
    for horse in report["horses"]:
        own = horse["id"]
        for name, number in [
            ("rides", horse["rides"]),
            ("unreviewed", horse["unreviewed_bouts"]),
            ("waiting", horse["waiting_faults"]),
            ("loose", sum(fault["times"] for fault in horse["loose_faults"])),
        ]:
            if number:
                counts[name][own] = number
        for line in horse["exercises"]:
            for rein in ("left", "right", "unsided"):
                cell = line[rein]
                if cell["attempts"]:
                    key = (own, line["exercise"], rein)
                    counts["attempts"][key] = (cell["attempts"], cell["faulty_attempts"], cell["faults"])
            for kind in line["faults_by_kind"]:
                counts["kinds"][own, line["exercise"], kind["fault"]] = kind["times"]
    return counts


# The same, from the files.


def by_pyarrow(folder):
    rides, bouts, marks = (pq.read_table(folder / f"{name}.parquet") for name in TABLES[:3])

    def count(table, keys, *wanted):
        if wanted:
            mask = wanted[0]
            for other in wanted[1:]:
                mask = pc.and_(mask, other)
            table = table.filter(mask)
        return Counter(zip(*(table[key].to_pylist() for key in keys)))

    attempts = {}
    own = bouts.filter(bouts["attempt"])
    columns = (own[name].to_pylist() for name in ("horse", "exercise", "rein", "faults"))
    for horse, exercise, rein, faults in zip(*columns):
        n, faulty, all_faults = attempts.get((horse, exercise, rein or "unsided"), (0, 0, 0))
        attempts[horse, exercise, rein or "unsided"] = (n + 1, faulty + (faults > 0), all_faults + faults)
    fault = pc.equal(marks["kind"], "fault")
    counting, owned = marks["counting"], pc.is_valid(marks["bout"])
    return {
        "rides": plain(count(rides, ["horse"])),
        "attempts": attempts,
        "kinds": dict(count(marks, ["horse", "exercise", "fault"], fault, marks["attempt"])),
        "unreviewed": plain(count(bouts, ["horse"], bouts["counting"], pc.invert(bouts["attempt"]))),
        "waiting": plain(count(marks, ["horse"], fault, counting, owned, pc.invert(marks["attempt"]))),
        "loose": plain(count(marks, ["horse"], fault, counting, pc.invert(owned))),
    }


def plain(counter):
    return {key[0]: times for key, times in counter.items()}


SQL = {
    "rides": "SELECT horse, count(*) FROM '{rides}' GROUP BY ALL",
    "attempts": "SELECT horse, exercise, coalesce(rein, 'unsided'), count(*), count(*) FILTER (faults > 0), "
    "sum(faults) FROM '{bouts}' WHERE attempt GROUP BY ALL",
    "kinds": "SELECT horse, exercise, fault, count(*) FROM '{marks}' WHERE attempt AND kind = 'fault' GROUP BY ALL",
    "unreviewed": "SELECT horse, count(*) FROM '{bouts}' WHERE counting AND NOT attempt GROUP BY ALL",
    "waiting": "SELECT horse, count(*) FROM '{marks}' WHERE counting AND NOT attempt AND bout IS NOT NULL "
    "AND kind = 'fault' GROUP BY ALL",
    "loose": "SELECT horse, count(*) FROM '{marks}' WHERE counting AND bout IS NULL AND kind = 'fault' GROUP BY ALL",
}


def keyed(rows, width):
    """Rows as a dictionary: keys first, then `width` numbers."""
    found = {}
    for row in rows:
        key, numbers = tuple(row[:-width]), tuple(map(int, row[-width:]))
        found[key[0] if len(key) == 1 else key] = numbers[0] if width == 1 else numbers
    return found


def by_duckdb(folder):
    files = {name: folder / f"{name}.parquet" for name in TABLES}
    return {
        name: keyed(duckdb.sql(query.format(**files)).fetchall(), 3 if name == "attempts" else 1)
        for name, query in SQL.items()
    }


def by_polars(folder):
    rides, bouts, marks = (pl.scan_parquet(folder / f"{name}.parquet") for name in TABLES[:3])
    fault = marks.filter(pl.col("kind") == "fault")

    def count(table, *keys):
        return keyed(table.group_by(keys).agg(pl.len()).collect().rows(), 1)

    attempts = (
        bouts.filter("attempt")
        .group_by("horse", "exercise", pl.col("rein").fill_null("unsided"))
        .agg(pl.len(), (pl.col("faults") > 0).sum().alias("faulty"), pl.col("faults").sum().alias("all"))
    )
    aside = fault.filter(pl.col("counting") & ~pl.col("attempt"))
    return {
        "rides": count(rides, "horse"),
        "attempts": keyed(attempts.collect().rows(), 3),
        "kinds": count(fault.filter("attempt"), "horse", "exercise", "fault"),
        "unreviewed": count(bouts.filter(pl.col("counting") & ~pl.col("attempt")), "horse"),
        "waiting": count(aside.filter(pl.col("bout").is_not_null()), "horse"),
        "loose": count(aside.filter(pl.col("bout").is_null()), "horse"),
    }


READERS = {"pyarrow": by_pyarrow, "DuckDB": by_duckdb, "Polars": by_polars}


def estimates(check, folder, report):
    """The ranges of every cell, and what follows a mistake."""
    table = pq.read_table(folder / "estimates.parquet").to_pylist()
    found = {
        (row["horse"], row["exercise"], row["cell"], row["measure"]): row for row in table if row["cell"] != "variant"
    }
    for horse in report["horses"]:
        for line in horse["exercises"]:
            for cell in ("all", "left", "right", "unsided"):
                for measure, name in [("fault_rate", "rate"), ("faults_per_minute", "faults_per_minute")]:
                    row = found[horse["id"], line["exercise"], cell, measure]
                    said = line[cell][name] or dict.fromkeys(("value", "low", "high", "level", "method", "source"))
                    what = f"{horse['name']}, {line['exercise']}, {cell}, {measure}"
                    check.same(what, {key: row[key] for key in said}, said)
                    check.same(what, row["reason"], line[cell][f"{name}_reason"])
                    check.same(what, row["n"], line[cell]["attempts"])


# The queries of the page.


def blocks():
    """What stands on the page, by the mark before it."""
    found = re.findall(r"<!-- (?:query: )?([\w-]+) -->\n```\w+\n(.*?)```", PAGE.read_text(), re.S)
    return dict(found)


def rows_of(answer):
    """Rows in an order of their own: engines place nulls and ties as they like."""

    def plainly(value):
        if isinstance(value, decimal.Decimal):
            return float(value)
        if isinstance(value, datetime.datetime):
            return value.date()
        return value

    rows = [tuple(map(plainly, row)) for row in answer]
    exact = lambda row: [str(cell) for cell in row if not isinstance(cell, float)]  # noqa: E731
    return sorted(rows, key=lambda row: (exact(row), [cell for cell in row if isinstance(cell, float)]))


def ask_duckdb(page):
    engine = duckdb.connect()
    engine.execute(page["duckdb"])

    def ask(query):
        answer = engine.execute(query)
        return [column[0] for column in answer.description], rows_of(answer.fetchall())

    return ask


def ask_datafusion(page):
    engine = datafusion.SessionContext()
    for statement in filter(str.strip, page["datafusion"].split(";")):
        engine.sql(statement)

    def ask(query):
        answer = engine.sql(query).to_arrow_table()
        return answer.column_names, rows_of(zip(*(column.to_pylist() for column in answer.columns)))

    return ask


def ask_spark(page):
    try:
        from pyspark.sql import SparkSession
    except ImportError:
        print("Spark: pyspark is not installed here; its answers were not compared")
        return None
    spark = SparkSession.builder.master("local[2]").config("spark.ui.enabled", "false").getOrCreate()
    spark.sparkContext.setLogLevel("ERROR")
    exec(page["spark"], {"spark": spark})  # noqa: S102: our own page

    def ask(query):
        answer = spark.sql(query)
        return answer.columns, rows_of(map(tuple, answer.collect()))

    return ask


def queries(check, reports):
    page = blocks()
    names = [name for name in page if name not in ("duckdb", "datafusion", "spark")]
    engines = {"DuckDB": ask_duckdb(page), "DataFusion": ask_datafusion(page)}
    if spark := ask_spark(page):
        engines[f"Spark {importlib.metadata.version('pyspark')}"] = spark
    answers = {}
    for name in names:
        columns, rows = engines["DuckDB"](page[name])
        if not rows:
            check.same(f"query {name} has an answer", rows, "rows")
        answers[name] = [dict(zip(columns, row)) for row in rows]
        for engine, ask in engines.items():
            found_columns, found = ask(page[name])
            check.same(f"{engine}, query {name}, columns", found_columns, columns)
            check.same(f"{engine}, query {name}", found, rows)
    print(f"{len(names)} queries of docs/at-scale.md in {', '.join(engines)}")
    against_reports(check, answers, reports)


def against_reports(check, answers, reports):
    """What the queries count and the JSON counts, too."""
    lines = [(horse, line) for report in reports for horse in report["horses"] for line in horse["exercises"]]
    counts, sides, after, minutes = {}, {}, {}, {}
    for horse, line in lines:
        key, cell = (horse["id"], line["exercise"]), line["all"]
        before = counts.get(line["exercise"], (0, 0))
        counts[line["exercise"]] = (before[0] + cell["attempts"], before[1] + cell["faulty_attempts"])
        left, right = line["left"], line["right"]
        if left["attempts"] >= 6 and right["attempts"] >= 6:
            before = sides.get(line["exercise"], (0,) * 5)
            own = (1, left["attempts"], left["faulty_attempts"], right["attempts"], right["faulty_attempts"])
            sides[line["exercise"]] = tuple(map(sum, zip(before, own)))
        if (follows := line["after_mistake"]) and any(
            follows[part]["of"] for part in ("faulty_after_faulty", "faulty_after_clean")
        ):
            parts = ("faulty_after_faulty", "faulty_after_clean")
            after[key] = tuple(number for part in parts for number in (follows[part]["of"], follows[part]["times"]))
        if cell["ridden_minutes"]:
            minutes[key] = (cell["faults"], cell["ridden_minutes"], cell["faults"] / cell["ridden_minutes"])
    enough = {name: pair for name, pair in counts.items() if pair[0] >= 6}
    for query, key, columns, expected in [
        ("fault-rates", ("exercise",), ("n", "faulty"), enough),
        ("effective", ("exercise",), ("n", "faulty"), counts),
        ("left-right", ("exercise",), ("horses", "left_n", "left_faulty", "right_n", "right_faulty"), sides),
        (
            "after-mistake",
            ("horse", "exercise"),
            ("after_faulty", "faulty_after_faulty", "after_clean", "faulty_after_clean"),
            after,
        ),
        ("minutes", ("horse", "exercise"), ("faults", "ridden_minutes", "faults_per_minute"), minutes),
    ]:
        found = {}
        for row in answers[query]:
            row.setdefault("ridden_minutes", float(row.get("ridden_ns", 0)) / 60e9)
            own = tuple(row[name] for name in key)
            numbers = tuple(float(row[name]) for name in columns)
            found[own if len(own) > 1 else own[0]] = numbers
        expected = {key: tuple(map(float, numbers)) for key, numbers in expected.items()}
        check.same(f"query {query} against the JSON", found, expected)
    faulty = sum(line["all"]["faulty_attempts"] for _, line in lines)
    check.same("reviewers", sum(row["n"] for row in answers["reviewers"]), sum(n for n, _ in counts.values()))
    check.same("reviewers", sum(row["n"] * row["rate"] for row in answers["reviewers"]), float(faulty))


def main():
    program, yards = Path(sys.argv[1]).resolve(), [Path(yard).resolve() for yard in sys.argv[2:]]
    if not yards:
        sys.exit(__doc__)
    packages = ("pyarrow", "duckdb", "polars", "datafusion")
    print(", ".join(f"{name} {importlib.metadata.version(name)}" for name in packages))
    check = Check()
    with tempfile.TemporaryDirectory() as scratch:
        os.chdir(scratch)
        reports = []
        for number, yard in enumerate(yards):
            folder = Path("yards") / f"yard=y{number}"
            # The numbers are the same with and without names.
            report = export(program, yard, folder, ["--without-names"] if number % 2 else [])
            reports.append(report)
            expected = told(report)
            for reader, count in READERS.items():
                for what, found in count(folder).items():
                    check.same(f"{yard.name}, {what}, {reader}", found, expected[what])
            estimates(check, folder, report)
        queries(check, reports)
    print(f"{check.made} comparisons, {check.failed} differ")
    sys.exit(1 if check.failed else 0)


if __name__ == "__main__":
    main()
