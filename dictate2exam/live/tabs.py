"""The tabs that show one examination: one leads, the others watch; all are told everything."""

import threading
from collections.abc import Callable
from time import monotonic

from dictate2exam.live.messages.kinds import Role
from dictate2exam.live.messages.to_page import RoleIs, ToPage
from dictate2exam.units import Seconds

Send = Callable[[ToPage], None]


class Tabs:
    """Who is connected and who leads. A tab that comes back under its own name is the same tab.

    The first tab leads. Its place is kept for it while no other asks for it: a dropped socket
    makes nobody else the one that records.
    """

    def __init__(self) -> None:
        self._connected: dict[str, Send] = {}
        self._lead = ""
        self._left: float | None = None  # when the last one left
        self._lock = threading.Lock()

    def join(self, tab: str, send: Send) -> Role:
        """Connects a tab; `send` must not wait and may be called from any thread."""
        with self._lock:
            self._connected[tab] = send
            self._left = None
            if not self._lead:
                self._lead = tab
            return self._role(tab)

    def leave(self, tab: str, send: Send) -> None:
        """Disconnects a tab, unless it has come back over another socket meanwhile."""
        with self._lock:
            if self._connected.get(tab) is not send:
                return
            del self._connected[tab]
            if not self._connected:
                self._lead, self._left = tab, monotonic()
        if self.leads(tab):
            self.roles()

    def take_over(self, tab: str) -> bool:
        """Makes a watching tab lead, if the one that leads is not connected."""
        with self._lock:
            if self._lead != tab and self._lead in self._connected:
                return False
            self._lead = tab
        self.roles()
        return True

    def leads(self, tab: str) -> bool:
        """Whether this tab may record and decide."""
        return self._lead == tab

    @property
    def deserted_s(self) -> Seconds:
        """For how long nobody has been connected, after somebody was."""
        return 0.0 if self._left is None else monotonic() - self._left

    @property
    def any(self) -> bool:
        """Whether any tab is connected."""
        return bool(self._connected)

    def tell(self, tab: str, message: ToPage) -> None:
        """One message to one tab."""
        with self._lock:
            send = self._connected.get(tab)
        if send:
            send(message)

    def tell_lead(self, message: ToPage) -> None:
        """One message to the tab that leads."""
        self.tell(self._lead, message)

    def tell_all(self, message: ToPage) -> None:
        """One message to every tab."""
        with self._lock:
            sends = list(self._connected.values())
        for send in sends:
            send(message)

    def roles(self) -> None:
        """Tells every tab its role."""
        with self._lock:
            led = self._lead in self._connected
            told = [(send, self._role(tab)) for tab, send in self._connected.items()]
        for send, role in told:
            send(RoleIs(role=role, led=led))

    def _role(self, tab: str) -> Role:
        return "lead" if tab == self._lead else "watch"
