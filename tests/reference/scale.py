"""Reads the Parquet files of yards back with other engines and compares the counts.

    python3 tests/reference/scale.py PROGRAM YARD...    # as `cargo xtask reference` does

PROGRAM is the built `reinback`. Each yard is written as Parquet and as JSON; then

- pyarrow, DuckDB and Polars count attempts, faults and what is in no rate, horse by
  horse, and must agree with the JSON; so must the ranges in estimates.parquet;
- every query of docs/at-scale.md runs over all the yards in DuckDB and in DataFusion
  (and in Spark, where pyspark is installed); the answers must be the same, and all but
  those on places and on the next fault must agree with the JSON, which tells no such counts.

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


def told_by(program, yard, *options):
    """What `reinback report` prints."""
    run = subprocess.run([program, "report", "--yard", yard, *options], capture_output=True, text=True)
    # 1: it is done, and some file has a warning.
    if run.returncode not in (0, 1):
        sys.exit(f"{' '.join(map(str, run.args))}: {run.stderr}")
    return run.stdout


def export(program, yard, into, names):
    """Writes a yard's tables; gives its JSON report and those of the two periods that the page compares."""
    told_by(program, yard, "--format", "parquet", "--into", into, *names)
    since = datetime.date.fromisoformat(re.search(r"DATE '([\d-]+)' AS since", blocks()["two-periods"])[1])
    periods = [("--to", str(since - datetime.timedelta(days=1))), ("--from", str(since))]
    return [json.loads(told_by(program, yard, *options)) for options in [(), *periods]]


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


RANGE = ("value", "low", "high", "level", "method", "source")


def estimates(check, folder, report):
    """The ranges of every cell, the trend, the reins, and what follows a mistake."""
    table = pq.read_table(folder / "estimates.parquet").to_pylist()
    found = {
        (row["horse"], row["exercise"], row["cell"], row["measure"]): row for row in table if row["cell"] != "variant"
    }

    def ranged(what, row, said):
        check.same(what, {key: row[key] for key in RANGE}, said or dict.fromkeys(RANGE))

    for horse in report["horses"]:
        for line in horse["exercises"]:
            own = (horse["id"], line["exercise"])
            for cell in ("all", "left", "right", "unsided"):
                for measure, name in [("fault_rate", "rate"), ("faults_per_minute", "faults_per_minute")]:
                    row = found[*own, cell, measure]
                    what = f"{horse['name']}, {line['exercise']}, {cell}, {measure}"
                    ranged(what, row, line[cell][name])
                    check.same(what, row["reason"], line[cell][f"{name}_reason"])
                    check.same(what, row["n"], line[cell]["attempts"])
            trend, reins, after = line["trend"], line["reins"], line["after_mistake"]
            judged = [("odds_per_month", "odds_per_month", trend, "state", None)]
            if reins:
                judged.append(("right_minus_left", "difference", reins, "right_against_left", ("right", "left")))
            else:
                check.same(f"{own}, reins", (*own, "all", "right_minus_left") in found, False)
            if after:
                sides = ("faulty_after_faulty", "faulty_after_clean")
                judged.append(("after_faulty_minus_after_clean", None, after, "pattern", sides))
                for measure in ("ridden_again", "repeat_faulty", *sides):
                    row, said = found[*own, "all", measure], after[measure]
                    check.same(f"{own}, {measure}", (row["faulty"], row["n"]), (said["times"], said["of"]))
            for measure, name, said, verdict, sides in judged:
                row, what = found[*own, "all", measure], f"{horse['name']}, {line['exercise']}, {measure}"
                if name:
                    ranged(what, row, said[name])
                check.same(f"{what}, verdict", row["verdict"], said[verdict])
                check.same(f"{what}, reason", row["reason"], said["reason"])
                for p in ("permutation_p", "adjusted_p"):
                    check.same(f"{what}, {p}", row[p], said[p])
                if sides:
                    one, other = (said[side] for side in sides)
                    counted = (row["faulty"], row["n"], row["other_faulty"], row["other_n"])
                    check.same(f"{what}, counts", counted, (one["times"], one["of"], other["times"], other["of"]))


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


def lines_of(reports):
    return [(horse["id"], line) for report in reports for horse in report["horses"] for line in horse["exercises"]]


def added(sums, key, numbers):
    sums[key] = tuple(map(sum, zip(sums.get(key, (0,) * len(numbers)), numbers)))


