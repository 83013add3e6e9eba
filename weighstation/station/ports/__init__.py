"""URL -> bytes with their arrival times.

A port is chosen by its URL; the simulator and the recording are ports like any other, so demo,
test and bench run one code path. Nothing that belongs to one kind of port is imported before that
kind is chosen.
"""

from weighstation.station.ports.address import Address, with_defaults
from weighstation.station.ports.port import PORTS, Arrival, Clock, Port, open_port

__all__ = ["PORTS", "Address", "Arrival", "Clock", "Port", "open_port", "with_defaults"]
