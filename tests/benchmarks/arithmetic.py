"""What importing the arithmetic costs over an interpreter that starts and ends, in CPU time.

The floor is the standard library's `dataclasses`, which no record of ours can do without.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile

from tests.benchmarks.compiled import environment

RUNS = 40
MOST_MS = 30.0
PLANNING = "import steepboard.domain.planning, steepboard.domain.ratio"
IMPORTS = {
    "planning": PLANNING,
    "planning and balance": f"{PLANNING}, steepboard.domain.balance",
    "dataclasses": "import dataclasses",
}


def main() -> None:
    """Print each as the least of runs that take turns; all is compiled before."""
    codes = {"bare": "pass", **IMPORTS}
    with tempfile.TemporaryDirectory() as compiled:
        runs = [{name: cpu_ms(code, compiled) for name, code in codes.items()} for _ in range(RUNS)]
    least = {name: min(run[name] for run in runs[1:]) for name in codes}
    floor = least["dataclasses"] - least["bare"]
    for name in IMPORTS:
        over = least[name] - least["bare"]
        sys.stdout.write(
            f"{name:21} {over:5.1f} ms over a bare interpreter of {least['bare']:.1f} ms, "
            f"{over / floor:.2f} × dataclasses alone\n"
        )
    sys.stdout.write(f"planning at most {MOST_MS:g} ms\n")


def cpu_ms(code: str, compiled: str) -> float:
    """Return what an interpreter takes to run `code`, its bytecode kept in a folder."""
    running = subprocess.Popen([sys.executable, "-c", code], env=environment(compiled))
    _, status, used = os.wait4(running.pid, 0)
    running.returncode = os.waitstatus_to_exitcode(status)
    assert running.returncode == 0
    return 1e3 * (used.ru_utime + used.ru_stime)


if __name__ == "__main__":
    main()
