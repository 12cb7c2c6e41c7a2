/// How long to march, and what to keep.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TransientOptions {
    /// How long, s; at the least, where it goes on until it is quiet.
    pub duration_s: f64,
    /// Go on after that until nothing goes beyond what was any more: no station has, in four waves to the intake and back and half as long again as the last new extreme took to come,
    /// or the waves have died down to four tenths of what they were.
    pub until_quiet: bool,
    /// In which wave after the movement a coarser march of the same, until it was quiet, had its last new extreme ([`TransientResult::last_new_wave`]): two waves behind that, and behind the last new one here, are enough then.
    pub scouted_wave: Option<usize>,
    /// Stations at which head against time is kept, m from the forebay.
    pub watch_m: Vec<f64>,
    /// Stations with a least head, m: the first to fall below its own is kept.
    pub floors: Vec<Floor>,
    /// Narrow standpipes to be thought of: how high would the water in each rise?
    pub risers: Vec<NarrowRiser>,
    /// Pressure of the site's air as head of water, m: for air that is let in.
    pub air_head_m: f64,
}

/// A standpipe so narrow that the line does not feel it; its own water has mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NarrowRiser {
    /// Station, m from the forebay.
    pub station_m: f64,
    /// Elevation of the pipe there, m.
    pub pipe_m: f64,
}

/// A least head at a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Floor {
    /// Station, m from the forebay.
    pub station_m: f64,
    /// Least head, m.
    pub head_m: f64,
}

/// What a march came to.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TransientResult {
    /// Time step, s.
    pub step_s: f64,
    /// Nodes times steps: what the march took.
    pub node_steps: u64,
    /// In which wave after the movement the last new extreme came; 0 where none came, or where it did not go on until it was quiet.
    pub last_new_wave: usize,
    /// Highest and lowest heads, tube by tube.
    pub envelopes: Vec<Envelope>,
    /// Head at each watched station at each step, the start first, m.
    pub watched_m: Vec<Vec<f64>>,
    /// The floor that was first gone below: its index and when, s.
    pub first_below: Option<(usize, f64)>,
    /// Highest elevation of the water in each riser, m.
    pub risers_m: Vec<f64>,
    /// Highest elevation of the water in the standpipe at each join, m, before anything spills; none where there is no standpipe.
    pub standpipes_m: Vec<Option<f64>>,
    /// Flow at the outlet at the end, m3/s.
    pub last_flow_m3_per_s: f64,
    /// Head at the outlet at the end, m.
    pub last_head_m: f64,
    /// Air was drawn in at the nozzles.
    pub air_at_end: bool,
    /// Highest and lowest head at the outlet with their times, s.
    pub outlet: Extreme,
}

/// Highest and lowest head at a place, with their times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// Highest, m.
    pub max_m: f64,
    /// When, s.
    pub max_at_s: f64,
    /// Lowest, m.
    pub min_m: f64,
    /// When, s.
    pub min_at_s: f64,
}

/// Highest and lowest heads on evenly spaced nodes of one tube, both ends included.
#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    /// Where the tube begins, m from the forebay.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// Highest heads, m.
    pub max_m: Vec<f64>,
    /// Lowest heads, m.
    pub min_m: Vec<f64>,
}

impl Envelope {
    /// Highest and lowest head at a station within the tube: straight between its nodes, half a cell apart.
    ///
    /// A wave is straight between nodes, so this bounds it from outside: the highest is never under, the lowest never over.
    pub fn at(&self, station_m: f64) -> (f64, f64) {
        TubePlace::of(0, (self.from_m, self.to_m, self.last()), station_m)
            .heads(&|_, i| self.node(i))
    }

    /// Its last node.
    fn last(&self) -> usize {
        self.max_m.len().saturating_sub(1)
    }

    fn node(&self, i: usize) -> (f64, f64) {
        let of = |heads: &[f64]| heads.get(i).copied().unwrap_or(0.0);
        (of(&self.max_m), of(&self.min_m))
    }
}

/// Where a station stands in a tube, between two nodes that are half a cell apart.
#[derive(Debug, Clone, Copy, PartialEq)]
struct TubePlace {
    tube: usize,
    nodes: [usize; 2],
    share: f64,
}

impl TubePlace {
    /// In a tube from here to there with so many nodes behind the first.
    fn of(tube: usize, (from_m, to_m, last): (f64, f64, usize), station_m: f64) -> Self {
        let x = ((station_m - from_m) / (to_m - from_m)).clamp(0.0, 1.0) * last as f64;
        let i = (x.floor() as usize).min(last);
        Self {
            tube,
            nodes: [i, (i + 1).min(last)],
            share: x - i as f64,
        }
    }

    fn heads(&self, node: &impl Fn(usize, usize) -> (f64, f64)) -> (f64, f64) {
        let [low, high] = self.nodes.map(|i| node(self.tube, i));
        let along = |low: f64, high: f64| low + (high - low) * self.share;
        (along(low.0, high.0), along(low.1, high.1))
    }
}

/// Where a station stands on the heads that a march keeps: in a tube, or in both that meet there, of which the wider counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HeadPlace {
    tube: Option<TubePlace>,
    next: Option<TubePlace>,
}

impl HeadPlace {
    /// `tubes`: from, to, and the nodes behind the first, tube by tube; beyond all of them at the end of the last.
    pub(crate) fn of(tubes: &[(f64, f64, usize)], station_m: f64) -> Self {
        let ends_above = tubes.partition_point(|tube| tube.1 + 1e-9 < station_m);
        let first = ends_above.min(tubes.len().saturating_sub(1));
        let within = |i: &usize| tubes.get(*i).is_some_and(|tube| tube.0 - 1e-9 <= station_m);
        let at = |i: usize| tubes.get(i).map(|tube| TubePlace::of(i, *tube, station_m));
        Self {
            tube: at(first),
            next: Some(first + 1).filter(within).and_then(at),
        }
    }

    /// Highest and lowest head there, by those of the nodes of each tube, m.
    pub(crate) fn heads(&self, node: impl Fn(usize, usize) -> (f64, f64)) -> (f64, f64) {
        let at = |place: TubePlace| place.heads(&node);
        let heads = self.tube.map_or((0.0, 0.0), at);
        match self.next.map(at) {
            None => heads,
            Some(next) => (heads.0.max(next.0), heads.1.min(next.1)),
        }
    }
}

impl TransientResult {
    /// Highest and lowest head at a station, m; where two tubes meet, the wider of the two.
    pub fn at(&self, station_m: f64) -> (f64, f64) {
        let tubes = self.envelopes.iter().map(|e| (e.from_m, e.to_m, e.last()));
        self.heads(&HeadPlace::of(&tubes.collect::<Vec<_>>(), station_m))
    }

    /// The same at a place that is known already.
    pub(crate) fn heads(&self, place: &HeadPlace) -> (f64, f64) {
        let node = |tube: usize, i| self.envelopes.get(tube).map_or((0.0, 0.0), |e| e.node(i));
        place.heads(node)
    }
}
