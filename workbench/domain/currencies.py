"""The currencies in use and how many decimals each is written with.

Codes are those of ISO 4217 that are legal tender somewhere; the decimals are those of the Unicode
CLDR supplemental data (release 47), which a test compares with the Babel library.
"""

from __future__ import annotations

_WITHOUT_DECIMALS = """
    AFN ALL BIF CLP DJF GNF IQD IRR ISK JPY KMF KPW KRW LAK LBP MGA MMK PYG RSD RWF SOS SYP UGX
    VND VUV XAF XOF XPF YER
"""
_WITH_TWO = """
    AED AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF
    CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD
    HNL HTG HUF IDR ILS INR JMD KES KGS KHR KYD KZT LKR LRD LSL MAD MDL MKD MNT MOP MRU MUR MVR
    MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RUB SAR SBD SCR SDG
    SEK SGD SHP SLE SRD SSP STN SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD
    XCG ZAR ZMW ZWG
"""
_WITH_THREE = """
    BHD JOD KWD LYD OMR TND
"""

DECIMALS: dict[str, int] = {
    **dict.fromkeys(_WITHOUT_DECIMALS.split(), 0),
    **dict.fromkeys(_WITH_TWO.split(), 2),
    **dict.fromkeys(_WITH_THREE.split(), 3),
}
