"""The dialects kept back: never to be tuned on, nor looked at while tuning."""

from __future__ import annotations

from dialect_shape import CR, ETX, LF, LFCR, STX, Check, Dialect, Flags, Sign, Trouble

# fmt: off
HELD_OUT = (
    Dialect("kept-01", "{unit} {number} {flag}", Flags("lies", "goes"), sign=Sign.TRAILING,
            mark=",", unit="kg", unit_text="kG", division="0.005", terminator=LFCR, rate_hz=6.25,
            average_s=0.5, hold_s=0.6, framing="7O1", troubles=(Trouble.BELOW_ZERO,)),
    Dialect("kept-02", "{flag}|{number}|{unit}", Flags("5", "9", zero="7", over="1"), pad="0",
            shows_plus=True, unit="oz", unit_text="OZ", division="0.02", terminator=LF,
            rate_hz=12.5, average_s=0.25, hold_s=0.3, troubles=(Trouble.OVERLOAD,)),
    Dialect("kept-03", "{number} {flag} {unit}", Flags("U", "V"), mark="", division="2",
            sign=Sign.APART, terminator=CR, rate_hz=8, troubles=(Trouble.PARTIAL_FIRST,)),
    Dialect("kept-04", "{flag}{unit}{number}", Flags("!", " "), unit_text="G", shows_plus=True,
            start=STX, terminator=ETX, check=Check("twos", after_end=True), rate_hz=8,
            framing="7E1", troubles=(Trouble.NEGATIVE_ZERO,)),
    Dialect("kept-05", "{number}", unit="lb", unit_text="", mark=",", division="0.002", width=0,
            start=STX, terminator=CR, bowl_g=700, rate_hz=10),
    Dialect("kept-06", "{tare};{number};{flag}", Flags("hold", "run"), unit_text="", mark=",",
            division="0.5", terminator=CR, rate_hz=5, average_s=0.9, hold_s=0.8,
            troubles=(Trouble.ONES_AT_OPEN, Trouble.PARTIAL_FIRST)),
    Dialect("kept-07", "{flag}{number}", Flags("", "m"), unit_text="", mark="", pad="0", width=5,
            division="1", check=Check("sum7"), terminator=LF, rate_hz=10, framing="7E1"),
    Dialect("kept-08", "{count} {number}{unit} {flag}", Flags("N", "Y"), division="0.2", pad="0",
            sign=Sign.APART, rate_hz=8, hold_s=0.7),
    Dialect("kept-09", "{number} {unit}", unit_when_steady=True, sign=Sign.TRAILING, unit="oz",
            unit_text="oz", division="0.005", mark=",", terminator=LFCR, rate_hz=12.5,
            average_s=0.3, hold_s=0.3, troubles=(Trouble.NEGATIVE_ZERO,)),
    Dialect("kept-10", "{pan} {number} {unit} {flag}", Flags("T", "F"), ("F", "T"), unit="kg",
            unit_text="Kg", division="0.002", rate_hz=8, average_s=0.6, hold_s=0.5),
    Dialect("kept-11", "{number}{unit}{flag}", Flags(".", ":"), mark="", group=",", width=0,
            division="1", load_range_g=(1050, 1500), terminator=CR, rate_hz=8),
    Dialect("kept-12", "{flag},{number},", Flags("P", "Q", zero="O"), unit="kg", unit_text="",
            division="0.001", start=STX, terminator=ETX, pad="0", rate_hz=10,
            check=Check("sum8", after_end=True, with_end=True), troubles=(Trouble.BELOW_ZERO,)),
    Dialect("kept-13", "{unit}{number}", unit="lb", unit_text="lB", division="0.01", mark=",",
            shows_plus=True, sign=Sign.APART, check=Check("xor", is_hex=False), terminator=LF,
            rate_hz=15, average_s=0.2, hold_s=0.2),
    Dialect("kept-14", "{number} {unit} {flag}", Flags("22", "20", zero="32", over="60"),
            unit="kg", unit_text="KG", division="0.0020", rate_hz=8),
)
# fmt: on
