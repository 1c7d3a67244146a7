"""What `steepboard watch` costs while nothing is due, with 1,000 jars on the shelf.

Memory against a process that only imports APScheduler and desktop-notifier; CPU time of a core as
the kernel counts it. Minutes may be given: `python -m tests.benchmarks.idle 10`.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.benchmarks.big_record import fill
from tests.notification_server import session_bus

JARS, WARM_S = 1000, 15.0
FLOOR = "import apscheduler.schedulers.asyncio, desktop_notifier, sys; sys.stdin.read()"
SERVER = """
import asyncio
from tests.notification_server import NotificationService

async def serve():
    async with NotificationService():
        await asyncio.Event().wait()

asyncio.run(serve())
"""


def main() -> None:
    """Print both figures."""
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        fill(folder, datetime.now(UTC), active=JARS)
        at = (datetime.now(UTC) - timedelta(hours=1)).strftime("%H:%M")
        (folder / "settings.toml").write_text(
            f'[clock]\nzone = "UTC"\n[reminders]\nstir_at = "{at}"\nquiet_to = "00:00"\n'
        )
        with session_bus(folder) as address:
            os.environ["DBUS_SESSION_BUS_ADDRESS"] = address
            command = [sys.executable, "-m", "steepboard", "--home", str(folder), "watch"]
            with (
                subprocess.Popen([sys.executable, "-c", SERVER]) as server,
                subprocess.Popen([sys.executable, "-c", FLOOR], stdin=subprocess.PIPE) as floor,
                subprocess.Popen(command) as watch,
            ):
                time.sleep(WARM_S)
                before = cpu_s(watch.pid)
                time.sleep(60 * minutes)
                used = cpu_s(watch.pid) - before
                ours, bare = resident_mb(watch.pid), resident_mb(floor.pid)
                for process in (watch, floor, server):
                    process.terminate()
    sys.stdout.write(
        f"CPU: {100 * used / (60 * minutes):.3f} % of a core over {minutes:g} minutes\n"
        f"memory: {ours / bare:.2f} × the bare imports ({ours:.1f} MB against {bare:.1f} MB)\n"
    )


def cpu_s(pid: int) -> float:
    """Return the CPU seconds a process has used."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def resident_mb(pid: int) -> float:
    """Return the resident memory of a process."""
    status = Path(f"/proc/{pid}/status").read_text()
    (kilobytes,) = (line.split()[1] for line in status.splitlines() if line.startswith("VmRSS"))
    return int(kilobytes) / 1024


if __name__ == "__main__":
    main()
