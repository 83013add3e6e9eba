"""Constants that are worked out are those of the printed tables."""

from __future__ import annotations

import math

import pytest

from weighstation.errors import SpecificationError
from weighstation.monitor import c4, chart_constants

# Factors for constructing control charts, n = 2 to 25: A2, A3, c4, B3, B4, d2, d3, D3, D4 to three
# places (four for c4), as in the tables of ASTM MNL 7 and textbooks (read in two copies). Prints
# differ from the exactly rounded value by one unit in the last place for D4 of n = 3, 5, 18, 19 and
# 22, d3 of 19, D3 of 22 and 24.
PRINTED = """
2 1.880 2.659 .7979 0 3.267 1.128 .853 0 3.267
3 1.023 1.954 .8862 0 2.568 1.693 .888 0 2.574
4 .729 1.628 .9213 0 2.266 2.059 .880 0 2.282
5 .577 1.427 .9400 0 2.089 2.326 .864 0 2.114
6 .483 1.287 .9515 .030 1.970 2.534 .848 0 2.004
7 .419 1.182 .9594 .118 1.882 2.704 .833 .076 1.924
8 .373 1.099 .9650 .185 1.815 2.847 .820 .136 1.864
9 .337 1.032 .9693 .239 1.761 2.970 .808 .184 1.816
10 .308 .975 .9727 .284 1.716 3.078 .797 .223 1.777
11 .285 .927 .9754 .321 1.679 3.173 .787 .256 1.744
12 .266 .886 .9776 .354 1.646 3.258 .778 .283 1.717
13 .249 .850 .9794 .382 1.618 3.336 .770 .307 1.693
14 .235 .817 .9810 .406 1.594 3.407 .763 .328 1.672
15 .223 .789 .9823 .428 1.572 3.472 .756 .347 1.653
16 .212 .763 .9835 .448 1.552 3.532 .750 .363 1.637
17 .203 .739 .9845 .466 1.534 3.588 .744 .378 1.622
18 .194 .718 .9854 .482 1.518 3.640 .739 .391 1.608
19 .187 .698 .9862 .497 1.503 3.689 .734 .403 1.597
20 .180 .680 .9869 .510 1.490 3.735 .729 .415 1.585
21 .173 .663 .9876 .523 1.477 3.778 .724 .425 1.575
22 .167 .647 .9882 .534 1.466 3.819 .720 .434 1.566
23 .162 .633 .9887 .545 1.455 3.858 .716 .443 1.557
24 .157 .619 .9892 .555 1.445 3.895 .712 .451 1.548
25 .153 .606 .9896 .565 1.435 3.931 .708 .459 1.541
"""
# d2 and d3 to six places, computed independently by quadrature.
SIX_PLACES = """
2 1.128379 .852502, 3 1.692569 .888368, 4 2.058751 .879808, 5 2.325929 .864082,
6 2.534413 .848040, 7 2.704357 .833205, 8 2.847201 .819831, 9 2.970026 .807834,
10 3.077505 .797051, 11 3.172873 .787315, 12 3.258455 .778478, 13 3.335980 .770416,
14 3.406763 .763023, 15 3.471827 .756211, 16 3.531983 .749908, 17 3.587884 .744052,
18 3.640064 .738591, 19 3.688963 .733481, 20 3.734950 .728686, 21 3.778336 .724173,
22 3.819385 .719915, 23 3.858323 .715887, 24 3.895348 .712068, 25 3.930629 .708441
"""
ROWS = [[float(word) for word in line.split()] for line in PRINTED.strip().splitlines()]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"n={row[0]:.0f}")
def test_printed_table(row: list[float]) -> None:
    """To one unit in the last printed place, because some prints are off by that."""
    n, *printed = row
    c = chart_constants(int(n))
    found = [c.a2, c.a3, c.c4, c.b3, c.b4, c.d2, c.d3, c.d3_limit, c.d4_limit]

    assert printed == pytest.approx(found, abs=1.01e-3)
    assert printed[2] == pytest.approx(c.c4, abs=1e-4)


@pytest.mark.parametrize("text", SIX_PLACES.split(","), ids=lambda text: f"n={text.split()[0]}")
def test_six_places(text: str) -> None:
    n, d2, d3 = map(float, text.split())
    c = chart_constants(int(n))

    assert [d2, d3] == pytest.approx([c.d2, c.d3], abs=5.1e-7)


def test_exact_values() -> None:
    """Closed forms, and seven places computed independently by quadrature with 50 digits."""
    two, five = chart_constants(2), chart_constants(5)

    assert two.d2 == pytest.approx(2 / math.sqrt(math.pi), rel=1e-12)
    assert two.d3 == pytest.approx(math.sqrt(2 - 4 / math.pi), rel=1e-11)
    assert two.c4 == pytest.approx(math.sqrt(2 / math.pi), rel=1e-14)
    assert five.d2 == pytest.approx(2.3259289, abs=5e-8)
    assert five.d4_limit == pytest.approx(2.11450, abs=5e-6)
    assert chart_constants(3).d4_limit == pytest.approx(2.57459, abs=5e-6)
    assert [c4(n) for n in (2, 5, 10, 25)] == pytest.approx(
        [0.7978846, 0.9399856, 0.9726593, 0.9896404], abs=5e-8
    )


@pytest.mark.parametrize("n", [1, 0, 10_001])
def test_sizes_that_make_no_subgroup_are_refused(n: int) -> None:
    with pytest.raises(SpecificationError, match="2 to 10,000"):
        chart_constants(n)


@pytest.mark.parametrize("n", [200, 10_000, 100_000, 10**9])
def test_c4_of_a_long_batch_follows_its_series(n: int) -> None:
    """1 - 1/(4n) - 7/(32n^2) - 19/(128n^3) (textbook); what is left out is below 1 / n^4."""
    series = -(1 / (4 * n) + 7 / (32 * n**2) + 19 / (128 * n**3))

    assert series == pytest.approx(c4(n) - 1, abs=1 / n**4 + 3e-16)


def test_c4_has_no_size_that_a_day_could_reach() -> None:
    with pytest.raises(SpecificationError, match="2 to 1,000,000,000,000 values"):
        c4(10**12 + 1)
