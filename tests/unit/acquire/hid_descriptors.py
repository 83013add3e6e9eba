"""Report descriptors, written out by hand from the published tables.

Items: Device Class Definition for HID 1.11, section 6.2.2 (from memory). Usages: HID Usage Tables,
page 0x8D "Scales", section 33 of version 1.7, as transcribed in the documentation of the crate
hid-types 0.2.2. What hid-parser 0.1.0 and the parser of hid-tools 0.12 find in them was compared
once, by hand, and is the same.
"""

from __future__ import annotations


def joined(*lines: str) -> bytes:
    """Return the bytes of some lines of hexadecimal; what follows a ``#`` is a remark."""
    return bytes.fromhex("".join(line.partition("#")[0] for line in lines))


DATA_REPORT = joined(
    "05 8d     # usage page: scales",
    "09 20     # usage: scale device",
    "a1 01     # collection: application",
    "09 32     #   usage: scale data report",
    "a1 02     #   collection: logical",
    "85 03     #     report id 3",
    "75 08     #     report size 8",
    "95 01     #     report count 1",
    "09 70     #     usage: scale status",
    "a1 02     #     collection: logical",
    "15 01     #       logical minimum 1",
    "25 08     #       logical maximum 8",
    "19 71     #       usage minimum: fault",
    "29 78     #       usage maximum: requires rezeroing",
    "81 00     #       input: data, array",
    "c0        #     end",
    "09 50     #     usage: weight unit",
    "a1 02     #     collection: logical",
    "25 0c     #       logical maximum 12",
    "19 51     #       usage minimum: milligram",
    "29 5c     #       usage maximum: pound",
    "81 00     #       input: data, array",
    "c0        #     end",
    "09 41     #     usage: data scaling",
    "15 80     #     logical minimum -128",
    "25 7f     #     logical maximum 127",
    "81 02     #     input: data, variable",
    "09 40     #     usage: data weight",
    "75 10     #     report size 16",
    "15 00     #     logical minimum 0",
    "27 ff ff 00 00  # logical maximum 65535",
    "81 02     #     input: data, variable",
    "c0        #   end",
    "c0        # end",
)
"""The common layout, as a device would describe it."""

MANY_REPORTS = joined(
    "05 8d 09 20 a1 01  # scale device",
    "09 30 a1 02        #   scale attribute report: a feature, no input",
    "85 01 75 08 95 01 15 01 25 0a 19 21 29 2a b1 00",
    "c0",
    "09 31 a1 02        #   scale control report: an output, no input",
    "85 02 75 01 95 02 15 00 25 01 09 80 09 81 91 02",
    "75 06 95 01 91 03  #     six bits that fill up the byte",
    "c0",
    "09 34 a1 02        #   scale weight limit report, sent as an input",
    "85 05 75 08 95 01 15 01 25 0c 19 51 29 5c 81 00",
    "15 81 25 7f 09 41 81 02",
    "75 10 15 00 27 ff ff 00 00 09 40 81 02",
    "c0",
    "09 33 a1 02        #   scale status report: a status alone",
    "85 04 75 08 95 01 15 01 25 08 19 71 29 78 81 00",
    "c0",
    "09 32 a1 02        #   scale data report",
    "85 07",
    "15 01 25 08 19 71 29 78 81 00  # status",
    "25 0c 19 51 29 5c 81 00        # unit",
    "15 81 25 7f 09 41 81 02        # scaling",
    "75 20 16 00 80 09 40 81 02     # weight, 32 bits, logical minimum -32768",
    "c0",
    "09 35 a1 02        #   scale statistics report, sent as an input of 13 bytes",
    "85 06 75 20 95 03 15 00 09 60 09 61 81 02",
    "c0 c0",
)
"""Every report of the standard, and ids that are not those of the common layout."""

PACKED = joined(
    "05 8d 09 20 a1 01  # scale device, its report without an id",
    "75 03 95 01 81 03  #   three bits of padding",
    "a4                 #   push",
    "75 04 09 70 81 02  #   status as a value of 4 bits",
    "06 00 ff 09 01 75 01 81 02     # a bit of the vendor's own page",
    "b4                 #   pop: page of scales again, size 3",
    "75 18 15 ff 25 7f 09 40 81 02  # weight, 24 bits, signed",
    "75 04 0b 50 00 8d 00 81 02     # unit as a value of 4 bits, usage with its page",
    "75 04 15 f8 25 07 09 41 81 02  # scaling, 4 bits, signed",
    "c0",
)
"""Fields that begin inside a byte, in another order, with pushed state."""

FLAGGED = joined(
    "05 8d 09 20 a1 01  # scale device",
    "85 09",
    "75 01 95 08 15 00 25 01 19 71 29 78 81 02  # status: a bit for each selector",
    "95 05 09 51 09 52 09 53 09 5b 09 5c 81 02  # unit: a bit for each of five selectors",
    "95 03 81 03        #   padding",
    "75 10 95 01 09 40 81 02",
    "c0",
)
"""Named arrays as bits (HID Usage Tables, section 3.4.2, from memory), and no scaling at all."""

# Device Class Definition for HID 1.11, appendices E.6 and E.10 (from memory).
KEYBOARD = joined(
    "05 01 09 06 a1 01 05 07 19 e0 29 e7 15 00 25 01 75 01 95 08 81 02 95 01 75 08 81 01",
    "95 05 75 01 05 08 19 01 29 05 91 02 95 01 75 03 91 01",
    "95 06 75 08 15 00 25 65 05 07 19 00 29 65 81 00 c0",
)
MOUSE = joined(
    "05 01 09 02 a1 01 09 01 a1 00 05 09 19 01 29 03 15 00 25 01 95 03 75 01 81 02",
    "95 01 75 05 81 01 05 01 09 30 09 31 15 81 25 7f 75 08 95 02 81 06 c0 c0",
)
