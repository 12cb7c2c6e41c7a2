//! What stands in a tag beside its name: positions, versions, namespaces.

use super::fields::GpxQuantity;
use super::source::GpxText;
use crate::text::Fault;
use quick_xml::events::BytesStart;

type TagReply<T> = Result<T, Box<Fault>>;

impl<'a> GpxText<'a> {
    /// Latitude and longitude of a point from its attributes, whatever else stands there.
    pub(super) fn position(&self, tag: &BytesStart<'a>, at: usize) -> TagReply<(f64, f64)> {
        let (mut lat, mut lon) = (None, None);
        for attribute in tag.attributes().with_checks(false) {
            let attribute = attribute.map_err(|e| self.bad_attribute(at, &e.to_string()))?;
            let (slot, quantity) = match attribute.key.0 {
                "lat" => (&mut lat, GpxQuantity::Latitude),
                "lon" => (&mut lon, GpxQuantity::Longitude),
                _ => continue,
            };
            let value_at = self.offset_of(&attribute.value).unwrap_or(at);
            if slot.is_some() {
                return Err(self.second_position(value_at).into());
            }
            let value = quantity.read(&attribute.value, value_at, *self);
            *slot = Some(value?);
        }
        let (Some(lat), Some(lon)) = (lat, lon) else {
            let lacks = if lat.is_none() { "lat" } else { "lon" };
            return Err(self.no_position(at, lacks).into());
        };
        Ok((lat, lon))
    }

    /// The xmlns declarations of a tag: prefix and namespace.
    pub(super) fn declarations(
        &self,
        tag: &BytesStart<'a>,
        at: usize,
    ) -> TagReply<Vec<(&'a str, String)>> {
        let mut out = Vec::new();
        for attribute in tag.attributes().with_checks(false) {
            let attribute = attribute.map_err(|e| self.bad_attribute(at, &e.to_string()))?;
            let key_at = self.offset_of(attribute.key.0).unwrap_or(at);
            let key = self.slice(key_at, attribute.key.0.len());
            let prefix = if key == "xmlns" {
                ""
            } else if let Some(prefix) = key.strip_prefix("xmlns:") {
                prefix
            } else {
                continue;
            };
            out.push((prefix, attribute.value.into_owned()));
        }
        Ok(out)
    }

    /// The value of an attribute.
    pub(super) fn attribute(
        &self,
        tag: &BytesStart<'a>,
        name: &str,
        at: usize,
    ) -> TagReply<Option<String>> {
        for attribute in tag.attributes().with_checks(false) {
            let attribute = attribute.map_err(|e| self.bad_attribute(at, &e.to_string()))?;
            if attribute.key.0 == name {
                return Ok(Some(attribute.value.into_owned()));
            }
        }
        Ok(None)
    }
}

/// Whether a tag declares a namespace. Nearly no tag of a point has the letter x, which is quicker to look for than the word.
pub(super) fn declares(tag: &str) -> bool {
    tag.bytes().any(|b| b == b'x') && tag.contains("xmlns")
}

/// Latitude and longitude of a tag written as nearly all are, ` lat="46.1" lon="7.2"`: a short road for long files. `None`: look closer.
pub(super) fn plain_position(attributes: &str) -> Option<(f64, f64)> {
    let (lat, rest) = attributes.strip_prefix(" lat=\"")?.split_once('"')?;
    let (lon, rest) = rest.strip_prefix(" lon=\"")?.split_once('"')?;
    let (lat, lon): (f64, f64) = (lat.parse().ok()?, lon.parse().ok()?);
    (rest.trim_ascii().is_empty() && lat.abs() <= 90.0 && lon.abs() <= 180.0).then_some((lat, lon))
}
