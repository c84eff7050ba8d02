"""Computes the reference figures anew and compares them with the committed ones.

    python3 tests/reference/compare.py [venv]

Makes a virtual environment (in the folder given, else in a temporary one), installs
requirements.txt into it, runs reference.py there and compares every figure: 1e-9
relative for closed forms and exact distributions, 1e-6 for iterated fits. Exits
with 1 where one differs. Needs Python 3.11 and a package index.
"""

import csv
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
ITERATED = {"beta_binomial", "likeness", "logit"}


def near(one, other, tolerance):
    if one == other:
        return True
    parts = [(a, b) for a, b in zip(one.split(), other.split())]
    if not parts or len(one.split()) != len(other.split()):
        return False
    try:
        numbers = [(float(a), float(b)) for a, b in parts]
    except ValueError:
        return False
    return all(abs(a - b) <= tolerance * max(abs(a), abs(b), 1e-6) for a, b in numbers)


def compare(name, fresh):
    tolerance = 1e-6 if name in ITERATED else 1e-9
    with open(HERE / "data" / f"{name}.csv", newline="") as one, open(fresh, newline="") as other:
        committed, computed = list(csv.reader(one)), list(csv.reader(other))
    if len(committed) != len(computed):
        return len(committed), ["another number of cases"]
    wrong = [
        f"case {place + 1}: {a} is now {b}"
        for place, (a, b) in enumerate(zip(committed, computed))
        if len(a) != len(b) or not all(near(x, y, tolerance) for x, y in zip(a, b))
    ]
    return len(committed), wrong


def main():
    with tempfile.TemporaryDirectory() as scratch:
        home = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(scratch) / "venv"
        python = home / "bin" / "python"
        if not python.exists():
            venv.create(home, with_pip=True)
        install = [python, "-m", "pip", "install", "--quiet", "-r", HERE / "requirements.txt"]
        subprocess.run(install, check=True)
        data = Path(scratch) / "data"
        subprocess.run([python, HERE / "reference.py", data], check=True)
        failed = 0
        if (data / "versions.txt").read_text() != (HERE / "data" / "versions.txt").read_text():
            print("versions differ from the committed ones")
            failed += 1
        for fresh in sorted(data.glob("*.csv")):
            cases, wrong = compare(fresh.stem, fresh)
            print(f"{fresh.stem}: {cases} cases, {len(wrong)} differ")
            for line in wrong[:3]:
                print(f"  {line}")
            failed += bool(wrong)
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
