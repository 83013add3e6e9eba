"""Currencies by their codes of ISO 4217, and how many decimals money in each is written with."""

from __future__ import annotations

USUAL_DECIMALS = 2
"""Of money without a code, and of codes that are no longer on the list."""

# ISO 4217, list one of its maintenance agency, as published on 2026-01-01, by minor units. Codes
# that have none are left out: metals, units of account and codes for tests are no money of a shop.
_BY_DECIMALS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: (
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD"
        " CAD CDF CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP"
        " GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK"
        " LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO"
        " NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS"
        " SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST"
        " XAD XCD XCG YER ZAR ZMW ZWG"
    ),
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
CURRENCIES = {code: decimals for decimals, codes in _BY_DECIMALS.items() for code in codes.split()}
"""Decimals by code."""


def money_decimals(currency: str) -> int:
    """Return how many decimals money is written with.

    Parameters
    ----------
    currency : str
        Code by ISO 4217; older runs may have anything, or nothing.

    Returns
    -------
    int

    Examples
    --------
    >>> money_decimals("EUR"), money_decimals("JPY"), money_decimals("KWD")
    (2, 0, 3)
    """
    return CURRENCIES.get(currency, USUAL_DECIMALS)
