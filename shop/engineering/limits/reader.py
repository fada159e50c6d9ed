"""Reading limits: one-sided, ranges, tolerances to both sides, or a nominal with the shop's default."""

import re
from collections.abc import Mapping
from fractions import Fraction

from shop.engineering.errors import LimitsError, QuantityError, UnitMissingError
from shop.engineering.limits.zone import Limits
from shop.engineering.quantities.characters import clean
from shop.engineering.quantities.figures import NUMBER, read_number
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.words import say as _

DefaultTolerance = str | Mapping[Dimension, str] | None

_AT_MOST = r"≤|<=|=<|max(?:imum|\.)?(?= )|at most(?= )|not more than(?= )|no more than(?= )|up to(?= )"
_AT_LEAST = r"≥|>=|=>|min(?:imum|\.)?(?= )|at least(?= )|not less than(?= )|no less than(?= )"
_BEFORE = re.compile(rf"(?:(?P<most>{_AT_MOST})|(?P<least>{_AT_LEAST})) ?(?P<value>.+)", re.IGNORECASE)
_BEHIND = re.compile(
    r"(?P<value>.+?)(?: |(?<=[\"'°%]))(?:(?P<most>max(?:imum)?\.?)|(?P<least>min(?:imum)?\.?))", re.IGNORECASE
)
_STRICT = re.compile(r"(?P<sign>[<>])(?![=]) ?(?P<value>.+)")
_RANGE = re.compile(r"(?P<low>.+?) ?(?:…|\.\.|–| to ) ?(?P<high>.+)")
_SIGN = re.compile(r"[+−]|(?<=[ /])-(?= ?[0-9.])")
_HYPHEN = re.compile(rf"(?P<low>{NUMBER}) ?- ?(?P<high>{NUMBER})(?P<unit>[^0-9]*)")
_PERCENT = re.compile(rf"(?P<number>{NUMBER}) ?%(?P<unit>.*)")


def parse_limits(text: str, *, default_tolerance: DefaultTolerance = None) -> Limits:
    """Read limits as people write them, exactly.

    Args:
        text: 29 1/2 ±1/16 in · 65 +5 −0 lbf·ft · 65 ±10 % lbf·ft · ≤ 1/8 in · 1 in min · 14…16 in ·
            14 to 16 in · 60 min (at least so long) · 29 1/2 in (with the default tolerance).
        default_tolerance: the tolerance for a nominal alone: "±1/16 in", "±10 %", "+5 −0 lbf·ft"; or one
            for each dimension.
    Returns: the limits, `text` kept as it was written.
    Raises:
        LimitsError: for anything that is not one limit, or contradicts itself, or is a nominal alone
            without a default; in the user's words, `.meant` says what it could have meant.

    Valid for any string. Source: HOUSE (forms of limits); ISO14405 (symmetric, unsymmetric and one-sided
    tolerances of a dimension)
    """
    try:
        cleaned = clean(text)
        cleaned = _with_signs(cleaned)
        return _read(cleaned, text, default_tolerance)
    except LimitsError:
        raise
    except QuantityError as error:
        raise LimitsError(error.message, error.meant) from error


def _with_signs(cleaned: str) -> str:
    """Tolerances said or typed in several characters, with their signs."""
    for said in ("+/-", "+-", "+/−", "+−"):
        cleaned = cleaned.replace(said, "±")
    cleaned = re.sub(r"(?<=\S) plus[ /-](?:or )?minus ", " ±", cleaned, flags=re.IGNORECASE)
    cleaned = re.sub(r"(?<=\S) plus (?=\S)", " +", cleaned, flags=re.IGNORECASE)
    return re.sub(r"(?<=\S) minus (?=\S)", " −", cleaned, flags=re.IGNORECASE)


def read_share(text: str) -> Fraction | None:
    """A percentage as a fraction.

    Args:
        text: "4 %"; nothing else.
    Returns: the fraction, 4 % as 1/25; None for any other text.
    Raises:
        QuantityError: for what no number or unit may contain.

    Valid for any string. Source: HOUSE (per cent)
    """
    match = _PERCENT.fullmatch(clean(text))
    return read_number(match["number"]) / 100 if match and not match["unit"].strip() else None


