use crate::line::{Line, Stand};
use crate::pipe::{Device, MarkKind, State};
use crate::strength::{Load, LoadKind};
use crate::unit::nature::water;

/// The line empties at its lower end while its upper end is shut or blocked, with the vents that stand.
///
/// Below a vent that lets air in by itself the water falls away and air follows; over a crest beyond it water goes on running as a siphon until air reaches the low before it, so the suction at a station is the height
/// from the lowest point between it and the vent: `p = -rho g (z(s) - min z)`. Without any such vent the whole line is pulled at with the air's pressure less the vapour's.
/// Source: statics of a water column; the bound by the vapour pressure is physics, not a figure of a handbook.
pub fn drained(line: &Line) -> Load {
    let stations = &line.heights.station_m;
    let heights = &line.heights.mean_m;
    let vacuum_pa = line.situation.air_pa - water(line.water.warmest_c).vapour_pa;
    let weight = water(line.water.usual_c).density_kg_per_m3 * line.situation.gravity_m_per_s2;
    let mut lift_m = vec![f64::INFINITY; stations.len()];
    for inlet in line.stands.iter().filter(|s| lets_air_in(s)) {
        let at = stations
            .partition_point(|&s| s < inlet.station_m)
            .min(stations.len().saturating_sub(1));
        // Down from the vent, then up from it: the lowest point on the way sets the height that is left hanging.
        let mut lowest = f64::INFINITY;
        for (lift, z) in lift_m.iter_mut().zip(heights).skip(at) {
            lowest = lowest.min(*z);
            *lift = lift.min(z - lowest);
        }
        lowest = f64::INFINITY;
        for (lift, z) in lift_m.iter_mut().zip(heights).take(at + 1).rev() {
            lowest = lowest.min(*z);
            *lift = lift.min(z - lowest);
        }
    }
    let least_pa = lift_m
        .iter()
        .map(|lift| -(weight * lift).min(vacuum_pa))
        .collect();
    Load {
        name: "drained".to_owned(),
        kind: LoadKind::Drained,
        largest_pa: vec![0.0; stations.len()],
        least_pa,
    }
}

/// Whether a thing that stands lets air into the pipe by itself.
pub fn lets_air_in(stand: &Stand) -> bool {
    stand.kind == MarkKind::Vent
        && stand.state == State::Works
        && stand.cock_open
        && matches!(
            stand.device,
            Some(Device::Standpipe | Device::VacuumValve | Device::CombinationValve)
        )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe;

    fn line() -> Line {
        let pipe = pipe::find("PE100 SDR17 110").unwrap();
        Line::plain(
            &[(0.0, 100.0), (50.0, 90.0), (90.0, 95.0), (170.0, 80.0)],
            &pipe,
        )
    }

    fn vent(station_m: f64) -> Stand {
        Stand {
            kind: MarkKind::Vent,
            station_m,
            device: Some(Device::Standpipe),
            bore_m: Some(0.025),
            top_m: Some(2.0),
            cock_open: true,
            state: State::Works,
            strength_n: None,
            opens_at_pa: None,
            name: String::new(),
        }
    }

    #[test]
    fn without_a_vent_the_whole_line_is_pulled_at() {
        let load = drained(&line());
        assert!(
            load.least_pa.iter().all(|p| (*p + 100_097.0).abs() < 20.0),
            "{:?}",
            load.least_pa
        );
    }

    #[test]
    fn below_a_vent_only_what_hangs_over_a_crest_pulls() {
        let mut line = line();
        line.stands.push(vent(0.0));
        let least = drained(&line).least_pa;
        assert_eq!((least[0], least[1], least[3]), (0.0, 0.0, 0.0));
        assert!((least[2] + 5.0 * 999.7 * 9.80665).abs() < 5.0);
        line.stands.push(vent(90.0));
        assert!(drained(&line).least_pa.iter().all(|p| p.abs() < 1e-9));
    }
}
