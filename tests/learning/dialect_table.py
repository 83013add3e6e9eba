"""The dialects that may be tuned on, row by row. Words and shapes are invented."""

from __future__ import annotations

from dialect_shape import CR, ETX, LF, LFCR, STX, Check, Dialect, Flags, Sign, Trouble

PARTIAL, NULS, ONES = Trouble.PARTIAL_FIRST, Trouble.NULS_AT_OPEN, Trouble.ONES_AT_OPEN
OVER, NEG_ZERO, BELOW = Trouble.OVERLOAD, Trouble.NEGATIVE_ZERO, Trouble.BELOW_ZERO
APART, TRAILING = Sign.APART, Sign.TRAILING

WORDS = Flags("CALM", "SWAY", over="OVER")
LOWER = Flags("fix", "var")
LETTERS = Flags("R", "W")
MISLEADING = Flags("M", "S")  # motionless, swinging
YES_NO = Flags("Y", "N")
QUERY = Flags("", "?")
STAR = Flags("*", " ")
EQUALS = Flags("=", "~")
DIGIT = Flags("1", "0")
BITS = Flags("A", "@", zero="C", over="H")
THREE = Flags("II", "IO", zero="OO", over="XX")
HEX = Flags("01", "00", zero="03", over="10")
NOUGHT_IS_STILL = Flags("0", "4")

RAW_XOR = Check("xor", is_hex=False)
AFTER_XOR = Check("xor", is_hex=False, after_end=True)
AFTER_XOR_ETX = Check("xor", is_hex=False, after_end=True, with_end=True)

# fmt: off
NUMBER_ALONE = (
    Dialect("alone-tenths", "{number}", unit_text="", rate_hz=8, troubles=(PARTIAL,)),
    Dialect("alone-whole", "{number}", unit_text="", mark="", division="1", width=6, rate_hz=5),
    Dialect("alone-free", "{number}", unit_text="", mark="", division="2", width=0, terminator=CR),
    Dialect("alone-implied", "{number}", unit_text="", mark="", pad="0", width=6, terminator=LF),
    Dialect("alone-implied-plus", "{number}", shows_plus=True, unit_text="", mark="", pad="0",
            division="0.5", rate_hz=6.25, average_s=0.8, framing="7E1", troubles=(BELOW,)),
    Dialect("alone-kilos-comma", "{number}", unit="kg", unit_text="", mark=",", division="0.002",
            terminator=LFCR, rate_hz=12.5, average_s=0.3, hold_s=0.3, troubles=(NULS,)),
    Dialect("alone-comma-bowl", "{number}", unit="kg", unit_text="", mark=",", division="0.001",
            bowl_g=1150, rate_hz=6.25),
    Dialect("alone-ounces-trailing", "{number}", sign=TRAILING, unit="oz", unit_text="",
            division="0.05", terminator=CR, rate_hz=4, hold_s=0.8, troubles=(BELOW, PARTIAL)),
)

