use std::fmt;

/// Why a text is not a number that can be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoNumber {
    /// Nothing is there.
    Empty,
    /// Written with a comma where a point belongs: "12,5".
    DecimalComma,
    /// nan, inf, or larger than a number can be.
    NotFinite,
    /// Anything else.
    NotANumber,
}

impl fmt::Display for NoNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Empty => "this cell is empty",
            Self::DecimalComma => "a decimal comma",
            Self::NotFinite => "not a finite number",
            Self::NotANumber => "not a number",
        })
    }
}

/// A number as a person writes it: sign, digits with a decimal point, an exponent, blanks round it.
///
/// A typographic minus counts as a minus. A decimal comma is told as such, because the reader of a sheet may allow it.
/// Words that a machine would take (nan, inf, infinity) are refused.
pub fn number(text: &str) -> Result<f64, NoNumber> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NoNumber::Empty);
    }
    let plain = text.replace('\u{2212}', "-");
    let body = plain.strip_prefix(['+', '-']).unwrap_or(&plain);
    let word = body.to_ascii_lowercase();
    if ["nan", "inf", "infinity"].contains(&word.as_str()) {
        return Err(NoNumber::NotFinite);
    }
    if !body.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',') {
        return Err(NoNumber::NotANumber);
    }
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        Ok(_) => Err(NoNumber::NotFinite),
        Err(_) if is_comma_decimal(body) => Err(NoNumber::DecimalComma),
        Err(_) => Err(NoNumber::NotANumber),
    }
}

/// A number that counts things.
pub fn whole_number(text: &str) -> Result<u32, NoNumber> {
    let value = number(text)?;
    if value < 0.0 || value.fract() != 0.0 || value > f64::from(u32::MAX) {
        return Err(NoNumber::NotANumber);
    }
    let whole = value as u32;
    Ok(whole)
}

fn is_comma_decimal(body: &str) -> bool {
    body.matches(',').count() == 1 && body.replace(',', ".").parse::<f64>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_as_written() {
        assert_eq!(number(" 12.5 "), Ok(12.5));
        assert_eq!(number("\u{2212}3"), Ok(-3.0));
        assert_eq!(number("+.5"), Ok(0.5));
        assert_eq!(number("12,5"), Err(NoNumber::DecimalComma));
        assert_eq!(number("1,234,5"), Err(NoNumber::NotANumber));
        assert_eq!(number("1e400"), Err(NoNumber::NotFinite));
        assert_eq!(number("-Infinity"), Err(NoNumber::NotFinite));
        assert_eq!(number("NaN"), Err(NoNumber::NotFinite));
        assert_eq!(number("--3"), Err(NoNumber::NotANumber));
        assert_eq!(number("  "), Err(NoNumber::Empty));
        assert_eq!(whole_number("4"), Ok(4));
        assert_eq!(whole_number("4.5"), Err(NoNumber::NotANumber));
    }

    proptest! {
        #[test]
        fn what_is_printed_is_read_back(x in any::<f64>().prop_filter("finite", |x| x.is_finite())) {
            prop_assert_eq!(number(&format!("{x}")), Ok(x));
        }
    }
}
