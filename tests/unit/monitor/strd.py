"""Data sets of the NIST Statistical Reference Datasets, univariate, and their certified values.

NIST StRD, www.nist.gov/itl/div898/strd (read; United States public domain): mean, standard
deviation (n - 1) and lag-1 autocorrelation to fifteen digits. Each set is recomputed with 50-digit
arithmetic; every printed digit agrees.
"""

from __future__ import annotations

from typing import NamedTuple


class Certified(NamedTuple):
    """What NIST certifies, and how many digits of the deviation a double can hold."""

    mean: float
    sd: float
    lag_1: float
    digits: float


def pi_digits() -> list[float]:
    """Return 5,000 digits of pi by Gibbons' spigot, with the one digit that NIST's file has other.

    The file has 3 at place 956, where pi has 8; the certified values hold for the file.
    """
    digits: list[float] = []
    q, r, t, i = 1, 180, 60, 2
    while len(digits) < 5000:
        u = 3 * (3 * i + 1) * (3 * i + 2)
        y = (q * (27 * i - 12) + 5 * r) // (5 * t)
        digits.append(float(y))
        q, r, t, i = (
            10 * q * i * (2 * i - 1),
            10 * u * (q * (5 * i - 2) + r - y * t),
            t * u,
            i + 1,
        )
    digits[956] = 3.0
    return digits


def to_and_fro(centre: float) -> list[float]:
    """Return NumAcc2, 3 or 4: the centre, then a tenth below and above it by turns."""
    return [centre, *(round(centre + step, 1) for _ in range(500) for step in (-0.1, 0.1))]


_LEW = """
-213 -564 -35 -15 141 115 -420 -360 203 -338 -431 194 -220 -513 154 -125 -559 92 -21 -579
-52 99 -543 -175 162 -457 -346 204 -300 -474 164 -107 -572 -8 83 -541 -224 180 -420 -374 201
-236 -531 83 27 -564 -112 131 -507 -254 199 -311 -495 143 -46 -579 -90 136 -472 -338 202
-287 -477 169 -124 -568 17 48 -568 -135 162 -430 -422 172 -74 -577 -13 92 -534 -243 194 -355
-465 156 -81 -578 -64 139 -449 -384 193 -198 -538 110 -44 -577 -6 66 -552 -164 161 -460 -344
205 -281 -504 134 -28 -576 -118 156 -437 -381 200 -220 -540 83 11 -568 -160 172 -414 -408
188 -125 -572 -32 139 -492 -321 205 -262 -504 142 -83 -574 0 48 -571 -106 137 -501 -266 190
-391 -406 194 -186 -553 83 -13 -577 -49 103 -515 -280 201 300 -506 131 -45 -578 -80 138 -462
-361 201 -211 -554 32 74 -533 -235 187 -372 -442 182 -147 -566 25 68 -535 -244 194 -351 -463
174 -125 -570 15 72 -550 -190 172 -424 -385 198 -218 -536 96
"""
_LOTTERY = """
162 671 933 414 788 730 817 33 536 875 670 236 473 167 877 980 316 950 456 92 517 557 956
954 104 178 794 278 147 773 437 435 502 610 582 780 689 562 964 791 28 97 848 281 858 538
660 972 671 613 867 448 738 966 139 636 847 659 754 243 122 455 195 968 793 59 730 361 574
522 97 762 431 158 429 414 22 629 788 999 187 215 810 782 47 34 108 986 25 644 829 630 315
567 919 331 207 412 242 607 668 944 749 168 864 442 533 805 372 63 458 777 416 340 436 140
919 350 510 572 905 900 85 389 473 758 444 169 625 692 140 897 672 288 312 860 724 226 884
508 976 741 476 417 831 15 318 432 241 114 799 955 833 358 935 146 630 830 440 642 356 373
271 715 367 393 190 669 8 861 108 795 269 590 326 866 64 523 862 840 219 382 998 4 628 305
747 247 34 747 729 645 856 974 24 568 24 694 608 480 410 729 947 293 53 930 223 203 677 227
62 455 387 318 562 242 428 968
"""
# 100,000 times what is above 2.
_MAVRO = """
180 170 180 190 180 170 150 140 150 150 170 180 180 190 190 210 200 160 140 130 130 150 150
160 150 140 130 140 150 140 150 160 150 160 190 200 200 210 220 230 240 250 270 260 260 260
270 260 250 240
"""
# 100 times what is above 299.
_MICHELSO = """
85 74 90 107 93 85 95 98 98 88 100 98 93 65 76 81 100 100 96 96 96 94 96 94 88 80 85 88 90
84 83 79 81 88 88 83 80 79 76 80 88 88 88 86 72 72 62 86 97 95 88 91 85 87 84 84 85 84 84 84
89 81 81 82 80 77 76 74 75 76 91 92 89 86 88 72 84 85 85 78 89 84 78 81 76 81 79 81 82 85 87
87 81 74 81 94 95 80 81 87
"""


def _whole(text: str) -> list[int]:
    return [int(word) for word in text.split()]


SETS: dict[str, tuple[list[float], Certified]] = {
    "PiDigits": (pi_digits(), Certified(4.5348, 2.86733906028871, -0.00355099287237972, 14)),
    "Lottery": (
        [float(each) for each in _whole(_LOTTERY)],
        Certified(518.958715596330, 291.699727470969, -0.120948622967393, 14),
    ),
    "Lew": (
        [float(each) for each in _whole(_LEW)],
        Certified(-177.435, 277.332168044316, -0.307304800605679, 14),
    ),
    "Mavro": (
        [(200_000 + each) / 100_000 for each in _whole(_MAVRO)],
        Certified(2.001856, 0.000429123454003053, 0.937989183438248, 12),
    ),
    "Michelso": (
        [(29_900 + each) / 100 for each in _whole(_MICHELSO)],
        Certified(299.8524, 0.0790105478190518, 0.535199668621283, 12),
    ),
    "NumAcc1": ([10_000_001.0, 10_000_003.0, 10_000_002.0], Certified(10_000_002, 1, -0.5, 15)),
    "NumAcc2": (to_and_fro(1.2), Certified(1.2, 0.1, -0.999, 14)),
    "NumAcc3": (to_and_fro(1_000_000.2), Certified(1_000_000.2, 0.1, -0.999, 9)),
    "NumAcc4": (to_and_fro(10_000_000.2), Certified(10_000_000.2, 0.1, -0.999, 8)),
}
"""By name: the data, what is certified, and digits of the deviation that a double can reach.

NumAcc3 and 4 lie so far from 0 that the data themselves are rounded in the tenth and ninth digit
of their deviation.
"""
