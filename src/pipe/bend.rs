//! How tightly a pipe may be bent.

use super::{How, Known, Material, Pipe};

/// What lies in the bend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InBend {
    /// Plain pipe.
    Pipe,
    /// A joint, fitting or flange.
    Fitting,
}

/// Outside diameters over which the long-term radius of polyethylene holds: (largest diameter ratio, multiple).
///
/// PPI Handbook of PE Pipe, bend table, long term at 73 F; between its rows the next, larger multiple is taken.
const PE_LONG_TERM: [(f64, f64); 6] = [
    (9.0, 20.0),
    (13.6, 25.0),
    (21.0, 27.0),
    (26.0, 34.0),
    (33.0, 42.0),
    (41.0, 52.0),
];

/// The European table at 20 C (secondary source): (diameter ratio, multiple), straight between, held at the ends.
const PE_AT_20_C: [(f64, f64); 4] = [(17.6, 20.0), (26.0, 30.0), (33.0, 40.0), (41.0, 50.0)];

/// Least radius of a bend of the pipe's axis, m, at the coldest the pipe is while it is bent or held bent, C; `None` where the pipe is not to be bent.
///
/// Polyethylene: the larger of the PPI long-term table and the European one, which asks 35 instead of 20 diameters at 10 C and 50 at 0 C (held below);
/// with a joint or fitting in the bend at least 100 diameters (from memory). PVC-U: 300 diameters, from metric tables second hand (US tables give 250 with a
/// factor of 2.5 in it). Steel: `None`, it is treated as straight.
pub fn least_radius_m(pipe: &Pipe, coldest_c: f64, what: InBend) -> Option<Known> {
    let multiple = match pipe.material {
        Material::Steel => return None,
        Material::Pvc if what == InBend::Fitting => return None,
        Material::Pvc => Known::new(300.0, How::Secondary, "metric PVC-U tables, second hand"),
        Material::Pe => {
            let plain = pe_multiple(pipe.diameter_ratio(), coldest_c);
            match what {
                InBend::Pipe => plain,
                InBend::Fitting => plain.larger(Known::new(
                    100.0,
                    How::Memory,
                    "PPI Handbook of PE Pipe, the number from memory",
                )),
            }
        }
    };
    Some(Known::new(
        multiple.value * pipe.outer_diameter_m,
        multiple.how,
        multiple.source,
    ))
}

fn pe_multiple(ratio: f64, coldest_c: f64) -> Known {
    let long_term = PE_LONG_TERM
        .iter()
        .find(|(upper, _)| ratio <= *upper + 0.05)
        .or(PE_LONG_TERM.last())
        .map_or(f64::INFINITY, |(_, multiple)| *multiple);
    let at_20_c = PE_AT_20_C
        .windows(2)
        .find_map(|w| match w {
            [(r0, m0), (r1, m1)] if ratio <= *r1 => {
                Some(m0 + (m1 - m0) * ((ratio - r0) / (r1 - r0)).max(0.0))
            }
            _ => None,
        })
        .unwrap_or(50.0);
    // 20, 35 and 50 diameters at 20, 10 and 0 C: 1.5 diameters more a kelvin on 20, and in that ratio for thinner walls.
    let cold = 1.0 + 0.075 * (20.0 - coldest_c.clamp(0.0, 20.0));
    let by_handbook = Known::new(long_term, How::Read, "PPI Handbook of PE Pipe, bend table");
    let by_temperature = Known::new(
        at_20_c * cold,
        How::Secondary,
        "European tables for PE80 and PE100 by temperature, second hand",
    );
    by_handbook.larger(by_temperature)
}

/// Largest angle at one ring joint, rad: 2 degrees, the lower of the 2 to 3 in use (secondary source).
pub const RING_JOINT_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn thin_walls_cold_and_fittings_ask_for_more() {
        let thick = find("PE100 SDR 11 90").unwrap();
        let thin = find("PE100 SDR 26 90").unwrap();
        let at = |p, c, w| least_radius_m(p, c, w).unwrap().value / 0.09;
        assert!((at(&thick, 23.0, InBend::Pipe) - 25.0).abs() < 1e-9);
        assert!((at(&thick, 10.0, InBend::Pipe) - 35.0).abs() < 1e-9);
        assert!((at(&thick, 0.0, InBend::Pipe) - 50.0).abs() < 1e-9);
        assert!((at(&thick, -20.0, InBend::Pipe) - 50.0).abs() < 1e-9);
        assert!((at(&thin, 23.0, InBend::Pipe) - 34.0).abs() < 1e-9);
        assert!(at(&thick, 23.0, InBend::Fitting) > 99.0);
        assert!(least_radius_m(&find("steel sch 40 4 in").unwrap(), 20.0, InBend::Pipe).is_none());
    }
}
