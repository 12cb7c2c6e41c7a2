use super::Route;
use crate::numeric::series::interpolate;
use crate::reading::Method;
use crate::unit::OnPegs;

/// Both reckonings of a line: along the pipe from its mouth, and on the survey's pegs. The one place where one is turned into the other.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Reckoning {
    /// Along the line, rising, m.
    station_m: Vec<f64>,
    /// On the pegs there, m.
    pegs_m: Vec<f64>,
    /// On the pegs, rising, each with its station along the line, m.
    rising_m: (Vec<f64>, Vec<f64>),
    /// The survey has stations of its own.
    has_pegs: bool,
}

/// What a station on the pegs may differ from the one along the pipe and still be the same, m: less is not shown.
const SAME_M: f64 = 0.005;

impl Reckoning {
    /// Of a route.
    pub fn of(route: &Route) -> Self {
        let mut pegs: Vec<(f64, f64)> = route
            .nodes
            .iter()
            .map(|n| (n.on_pegs.0, n.station_m))
            .collect();
        pegs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let apart = |n: &super::Node| (n.on_pegs.0 - n.station_m).abs() > SAME_M;
        Self {
            station_m: route.nodes.iter().map(|n| n.station_m).collect(),
            pegs_m: route.nodes.iter().map(|n| n.on_pegs.0).collect(),
            rising_m: pegs.into_iter().unzip(),
            has_pegs: route.method != Some(Method::Gpx) || route.nodes.iter().any(apart),
        }
    }

    /// Whether the survey has stations of its own: a walk without pegs has none but those along the pipe.
    pub fn has_pegs(&self) -> bool {
        self.has_pegs
    }

    /// Whether the pegs count up the hill: from the turbine to the intake.
    pub fn counts_up(&self) -> bool {
        self.pegs_m.last() < self.pegs_m.first()
    }

    /// Whether one station lies above another by the sense in which the pegs count.
    pub fn is_above(&self, one: OnPegs, other: OnPegs) -> bool {
        if self.counts_up() {
            one > other
        } else {
            one < other
        }
    }

    /// The lowest and the highest station on the pegs; `None` for a line without points.
    pub fn ends(&self) -> Option<(OnPegs, OnPegs)> {
        let pegs = &self.rising_m.0;
        let (low, high) = (pegs.first()?, pegs.last()?);
        Some((OnPegs(*low), OnPegs(*high)))
    }

    /// The station on the pegs of one along the line: straight between points, held at the ends.
    pub fn on_pegs(&self, station_m: f64) -> OnPegs {
        OnPegs(interpolate(&self.station_m, &self.pegs_m, station_m))
    }

    /// The station along the line of one on the pegs, m: straight between points, held at the ends.
    pub fn station_m(&self, on_pegs: OnPegs) -> f64 {
        interpolate(&self.rising_m.0, &self.rising_m.1, on_pegs.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::Node;
    use proptest::prelude::*;

    fn route(pegs: &[(f64, f64)]) -> Route {
        let node = |&(station_m, on_pegs): &(f64, f64)| Node {
            station_m,
            on_pegs: OnPegs(on_pegs),
            ..Node::default()
        };
        Route {
            nodes: pegs.iter().map(node).collect(),
            method: Some(Method::Gpx),
            ..Route::default()
        }
    }

    #[test]
    fn pegs_may_count_up_the_line() {
        let up = Reckoning::of(&route(&[(0.0, 90.0), (40.0, 50.0), (100.0, 0.0)]));
        assert_eq!(up.ends(), Some((OnPegs(0.0), OnPegs(90.0))));
        assert_eq!(up.station_m(OnPegs(70.0)), 20.0);
        assert_eq!(up.on_pegs(20.0), OnPegs(70.0));
        assert_eq!(up.station_m(OnPegs(1000.0)), 0.0);
        assert!(up.has_pegs() && up.counts_up());
        assert!(up.is_above(OnPegs(80.0), OnPegs(20.0)));
        assert_eq!(Reckoning::of(&route(&[])).ends(), None);
    }

    #[test]
    fn a_walk_without_pegs_has_none() {
        let walked = Reckoning::of(&route(&[(0.0, 0.0), (100.0, 100.0)]));
        assert!(!walked.has_pegs() && !walked.counts_up());
        assert!(walked.is_above(OnPegs(20.0), OnPegs(80.0)));
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
            prop_assert!((both.station_m(both.on_pegs(at)) - at).abs() < 1e-8);
            prop_assert_eq!(both.counts_up(), falls);
        }
    }
}
