"""Which notification service has the bus, and how to hear again of what it shows for us."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Collection

    from dbus_fast.aio import MessageBus
    from desktop_notifier import Notification

BUS, SERVICE = "org.freedesktop.DBus", "org.freedesktop.Notifications"


async def identity(bus: MessageBus) -> str:
    """Return what no other service is called, on this bus or any other, now or later.

    Raises `LookupError` where there is none.
    """
    about = await _call(bus, BUS, BUS, "GetId"), await _call(bus, BUS, BUS, "GetNameOwner", SERVICE)
    return " ".join(str(part[0]) for part in about)


async def hear_again(
    bus: MessageBus, interface: Any, app_name: str, shown: dict[int, Notification]
) -> Collection[int]:
    """Let the service tell us of notifications that a former connection of ours sent.

    Most tell everybody. dunst tells only the connection that sent them, so they are sent again, in
    place, but not those that it has closed meanwhile (both seen with dunst 1.9.0). Returns the
    numbers of the closed ones.
    """
    if (await interface.call_get_server_information())[0] != "dunst":
        return ()
    try:
        (closed,) = await _call(bus, SERVICE, "org.dunstproject.cmd0", "NotificationListHistory")
    except LookupError:  # an older one: rather no answer from it than something said twice
        return ()
    gone = {int(one["id"].value) for one in closed} & shown.keys()
    for number in shown.keys() - gone:
        await _send_in_place(interface, app_name, number, shown[number])
    return gone


async def _send_in_place(
    interface: Any, app_name: str, number: int, notification: Notification
) -> None:
    """Send as the library does, which cannot replace."""
    from desktop_notifier.backends.dbus import DBusDesktopNotifier

    actions = [part for one in notification.buttons for part in (one.identifier, one.title)]
    await interface.call_notify(
        app_name,
        number,
        "",
        notification.title,
        notification.message,
        ["default", "", *actions],
        {"urgency": DBusDesktopNotifier.to_native_urgency[notification.urgency]},
        notification.timeout,
    )


async def _call(bus: MessageBus, name: str, interface: str, member: str, *about: str) -> list[Any]:
    from dbus_fast import Message, MessageType

    path = f"/{name.replace('.', '/')}"
    signature, body = "s" * len(about), list(about)
    answer = await bus.call(Message(name, path, interface, member, signature=signature, body=body))
    if answer is None or answer.message_type is MessageType.ERROR:
        raise LookupError(member)
    return answer.body
