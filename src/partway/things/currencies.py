"""Currencies: the codes that money may be counted in, the decimals of each and the smallest amount of cash in it."""

from __future__ import annotations

from decimal import Decimal

# ISO 4217, list one: the codes in use, without funds, metals, units of account and test codes.
# Compared on the day of writing with the copy of that list in the Debian iso-codes project
# (as carried by pycountry 26.2.16).
_CODES = """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD
    CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS
    GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW
    KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR
    MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR
    SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX
    USD UYU UZS VED VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG
"""
CURRENCIES: frozenset[str] = frozenset(_CODES.split())

# Decimals and cash of those that are not the common two: the CLDR's supplemental currency data, as Babel has it
# (https://unicode.org/reports/tr35/tr35-numbers.html#Supplemental_Currency_Data). A copy, because loading Babel takes
# longer than many a command does; a test holds every code against Babel.
COMMON = 2
_WHOLE = """
    AFN ALL BIF CLP DJF GNF IQD IRR ISK JPY KMF KPW KRW LAK LBP MGA MMK PYG RSD RWF SOS SYP UGX VND VUV XAF XOF XPF YER
"""
_THOUSANDTHS = "BHD JOD KWD LYD OMR TND"
DECIMALS = dict.fromkeys(_WHOLE.split(), 0) | dict.fromkeys(_THOUSANDTHS.split(), 3)
# Cash without coins below the whole unit, where amounts have decimals.
_WHOLE_CASH = "AMD COP CRC CZK GYD HUF IDR MNT MUR NOK PKR SEK TWD TZS UZS"
_CASH = {**dict.fromkeys(_WHOLE_CASH.split(), "1"), "CAD": "0.05", "CHF": "0.05", "DKK": "0.50"}


def decimals(currency: str) -> int:
    """How many decimals an amount in a currency has."""
    return DECIMALS.get(currency, COMMON)


def has_hundredths(currency: str) -> bool:
    """Whether a price in it may be said in hundredths, such as cents."""
    return decimals(currency) == COMMON


def smallest(currency: str) -> Decimal:
    """The smallest amount of a currency: what a worked-out amount is rounded to."""
    return Decimal(1).scaleb(-decimals(currency))


def coin(currency: str) -> Decimal:
    """The smallest amount that cash comes in."""
    return Decimal(_CASH[currency]) if currency in _CASH else smallest(currency)