def periods_told(before, since):
    """The second period against the first, each horse against itself, from the reports of either."""
    earlier, sums = {(horse, line["exercise"]): line for horse, line in lines_of(before)}, {}
    for horse, line in lines_of(since):
        old = earlier.get((horse, line["exercise"]))
        if old is None:
            continue
        (n1, k1), (n2, k2) = ((one["all"]["attempts"], one["all"]["faulty_attempts"]) for one in (old, line))
        weight, own = n1 * n2 / (n1 + n2), k2 / n2 - k1 / n1
        rides = (len(old["rides"]), len(line["rides"]))
        added(sums, line["exercise"], (1, n1, k1, n2, k2, weight * own, own > 0, weight, *rides))
    enough = {key: row for key, row in sums.items() if min(row[1], row[3]) >= 6 and min(row[8:]) >= 4}
    return {key: (*row[:5], row[5] / row[7], row[6]) for key, row in enough.items()}


def against_reports(check, answers, reports):
    """What the queries count and the JSON counts, too."""
    whole, before, since = zip(*reports)
    counts, effective, sides, after, minutes, months, pulled = {}, {}, {}, {}, {}, {}, {}
    for horse, line in lines_of(whole):
        exercise, cell, reins = line["exercise"], line["all"], line["reins"]
        added(counts, exercise, (cell["attempts"], cell["faulty_attempts"]))
        added(effective, exercise, (cell["attempts"], cell["faulty_attempts"], cell["attempts"] / cell["dispersion"]))
        first = line["work_on_first"] == 1
        added(pulled, exercise, (1, cell["attempts"], cell["faulty_attempts"], first))
        if reins and reins["difference"]:
            pair = [reins[side][part] for side in ("left", "right") for part in ("of", "times")]
            own = reins["difference"]["value"]
            added(sides, exercise, (1, *pair, own, own > 0))
        parts = ("faulty_after_faulty", "faulty_after_clean")
        if (follows := line["after_mistake"]) and any(follows[part]["of"] for part in parts):
            numbers = (number for part in parts for number in (follows[part]["of"], follows[part]["times"]))
            after[horse, exercise] = tuple(numbers)
        if cell["ridden_minutes"]:
            minutes[horse, exercise] = (cell["ridden_minutes"], cell["faults_per_minute"]["value"])
        for ride in line["rides"]:
            month = datetime.date.fromisoformat(ride["day"]).replace(day=1)
            added(months, (horse, exercise, month), (ride["attempts"], 1, ride["faulty_attempts"]))
    for query, key, columns, expected in [
        ("fault-rates", ("exercise",), ("n", "faulty"), {key: row for key, row in counts.items() if row[0] >= 6}),
        ("effective", ("exercise",), ("n", "faulty", "effective_n"), effective),
        ("worst", ("exercise",), ("horses", "n", "faulty", "first_for"), pulled),
        (
            "left-right",
            ("exercise",),
            ("horses", "left_n", "left_faulty", "right_n", "right_faulty", "mean_difference", "worse_on_right"),
            {key: (*row[:5], row[5] / row[0], row[6]) for key, row in sides.items()},
        ),
        (
            "two-periods",
            ("exercise",),
            ("horses", "n1", "k1", "n2", "k2", "difference", "worse"),
            periods_told(before, since),
        ),
        (
            "after-mistake",
            ("horse", "exercise"),
            ("after_faulty", "faulty_after_faulty", "after_clean", "faulty_after_clean"),
            after,
        ),
        ("minutes", ("horse", "exercise"), ("ridden_minutes", "faults_per_minute"), minutes),
        ("months", ("horse", "exercise", "month"), ("n", "rides", "faulty"), months),
    ]:
        found = {}
        for row in answers[query]:
            row.setdefault("ridden_minutes", float(row.get("ridden_ns", 0)) / 60e9)
            own = tuple(row[name] for name in key)
            numbers = tuple(float(row[name]) for name in columns)
            found[own if len(own) > 1 else own[0]] = numbers
        expected = {key: tuple(map(float, numbers)) for key, numbers in expected.items()}
        check.same(f"query {query} against the JSON", found, expected)
    for name, place in [("n", 0), ("faulty", 1)]:
        said = sum(row[place] for row in counts.values())
        check.same(f"reviewers, {name}", sum(row[name] for row in answers["reviewers"]), said)


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
            report, *periods = export(program, yard, folder, ["--without-names"] if number % 2 else [])
            reports.append((report, *periods))
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
