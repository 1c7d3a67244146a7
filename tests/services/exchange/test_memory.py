"""A long shelf is read and written piece by piece, as a document and as a folder of lists."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
AT = "2026-03-02T08:00:00.000000Z"
# Measured here: 55 MB, 230,000 rows, take 4 MB more than an empty shelf does, and 60 s.
_ROWS, _MOST_MB = 16_000, 8
_PROGRAM = """
import resource, sys
from pathlib import Path
import ijson, jsonschema
from steepboard.services.exchange import document, folder, outlet
from tests.shelves import desk_at

def peak_mb():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

desk = desk_at(Path(sys.argv[1]))
with open(sys.argv[2], "rb") as file:
    document.take_in(desk, file, "first.json")
desk = desk_at(Path(sys.argv[1]) / "other")
before = peak_mb()
with open(sys.argv[3], "rb") as file:
    counts = document.take_in(desk, file, "long.json")
told = sum(map(len, document.written(desk)))
out = Path(sys.argv[1]) / "out"
outlet.write_folder(folder.written(desk), out)
same = folder.take_in(desk_at(Path(sys.argv[1]) / "third"), out) == counts
print(sum(counts.values()), told, (out / "diary.csv").stat().st_size, same, peak_mb() - before)
"""


def write(path, rows):
    """Write a shelf with one jar and a long diary, in lines no longer than a note."""
    stir = {"jar": "CARA-01", "kind": "stir", "at": AT, "source": "board", "note": "x" * 400}
    with path.open("w", encoding="utf-8") as file:
        file.write('{"format": "steepboard shelf", "version": 1, "jars": [\n')
        file.write('{"number": 1, "code": "CARA-01", "name": "Caraway"}], "diary": [\n')
        lines = (json.dumps({"number": n, "act": n, **stir}) for n in range(1, rows + 1))
        file.write(",\n".join(lines) + "]}")


def test_a_long_shelf_takes_no_more_memory_than_a_short_one(tmp_path):
    write(tmp_path / "first.json", 10)
    write(tmp_path / "long.json", _ROWS)
    size = (tmp_path / "long.json").stat().st_size
    words = [sys.executable, "-c", _PROGRAM, *(tmp_path, tmp_path / "first.json")]
    done = subprocess.run(
        [*words, tmp_path / "long.json"], check=True, capture_output=True, text=True, cwd=ROOT
    )
    rows, written, listed, same, more_mb = done.stdout.split()
    assert int(rows) == _ROWS + 1
    assert int(written) > 0.9 * size > 7e6
    assert int(listed) > 7e6
    assert same == "True"
    assert float(more_mb) < _MOST_MB
