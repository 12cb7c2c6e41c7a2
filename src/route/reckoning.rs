use super::{Route, interpolate};

/// Both reckonings of a line: stations along the pipe, and the survey's own as they stand on the pegs.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoning {
    /// Along the line, rising, m.
    station_m: Vec<f64>,
    /// The survey's own there, m.
    own_m: Vec<f64>,
    /// The survey's own, rising, each with its station along the line, m.
    pegs_m: (Vec<f64>, Vec<f64>),
}

impl Reckoning {
    /// Of a route.
    pub fn of(route: &Route) -> Self {
        let mut pegs: Vec<(f64, f64)> = route
            .nodes
            .iter()
            .map(|n| (n.own_station_m, n.station_m))
            .collect();
        pegs.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self {
            station_m: route.nodes.iter().map(|n| n.station_m).collect(),
            own_m: route.nodes.iter().map(|n| n.own_station_m).collect(),
            pegs_m: pegs.into_iter().unzip(),
        }
    }

    /// The lowest and the highest of the survey's own stations, m; `None` for a line without points.
    pub fn own_ends_m(&self) -> Option<(f64, f64)> {
        let own = &self.pegs_m.0;
        own.first().copied().zip(own.last().copied())
    }

    /// The survey's own station at one along the line, m: straight between points, held at the ends.
    pub fn own_of(&self, station_m: f64) -> f64 {
        interpolate(&self.station_m, &self.own_m, station_m)
    }

    /// The station along the line of one in the survey's own reckoning, m: straight between points, held at the ends.
    pub fn station_of(&self, own_m: f64) -> f64 {
        interpolate(&self.pegs_m.0, &self.pegs_m.1, own_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::Node;
    use proptest::prelude::*;

    fn route(pegs: &[(f64, f64)]) -> Route {
        let node = |&(station_m, own_station_m): &(f64, f64)| Node {
            station_m,
            own_station_m,
            ..Node::default()
        };
        Route {
            nodes: pegs.iter().map(node).collect(),
            ..Route::default()
        }
    }

    #[test]
    fn pegs_may_count_up_the_line() {
        let up = Reckoning::of(&route(&[(0.0, 90.0), (40.0, 50.0), (100.0, 0.0)]));
        assert_eq!(up.own_ends_m(), Some((0.0, 90.0)));
        assert_eq!(up.station_of(70.0), 20.0);
        assert_eq!(up.own_of(20.0), 70.0);
        assert_eq!(up.station_of(1000.0), 0.0);
        assert_eq!(Reckoning::of(&route(&[])).own_ends_m(), None);
    }

    proptest! {
        #[test]
        fn there_and_back_is_the_same_place(
            steps in prop::collection::vec((0.1..50.0f64, 0.1..50.0f64), 1..20),
            share in 0.0..1.0f64,
            falls in any::<bool>(),
        ) {
            let (mut station, mut own) = (0.0, 12.5);
            let mut pegs = vec![(station, own)];
            for (along, pegged) in steps {
                station += along;
                own += if falls { -pegged } else { pegged };
                pegs.push((station, own));
            }
            let both = Reckoning::of(&route(&pegs));
            let at = share * station;
            prop_assert!((both.station_of(both.own_of(at)) - at).abs() < 1e-8);
        }
    }
}
