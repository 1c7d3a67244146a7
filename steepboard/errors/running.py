"""What stands in the way of a program that is to run."""

from __future__ import annotations

from steepboard.errors.base import SteepboardError


class AlreadyRunning(SteepboardError):
    """Another process holds a lock of this shelf; told where it is that of the reminders."""

    exit_code = 3

    def __init__(self, pid: str) -> None:
        self.pid = pid
        super().__init__(
            f"Reminders for this shelf are already kept by process {pid}. Leave them to it, or end "
            "it first."
        )


class ServiceRefused(SteepboardError):
    """The reminders cannot be set up, or taken away, as a service of the login."""


class NoTerminal(SteepboardError):
    """The board was asked for where there is no terminal to show it on."""

    def __init__(self) -> None:
        super().__init__("The board needs a terminal. `steepboard --help` lists what does not.")


class DemoOpen(SteepboardError):
    """The demo shelf cannot be made anew while another process works with it."""

    def __init__(self, pid: str) -> None:
        self.pid = pid
        super().__init__(f"The demo is open in process {pid}: close it, or join it with --keep.")