NUMBER_AND_UNIT = (
    Dialect("unit-whole", "{number} {unit}", width=0, mark="", division="1", rate_hz=5),
    Dialect("unit-tenths-free", "{number} {unit}", width=0, unit_text="G", terminator=LF,
            rate_hz=8, average_s=0.6, troubles=(NEG_ZERO, PARTIAL)),
    Dialect("unit-tenths-comma", "{number} {unit}", mark=",", terminator=CR, division="0.5"),
    Dialect("unit-kilos-comma", "{number} {unit}", unit="kg", unit_text="Kg", mark=",",
            division="0.002", rate_hz=6.25, average_s=1.0, troubles=(ONES,)),
    Dialect("unit-kilos-comma-bowl", "{number} {unit}", unit="kg", unit_text="kg", mark=",",
            division="0.001", bowl_g=1200, rate_hz=10),
    Dialect("unit-kilos-padded-comma", "{number}{unit}", shows_plus=True, pad="0", unit="kg",
            unit_text="KG", mark=",", division="0.005", terminator=LFCR, rate_hz=4, average_s=0.9),
    Dialect("unit-pounds", "{number}{unit}", unit="lb", unit_text="LB", division="0.005",
            width=8, rate_hz=12.5, average_s=0.3, hold_s=0.3, framing="7O1", troubles=(BELOW,)),
    Dialect("unit-pounds-bowl", "{number} {unit}", unit="lb", unit_text="lb", division="0.002",
            bowl_g=650, terminator=CR, rate_hz=8, framing="7E1"),
    Dialect("unit-ounces", "{number} {unit}", sign=APART, unit="oz", unit_text="oZ",
            division="0.01", width=8, rate_hz=15, average_s=0.2, hold_s=0.2),
    Dialect("unit-before", "{unit}{number}", unit="kg", unit_text="KG", division="0.001",
            terminator=CR, rate_hz=8, troubles=(NEG_ZERO,)),
    Dialect("unit-before-padded", "{unit} {number}", sign=APART, shows_plus=True, pad="0",
            division="0.2", terminator=LF, rate_hz=6.25, average_s=0.7),
    Dialect("unit-trailing-sign", "{number} {unit}", sign=TRAILING, division="0.2", mark=",",
            rate_hz=5, average_s=0.9, hold_s=0.9, troubles=(BELOW,)),
    Dialect("unit-trailing-both", "{number} {unit}", sign=TRAILING, shows_plus=True, width=0,
            mark="", division="5", terminator=LFCR, rate_hz=10, troubles=(PARTIAL,)),
    Dialect("unit-dead-digit", "{number} {unit}", division="0.10", width=8, rate_hz=4),
    Dialect("unit-thousands", "{number} {unit}", width=0, mark="", group=",", division="1",
            load_range_g=(1050, 1500), rate_hz=8),
    Dialect("unit-thousands-bowl", "{number} {unit}", mark="", group=",", division="1",
            bowl_g=1250, terminator=CR, rate_hz=8),
    Dialect("unit-thousands-dot", "{number}{unit}", width=8, mark="", group=".", division="2",
            load_range_g=(1100, 1500), rate_hz=10, average_s=0.5, terminator=LF),
    Dialect("unit-if-still", "{number} {unit}", unit_when_steady=True, rate_hz=8, hold_s=0.6),
    Dialect("unit-if-still-free", "{number} {unit}", unit_when_steady=True, width=0, unit="kg",
            unit_text="kG", mark=",", division="0.001", terminator=CR, rate_hz=6.25, hold_s=0.5,
            troubles=(OVER,), over_text="^^^^"),
    Dialect("unit-if-still-pounds", "{number}{unit}", unit_when_steady=True, unit="lb",
            unit_text="Lb", division="0.001", shows_plus=True, framing="7E1", rate_hz=12.5,
            average_s=0.3, hold_s=0.3),
)

