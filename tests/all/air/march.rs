//! A line filled in small parcels: water columns between pockets of air, brought to rest after each parcel. It knows nothing of the recursion.

use steadyfall::air::startup::Ends;

/// One arm of a water column: height of its surface against the volume in it, from the low up.
#[derive(Debug, Clone)]
pub struct Arm {
    points: Vec<(f64, f64)>,
}

impl Arm {
    pub fn new(points: Vec<(f64, f64)>) -> Self {
        Self { points }
    }

    fn volume(&self) -> f64 {
        self.points.last().unwrap().0
    }

    /// Surface and its slope, m and m/m3; beyond the top it goes on as the last piece does.
    fn surface(&self, volume: f64) -> (f64, f64) {
        let last = self.points.len() - 1;
        let i = self.points[1..last]
            .iter()
            .take_while(|p| p.0 < volume)
            .count();
        let ((v0, z0), (v1, z1)) = (self.points[i], self.points[i + 1]);
        let slope = (z1 - z0) / (v1 - v0);
        (z0 + slope * (volume - v0), slope)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filled {
    Runs,
    Locks,
}

struct Column {
    left: Arm,
    right: Arm,
    water: f64,
    in_left: f64,
    /// Water that stands ready to spill over the crest behind.
    over: f64,
    /// How much volume the left arm gives up for a metre of pressure on it.
    gives: f64,
}

impl Column {
    /// Brings the column to rest between two pressures, m of water.
    fn settle(&mut self, before: f64, behind: f64) {
        // left surface + before = right surface + behind; the difference rises with what is in the left arm
        let excess = |v: f64| {
            let (l, sl) = self.left.surface(v);
            let (r, sr) = self
                .right
                .surface((self.water - v).min(self.right.volume()));
            let sr = if self.water - v >= self.right.volume() {
                0.0
            } else {
                sr
            };
            (l + before - r - behind, sl + sr)
        };
        let (mut low, mut high) = (0.0, self.water);
        let mut v = self.in_left.clamp(low, high);
        for _ in 0..60 {
            let (e, slope) = excess(v);
            if e > 0.0 {
                high = v
            } else {
                low = v
            }
            let mut next = v - e / slope;
            if next <= low || next >= high {
                next = 0.5 * (low + high);
            }
            let done = (next - v).abs() < 1e-13 + 1e-10 * self.water;
            v = next;
            if done {
                break;
            }
        }
        self.in_left = v;
        let (_, sl) = self.left.surface(v);
        let brim = self.water - v >= self.right.volume();
        self.over = (self.water - v - self.right.volume()).max(0.0);
        let (_, sr) = self.right.surface(self.water - v);
        self.gives = if brim { 1.0 / sl } else { 1.0 / (sl + sr) };
    }

    fn in_right(&self) -> f64 {
        (self.water - self.in_left).min(self.right.volume())
    }
}

/// Fills from the intake until water leaves at the end or nothing moves with the intake brimful.
pub fn fill(arms: &[(Arm, Arm)], ends: Ends, vented: &[usize]) -> Filled {
    let mut columns: Vec<Column> = arms
        .iter()
        .map(|(left, right)| Column {
            left: left.clone(),
            right: right.clone(),
            water: 0.0,
            in_left: 0.0,
            over: 0.0,
            gives: 0.0,
        })
        .collect();
    let count = columns.len();
    let total: f64 = arms.iter().map(|(l, r)| l.volume() + r.volume()).sum();
    let parcel = total / 250.0;
    // pocket j hangs over column j; pocket 0 and pocket `count` are the open air
    let mut pressure = vec![0.0; count + 1];
    let mut air = vec![0.0; count + 1];
    for _ in 0..200_000 {
        let surface = columns[0].left.surface(columns[0].in_left).0;
        let slope = columns[0].left.surface(columns[0].in_left).1;
        let room = (ends.level_m - surface) / slope;
        let add = parcel.min(0.9 * room);
        if columns[0].water > 0.0 && room < 0.02 * parcel {
            return Filled::Locks;
        }
        columns[0].water += if columns[0].water > 0.0 { add } else { parcel };
        // let spills run until nothing spills
        loop {
            rest(&mut columns, &mut pressure, &air, ends, vented);
            let Some(j) = (0..count).find(|&j| columns[j].over > 1e-9 * total) else {
                break;
            };
            if j + 1 == count {
                return Filled::Runs;
            }
            let spill = columns[j].over.min(parcel);
            columns[j].water -= spill;
            columns[j].over -= spill;
            if columns[j + 1].water == 0.0 {
                // the first water seals the low: what is over it is shut in at the air's own pressure
                air[j + 1] = ends.air_head_m
                    * (columns[j + 1].left.volume() + columns[j].right.volume()
                        - columns[j].in_right());
            }
            columns[j + 1].water += spill;
        }
    }
    panic!("the march did not end");
}

/// Pressures of the pockets with all columns at rest.
fn rest(columns: &mut [Column], pressure: &mut [f64], air: &[f64], ends: Ends, vented: &[usize]) {
    let count = columns.len();
    for _ in 0..2_000 {
        let mut moved: f64 = 0.0;
        for j in 0..count {
            if columns[j].water > 0.0 {
                columns[j].settle(pressure[j], pressure[j + 1]);
            }
        }
        for j in 1..count {
            if columns[j].water == 0.0 {
                pressure[j] = 0.0;
                continue;
            }
            let old = pressure[j];
            for _ in 0..2 {
                let space = |c: &[Column]| {
                    c[j].left.volume() - c[j].in_left + c[j - 1].right.volume()
                        - c[j - 1].in_right()
                };
                let at_brim = columns[j - 1].over > 0.0
                    || columns[j - 1].in_right() >= columns[j - 1].right.volume();
                let gives = columns[j].gives + if at_brim { 0.0 } else { columns[j - 1].gives };
                let v = space(columns);
                if vented.contains(&(j - 1)) {
                    // open air until the water fills the leg; then the crest is under water and carries its head
                    let over = columns[j].in_left - columns[j].left.volume();
                    let fits = pressure[j] + over / columns[j].gives;
                    pressure[j] = fits.max(0.0);
                } else {
                    let absolute = ends.air_head_m + pressure[j];
                    pressure[j] -= (absolute * v - air[j]) / (v + absolute * gives);
                }
                columns[j].settle(pressure[j], pressure[j + 1]);
                columns[j - 1].settle(pressure[j - 1], pressure[j]);
            }
            moved = moved.max((pressure[j] - old).abs());
        }
        if moved < 1e-6 {
            return;
        }
    }
}
