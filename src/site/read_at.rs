use super::key::KeyForm;
use super::section::Section;
use super::{Date, DeclaredPlace, Located, bounds as b};
use crate::unit::{OnPegs, QuantityKind};
use toml::de::DeValue;

/// A day, as TOML writes it or in quotes.
pub(super) fn date(s: &Section<'_, '_>, key: &'static str) -> Option<Date> {
    s.hear(key, KeyForm::Day, None);
    let value = s.value(key)?;
    let day = match value.get_ref() {
        DeValue::Datetime(day) => day.date,
        DeValue::String(text) => text
            .parse::<toml::value::Datetime>()
            .ok()
            .and_then(|d| d.date),
        _ => None,
    };
    if day.is_none() {
        s.tell(key, format!("\"{key}\" is not a day"), |f| {
            f.expected("year-month-day")
                .advice("write for example 2026-05-14")
        });
    }
    day.map(|d| Date {
        year: d.year,
        month: d.month,
        day: d.day,
    })
}

/// Where something is: a station, a name, or "lat, lon".
pub(super) fn at(s: &Section<'_, '_>, key: &'static str) -> Option<Located<DeclaredPlace>> {
    s.hear(key, KeyForm::Place, None);
    let value = s.value(key)?;
    as_at(s, key, value)
}

/// The same, where it must be said.
pub(super) fn need_at(s: &Section<'_, '_>, key: &'static str) -> Option<Located<DeclaredPlace>> {
    s.need(
        key,
        "a station with its unit, a waypoint's name, or \"lat, lon\"",
        "write for example \"250 m\"",
    );
    at(s, key)
}

pub(super) fn as_at(
    s: &Section<'_, '_>,
    key: &'static str,
    value: &toml::Spanned<DeValue<'_>>,
) -> Option<Located<DeclaredPlace>> {
    if let DeValue::String(text) = value.get_ref() {
        match meant(text) {
            Meant::Place(at) => return s.as_text(key, value).map(|said| said.with(at)),
            Meant::OffEarth => {
                let said = s.as_text(key, value)?;
                let fault = said
                    .fault(format!("\"{key}\" is not a position on the earth"))
                    .found(&said.value)
                    .expected(
                        "\"lat, lon\": latitude from -90 to 90, then longitude from -180 to 180",
                    )
                    .advice("write the latitude first");
                s.paper.tell(value.span().start, fault);
                return None;
            }
            Meant::Station => {}
        }
    }
    let station = s.as_quantity(key, value, QuantityKind::Station, b::STATION)?;
    Some(s.paper.said(
        &value.span(),
        &s.path_of(key),
        DeclaredPlace::Station(OnPegs(station)),
    ))
}

/// What a text that says where something is means.
pub(crate) enum Meant {
    /// A name or a position.
    Place(DeclaredPlace),
    /// A position that is not on the earth.
    OffEarth,
    /// A station, right or wrong.
    Station,
}

/// Reads a text that says where something is, as far as that needs no unit.
pub(crate) fn meant(text: &str) -> Meant {
    match lat_lon(text) {
        Some((lat_deg, lon_deg)) if b::LATITUDE.hold(lat_deg) && b::LONGITUDE.hold(lon_deg) => {
            Meant::Place(DeclaredPlace::LatLon { lat_deg, lon_deg })
        }
        Some(_) => Meant::OffEarth,
        None if is_quantity(text) => Meant::Station,
        None => Meant::Place(DeclaredPlace::Name(text.trim().to_owned())),
    }
}

/// "-47.1012, 60.2011": two numbers with a comma between them. "12,5" is a decimal comma, not a position.
fn lat_lon(text: &str) -> Option<(f64, f64)> {
    let (lat, lon) = text.split_once(',')?;
    let is_spaced = lon.starts_with(char::is_whitespace) || lat.contains('.');
    let read = |t: &str| crate::text::number(t).ok();
    (is_spaced && !lon.contains(',')).then_some((read(lat)?, read(lon)?))
}

/// Whether a text is meant as a quantity: it begins like a number and goes on with a plus, a comma or a unit. Digits alone may be a waypoint's name.
fn is_quantity(text: &str) -> bool {
    let text = text.trim();
    let rest = text
        .trim_start_matches(['-', '\u{2212}'])
        .trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | ' '));
    let begins = text
        .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '\u{2212}' | '.'))
        && text.contains(|c: char| c.is_ascii_digit());
    let digits_alone = text.bytes().all(|b| b.is_ascii_digit());
    let unit_like = rest.is_empty()
        || QuantityKind::ALL
            .into_iter()
            .any(|k| crate::unit::parse(k, &format!("1 {rest}")).is_ok());
    begins && !digits_alone && unit_like
}