FLAG_FIRST = (
    Dialect("first-words", "{flag} {number} {unit}", WORDS, rate_hz=8, troubles=(OVER,)),
    Dialect("first-words-comma", "{flag} {number} {unit}", LOWER, mark=",", unit_text="G",
            terminator=CR, division="0.2", rate_hz=6.25, hold_s=0.8),
    Dialect("first-letter", "{flag}{number}{unit}", LETTERS, shows_plus=True, pad="0", mark="",
            division="1", rate_hz=10, troubles=(PARTIAL, NULS)),
    Dialect("first-misleading", "{flag} {number} {unit}", MISLEADING, sign=APART, unit="oz",
            unit_text="OZ", division="0.02", terminator=LF, rate_hz=12.5, average_s=0.3,
            hold_s=0.3),
    Dialect("first-yes-no-kilos", "{flag} {unit} {number}", YES_NO, unit="kg", unit_text="Kg",
            division="0.001", rate_hz=5, average_s=1.0, hold_s=1.0, framing="7E1"),
    Dialect("first-star", "{flag}{number} {unit}", STAR, division="0.5", rate_hz=8,
            terminator=LFCR, troubles=(NEG_ZERO,)),
    Dialect("first-equals-alone", "{flag}{number}", EQUALS, unit_text="", pad="0", rate_hz=10,
            width=6, mark="", framing="7O1"),
    Dialect("first-digit", "{flag} {number} {unit}", DIGIT, mark="", division="2",
            rate_hz=8, average_s=0.5, troubles=(BELOW,)),
    Dialect("first-nought", "{flag};{number}", NOUGHT_IS_STILL, unit_text="", mark=",",
            shows_plus=True, terminator=CR, rate_hz=6.25),
    Dialect("first-bits", "{flag}{number}{unit}", BITS, shows_plus=True, pad="0", division="0.1",
            rate_hz=10, troubles=(OVER,), over_text="-------"),
    Dialect("first-hex", "{flag} {number}{unit}", HEX, unit="lb", unit_text="lb",
            division="0.0005", width=8, rate_hz=8, hold_s=0.5, troubles=(ONES,)),
    Dialect("first-kind", "{flag} brt {number} {unit}", THREE, sign=APART, shows_plus=True,
            rate_hz=8, average_s=0.8, hold_s=0.4),
    Dialect("first-late", "{flag} {number} {unit}", LOWER, division="0.5", rate_hz=10,
            hold_s=4.5, terminator=LF),
    Dialect("first-fast", "{flag}{number}{unit}", LETTERS, division="1", mark="", rate_hz=20,
            average_s=0.2, hold_s=0.2, terminator=CR),
)

FLAG_LAST = (
    Dialect("last-query", "{number} {unit} {flag}", QUERY, width=0, rate_hz=8, hold_s=0.5),
    Dialect("last-query-comma", "{number} {unit}{flag}", QUERY, width=0, mark=",", unit="kg",
            unit_text="kg", division="0.002", terminator=LF, rate_hz=5, troubles=(PARTIAL,)),
    Dialect("last-words", "{number} {unit} {flag}", WORDS, sign=TRAILING, unit="lb",
            unit_text="LB", division="0.01", rate_hz=12.5, average_s=0.3, hold_s=0.3),
    Dialect("last-letter", "{number}{unit}{flag}", LETTERS, mark="", division="5",
            terminator=CR, rate_hz=10, framing="7E1", troubles=(BELOW,)),
    Dialect("last-misleading", "{number} {unit}  {flag}", MISLEADING, shows_plus=True, sign=APART,
            mark=",", division="0.5", rate_hz=6.25, average_s=0.6, hold_s=1.0),
    Dialect("last-star-alone", "{number}{flag}", STAR, unit_text="", unit="oz", division="0.05",
            terminator=LFCR, rate_hz=8),
    Dialect("last-equals", "{number}{unit} {flag}", EQUALS, unit="oz", unit_text="Oz",
            division="0.1", pad="0", width=6, rate_hz=15, average_s=0.2, hold_s=0.2,
            troubles=(NULS,)),
    Dialect("last-bits", "{number} {flag}", BITS, unit_text="", mark="", division="1", width=6,
            terminator=CR, rate_hz=10, framing="7O1", troubles=(OVER,), over_text="      "),
    Dialect("last-yes-no-if-still", "{number} {unit} {flag}", YES_NO, unit_when_steady=True,
            division="0.1", rate_hz=8, hold_s=0.6, troubles=(NEG_ZERO, ONES)),
)

