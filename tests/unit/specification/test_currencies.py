"""Currencies are those of ISO 4217, and money has the decimals of its own.

Held against list one of the standard's maintenance agency, which the package ``iso4217`` carries
as it was published, on 1 January 2026.
"""

from __future__ import annotations

from datetime import date

import iso4217
import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import money_decimals, parse_catalogue
from weighstation.specification.currencies import CURRENCIES

LOAF = '[[product]]\nname = "Loaf"\nscaling_weight_g = 900\nunder_g = 8\nover_g = 8\n'


def test_codes_and_decimals_are_those_of_the_published_list() -> None:
    published = {each.code: each.exponent for each in iso4217.Currency}

    assert date(2026, 1, 1) == iso4217.__published__
    assert {code: n for code, n in published.items() if n is not None} == CURRENCIES


@pytest.mark.parametrize("code", sorted(CURRENCIES))
def test_a_shop_may_reckon_in_any_of_them(code: str) -> None:
    assert code == parse_catalogue(f'currency = "{code}"\n{LOAF}').currency


@pytest.mark.parametrize("given", ['"€"', '"eur"', '"Euro"', '"XAU"', '"BGN"', '"EUR "', '""', "7"])
def test_anything_else_is_refused_with_what_to_write(given: str) -> None:
    """Gold is no money of a shop, and the lev was given up for the euro on that day."""
    with pytest.raises(SpecificationError) as refused:
        parse_catalogue(f"currency = {given}\n{LOAF}", source="our.toml")

    assert (
        "our.toml has 1 fault: currency must be the code of a currency by ISO 4217, three capital"
        ' letters in quotes like "EUR". Mend the file and start again.'
    ) == refused.value.sentence


def test_what_older_runs_hold_is_printed_with_two_decimals() -> None:
    assert (2, 2, 2) == (money_decimals("€"), money_decimals(""), money_decimals("BGN"))
