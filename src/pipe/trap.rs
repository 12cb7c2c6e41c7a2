//! Sizes that are called one thing and are another.

use super::{Material, Pipe};

/// A name of a size that misleads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeTrap {
    /// The size in inches is a name: the outside measures more.
    InchName {
        /// The name's number, in.
        nominal_in: f64,
        /// What the outside measures, m.
        outside_m: f64,
    },
    /// The DN is the outside here, while for steel it is near the bore.
    OutsideNotBore {
        /// The bore to compute with, m.
        bore_m: f64,
    },
    /// The DN of steel is a name near the bore: the outside measures more.
    SteelName {
        /// What the outside measures, m.
        outside_m: f64,
    },
    /// Only the inside is made to size: outside fittings of other pipe do not fit.
    InsideOnly,
}

/// What misleads in the name of a pipe's size, if anything.
pub fn size_trap(pipe: &Pipe) -> Option<SizeTrap> {
    let label = pipe.size_label.as_str();
    let outside_m = pipe.outer_diameter_m;
    if label.contains("DN/OD") {
        return Some(SizeTrap::OutsideNotBore {
            bore_m: pipe.inner_diameter_m,
        });
    }
    if label.contains("SIDR") {
        return Some(SizeTrap::InsideOnly);
    }
    let nominal_in = super::words::size_in_inches(&label.to_lowercase())?;
    match pipe.material {
        Material::Steel => Some(SizeTrap::SteelName { outside_m }),
        _ => Some(SizeTrap::InchName {
            nominal_in,
            outside_m,
        }),
    }
}

/// An outside diameter that is the name of a size in inches rather than a measure: what pipe of that name measures outside, m.
///
/// "3 in" given as an outside diameter is 76.2 mm, while pipe called 3 in measures 88.9 mm (3.500 in): almost certainly the name was written.
/// `None` for 14 in and more, where name and outside agree, and for measures that are no name.
pub fn outside_of_name_m(outside_m: f64) -> Option<f64> {
    /// Name and outside of iron pipe sizes, in (ASME B36.10M).
    const IRON_PIPE_IN: [(f64, f64); 14] = [
        (0.5, 0.840),
        (0.75, 1.050),
        (1.0, 1.315),
        (1.25, 1.660),
        (1.5, 1.900),
        (2.0, 2.375),
        (2.5, 2.875),
        (3.0, 3.500),
        (4.0, 4.500),
        (5.0, 5.563),
        (6.0, 6.625),
        (8.0, 8.625),
        (10.0, 10.750),
        (12.0, 12.750),
    ];
    let inches = outside_m / 0.0254;
    IRON_PIPE_IN
        .iter()
        .find(|(name, _)| (name - inches).abs() < 0.002)
        .map(|(_, outside)| outside * 0.0254)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn names_that_are_no_measures() {
        assert!((outside_of_name_m(0.0762).unwrap() - 0.0889).abs() < 1e-6);
        assert_eq!(outside_of_name_m(0.0889), None);
        assert_eq!(outside_of_name_m(0.090), None);
        let trap = size_trap(&find("PE4710 DR 11 3 in").unwrap()).unwrap();
        assert!(
            matches!(trap, SizeTrap::InchName { nominal_in, outside_m } if nominal_in == 3.0 && (outside_m - 0.0889).abs() < 1e-4)
        );
        assert!(matches!(
            size_trap(&find("PE100 SDR11 90").unwrap()),
            Some(SizeTrap::OutsideNotBore { .. })
        ));
        assert!(matches!(
            size_trap(&find("SIDR 15 1 in PE3608").unwrap()),
            Some(SizeTrap::InsideOnly)
        ));
    }
}