def _read(cleaned: str, text: str, default_tolerance: DefaultTolerance) -> Limits:
    strict = _STRICT.fullmatch(cleaned)
    if strict:
        sign = "≤" if strict["sign"] == "<" else "≥"
        raise LimitsError(
            _("Does the limit itself still conform? Write %(sign)s if it does", sign=sign),
            (f"{sign} {strict['value']}",),
        )
    one_sided = _time_alone(cleaned, text) or _one_sided(cleaned, text)
    if one_sided is not None:
        return one_sided
    if "±" in cleaned:
        return _symmetric(cleaned, text)
    range_match = _RANGE.fullmatch(cleaned)
    if range_match:
        return _range(range_match["low"], range_match["high"], text)
    signs = list(_SIGN.finditer(cleaned, 1))
    if signs:
        return _unsymmetric(cleaned, signs, text)
    return _nominal_alone(cleaned, text, default_tolerance)


def _one_sided(cleaned: str, text: str) -> Limits | None:
    match = _BEFORE.fullmatch(cleaned) or _BEHIND.fullmatch(cleaned)
    if match is None or (match.re is _BEHIND and match["least"] and not _is_whole(match["value"])):
        return None
    limit = parse_quantity(match["value"])
    if match["most"]:
        return Limits(None, None, limit, text, limit.unit)
    return Limits(None, limit, None, text, limit.unit)


def _is_whole(value: str) -> bool:
    """Whether the text before a last "min" stands for itself, so that "min" is not its unit."""
    try:
        parse_quantity(value)
    except QuantityError:
        return False
    return True


def _time_alone(cleaned: str, text: str) -> Limits | None:
    """60 min: minutes or a minimum, it is the least time either way."""
    if not re.fullmatch(rf"{NUMBER} ?min\.?", cleaned):
        return None
    limit = parse_quantity(cleaned)
    return Limits(None, limit, None, text, limit.unit)


def _range(low_text: str, high_text: str, text: str) -> Limits:
    low, high = _together(low_text, high_text)
    return Limits(None, low.to(high.unit), high, text, high.unit)


def _together(first: str, second: str) -> tuple[Quantity, Quantity]:
    """Two quantities of which one may take its unit from the other."""
    try:
        one = parse_quantity(first)
    except UnitMissingError:
        other = parse_quantity(second)
        return parse_quantity(first, default_unit=other.unit), other
    return one, parse_quantity(second, default_unit=one.unit)


def _symmetric(cleaned: str, text: str) -> Limits:
    nominal_text, _pm, tolerance_text = cleaned.partition("±")
    if not nominal_text.strip():
        raise LimitsError(_("“%(text)s” is a tolerance without a nominal", text=text.strip()))
    nominal, (tolerance,) = _with_tolerances(nominal_text.strip(), [tolerance_text.strip()], text)
    return _around(nominal, -tolerance, tolerance, text)


def _unsymmetric(cleaned: str, signs: list[re.Match[str]], text: str) -> Limits:
    nominal_text = cleaned[: signs[0].start()].strip(" /,")
    if len(signs) == 1:
        rest = cleaned[signs[0].end() :].strip()
        sign, zero = ("+", "−0") if signs[0][0] == "+" else ("−", "+0")
        raise LimitsError(
            _("“%(text)s” has one tolerance; write both, 0 as well", text=text.strip()),
            (f"{nominal_text} ±{rest}", f"{nominal_text} {zero} {sign}{rest}"),
        )
    if len(signs) > 2:
        raise LimitsError(_("“%(text)s” has more than two tolerances", text=text.strip()))
    first = cleaned[signs[0].end() : signs[1].start()].strip(" /,")
    second = cleaned[signs[1].end() :].strip()
    if (signs[0][0] == "+") == (signs[1][0] == "+"):
        raise LimitsError(
            _("“%(text)s”: both tolerances go the same way; give the two limits", text=text.strip()),
        )
    nominal, tolerances = _with_tolerances(nominal_text, [first, second], text)
    up, down = tolerances if signs[0][0] == "+" else tolerances[::-1]
    return _around(nominal, -down, up, text)