FIELDS = (
    Dialect("fields-words", "{flag},brt,{number},{unit}", WORDS, shows_plus=True, pad="0",
            rate_hz=8, troubles=(OVER, PARTIAL)),
    Dialect("fields-lower", "{flag},{number} {unit}", LOWER, unit="kg", unit_text="KG",
            division="0.001", terminator=CR, rate_hz=10, hold_s=0.3),
    Dialect("fields-last", "{number},{unit},{flag}", LETTERS, width=0, unit="oz", unit_text="oz",
            division="0.005", terminator=LF, rate_hz=12.5, average_s=0.3, hold_s=0.3),
    Dialect("fields-semicolon", "{flag};brt;{number};{unit}", THREE, mark=",", sign=APART,
            rate_hz=6.25, average_s=0.7, hold_s=0.7, framing="7E1"),
    Dialect("fields-tare", "{number},{tare},{unit},{flag}", MISLEADING, division="0.2",
            rate_hz=8, troubles=(NEG_ZERO,)),
    Dialect("fields-count", "{count},{flag},{number},{unit}", YES_NO, mark="", division="1",
            rate_hz=10, average_s=0.5, terminator=LFCR),
    Dialect("fields-pan-only", "{pan},{number},{unit}", None, ("E", "L"), division="0.5",
            rate_hz=8, average_s=0.5),
    Dialect("fields-pan-and-flag", "{pan},{flag},{number},{unit}", DIGIT, ("0", "1"), unit="lb",
            unit_text="lb", division="0.002", rate_hz=8, hold_s=0.5),
    Dialect("fields-no-unit", "{flag};{number};07", LOWER, unit_text="", unit="kg", mark=",",
            division="0.005", terminator=CR, rate_hz=5, troubles=(PARTIAL,)),
    Dialect("fields-thousands-bowl", "{flag};{number};{unit}", WORDS, mark="", group=".",
            division="1", bowl_g=1300, rate_hz=8),
)

FRAMED = (
    Dialect("framed-etx", "{number} {unit}", start=STX, terminator=ETX, rate_hz=10),
    Dialect("framed-no-stx", "{flag} {number} {unit}", LETTERS, terminator=ETX, mark=",",
            division="0.2", rate_hz=8, troubles=(PARTIAL,)),
    Dialect("framed-xor-raw", "{flag}{number}", BITS, start=STX, terminator=ETX, check=AFTER_XOR,
            shows_plus=True, pad="0", mark="", unit_text="", rate_hz=10, framing="7E1"),
    Dialect("framed-xor-etx-raw", "{flag}{number}{unit}", HEX, start=STX, terminator=ETX,
            check=AFTER_XOR_ETX, shows_plus=True, pad="0", rate_hz=8, troubles=(NULS, PARTIAL)),
    Dialect("framed-xor-etx-hex", "{number} {unit} {flag}", QUERY, start=STX, terminator=ETX,
            check=Check("xor", after_end=True, with_end=True), unit="kg", unit_text="kg",
            division="0.001", rate_hz=6.25, framing="7O1"),
    Dialect("framed-sum7-raw", "{number}{unit} {flag}", EQUALS, start=STX, terminator=ETX,
            check=Check("sum7", is_hex=False, after_end=True), rate_hz=10, division="0.5"),
    Dialect("framed-sum8-hex", "brt;{number};{unit};", start=STX, terminator=ETX, mark=",",
            check=Check("sum8"), rate_hz=8, average_s=0.6),
    Dialect("checked-xor-hex", "{flag} {number} {unit} ", WORDS, check=Check("xor"), rate_hz=8,
            troubles=(OVER,)),
    Dialect("checked-sum8-hex", "{number} {unit};", check=Check("sum8"), unit="lb",
            unit_text="LB", division="0.002", terminator=CR, rate_hz=10, troubles=(NEG_ZERO,)),
    Dialect("checked-twos-hex", "{flag},{number},{unit},", LETTERS, check=Check("twos"), start=STX,
            shows_plus=True, rate_hz=12.5, average_s=0.3, hold_s=0.3, framing="7E1"),
    Dialect("checked-twos-raw", "{number}{unit}", check=Check("twos", is_hex=False), start=STX,
            division="1", mark="", terminator=CR, rate_hz=8),
    Dialect("checked-xor-raw", "{flag}{number}{unit}", STAR, check=RAW_XOR, pad="0", sign=APART,
            division="0.2", rate_hz=8, troubles=(BELOW,)),
    Dialect("checked-sum7-hex", "{number} {flag} ", YES_NO, check=Check("sum7"), unit_text="",
            unit="oz", division="0.01", terminator=LF, rate_hz=6.25),
)

# fmt: on

TABLE = NUMBER_ALONE + NUMBER_AND_UNIT + FLAG_FIRST + FLAG_LAST + FIELDS + FRAMED