def _with_tolerances(
    nominal_text: str, tolerance_texts: list[str], text: str
) -> tuple[Quantity, list[Fraction]]:
    """The nominal, and its tolerances in the nominal's unit; the unit may stand behind any of them."""
    shares = [_PERCENT.fullmatch(tolerance) for tolerance in tolerance_texts]
    plain = [
        share["unit"].strip() if share else tolerance
        for share, tolerance in zip(shares, tolerance_texts, strict=True)
    ]
    nominal = _nominal(nominal_text, plain, shares)
    tolerances = []
    for share, tolerance in zip(shares, tolerance_texts, strict=True):
        if share:
            tolerances.append(abs(nominal.value) * read_number(share["number"]) / 100)
            continue
        if any(shares) and re.fullmatch(NUMBER, tolerance) and read_number(tolerance):
            raise LimitsError(
                _("“%(text)s”: is %(tolerance)s a percentage?", text=text.strip(), tolerance=tolerance),
                (f"{tolerance} %", f"{tolerance} {nominal.unit}"),
            )
        tolerances.append(_tolerance(tolerance, nominal, text))
    if any(shares) and nominal.value == 0:
        raise LimitsError(_("“%(text)s”: a percentage of 0 is nothing", text=text.strip()))
    return nominal, tolerances


def _nominal(nominal_text: str, plain: list[str], shares: list[re.Match[str] | None]) -> Quantity:
    try:
        return parse_quantity(nominal_text)
    except UnitMissingError:
        for candidate, share in zip(plain[::-1], shares[::-1], strict=True):
            if share and candidate:
                return parse_quantity(nominal_text, default_unit=candidate)
            if not share:
                try:
                    unit = parse_quantity(candidate).unit
                except UnitMissingError:
                    continue
                return parse_quantity(nominal_text, default_unit=unit)
        raise


def _tolerance(tolerance_text: str, nominal: Quantity, text: str) -> Fraction:
    if tolerance_text[:1] in {"+", "-", "−", "–"}:
        raise LimitsError(_("“%(text)s”: a tolerance has one sign", text=text.strip()))
    tolerance = parse_quantity(tolerance_text, default_unit=nominal.unit)
    return tolerance.to(nominal.unit).value


def _around(nominal: Quantity, down: Fraction, up: Fraction, text: str, *, default: bool = False) -> Limits:
    return Limits(
        nominal,
        Quantity(nominal.value + down, nominal.unit),
        Quantity(nominal.value + up, nominal.unit),
        text,
        nominal.unit,
        default,
    )


def _nominal_alone(cleaned: str, text: str, default_tolerance: DefaultTolerance) -> Limits:
    nominal = _one_quantity(cleaned, text)
    if nominal.dimension == Dimension.TIME:
        meant = (f"≥ {cleaned}", f"≤ {cleaned}")
        raise LimitsError(_("“%(text)s”: at least or at most?", text=text.strip()), meant)
    default = (
        default_tolerance.get(nominal.dimension)
        if isinstance(default_tolerance, Mapping)
        else default_tolerance
    )
    if not default:
        meant = (f"≤ {cleaned}", f"≥ {cleaned}")
        raise LimitsError(
            _("“%(text)s” has no tolerance, and the shop has no default for it", text=text.strip()), meant
        )
    around = parse_limits(f"{cleaned} {default}")
    if around.nominal is None:
        raise LimitsError(_("“%(tolerance)s” is not a tolerance", tolerance=default))
    return Limits(around.nominal, around.low, around.high, text, around.unit, default_applied=True)


def _one_quantity(cleaned: str, text: str) -> Quantity:
    try:
        return parse_quantity(cleaned)
    except QuantityError:
        match = _HYPHEN.fullmatch(cleaned)
        if match is None:
            raise
        meant = (f"{match['low']}…{match['high']}{match['unit']}",)
        raise LimitsError(
            _("“%(text)s”: a hyphen joins whole and fraction; write a range with …", text=text.strip()), meant
        ) from None
