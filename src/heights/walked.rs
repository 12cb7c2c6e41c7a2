use super::backing::backing;
use super::drawn::{DrawnHeights, Effort, sample};
use super::grid::HeightGrid;
use super::layout::Layout;
use super::noise::Noises;
use super::odds::at_odds;
use super::sample::{RoughnessPrior, Sampler};
use super::steady::{self, RobustBlocks};
use super::{
    AtOdds, FollowedWalk, HeightsOptions, Levelled, Noise, ReadingBlock, Tie, WalkedHeights,
};
use super::{Backed, Heights};
use crate::numeric::Rng;
use crate::receiver::{Class, Expected};
use crate::text::Sentence;

/// Nodes of the line, m apart; between two neighbours the roughness is one.
const NODE_M: f64 = 8.0;
/// Lines longer than this many nodes get wider ones.
const MOST_NODES: f64 = 3_000.0;
/// Roughness a cell may have, m2/m3: an even slope to a hump of 2.5 m on 20 m.
const LADDER: [f64; 5] = [1e-5, 1e-4, 1e-3, 1e-2, 1e-1];
/// The class that every cell begins with: the calmest. What the readings need of roughness comes within a few sweeps; from rough ground it takes some hundred to go, and until then errors pass for ground (docs/calibration.md).
const CALM: usize = 0;
/// Chance that a cell is as rough as the one before.
const STAY: f64 = 0.79;
/// How far beyond the stations asked for a reading still helps, m.
const BEYOND_M: f64 = 60.0;
/// How firmly the equal shares of the classes are held: as if each had been chosen twice before.
const HELD: f64 = 2.0;
/// What the evidence of one walk counts for where its own errors are judged: the ground explains a smooth error too easily (learnt on real recordings, docs/calibration.md).
const ALONE: f64 = 0.15;
/// What it counts for where the roughness of the ground is judged: a wander of the receiver looks like ground, and ground that is thought rough follows it (learnt there too).
const GROUND_ALONE: f64 = 0.3;
/// From this share on a class of receivers is taken for true.
const BELIEVED: f64 = 0.5;
/// From so many times over the line on the mean, walks show each other's errors.
const TOGETHER: f64 = 1.3;
/// Heights of one or more walks on the stations asked for, with ties and levelled reaches.
///
/// `stations_m`: strictly rising, where heights are wanted (the nodes of the route). Blocks may come in any order; what is not finite is left out and told.
/// Every pass is expected on one centreline with stations monotone in its clock. Time grows with the length of the line, not with the square of the readings; the same input and seed give the same draws.
pub fn walked(
    blocks: &[ReadingBlock],
    ties: &[Tie],
    levelled: &[Levelled],
    stations_m: &[f64],
    options: &HeightsOptions,
) -> WalkedHeights {
    // What lies far beyond the stations asked for says nothing of them and must not stretch the line.
    let (from, to) = (
        stations_m.first().copied().unwrap_or(0.0) - BEYOND_M,
        stations_m.last().copied().unwrap_or(0.0) + BEYOND_M,
    );
    let near = |station_m: f64| station_m >= from && station_m <= to;
    let blocks: Vec<ReadingBlock> = blocks
        .iter()
        .filter(|b| near(b.station_m) || !b.station_m.is_finite())
        .copied()
        .collect();
    let RobustBlocks {
        mut blocks,
        walks,
        numbers,
        aside,
        left_out,
        eased,
    } = steady::steady(&blocks);
    let usable = |t: &&Tie| {
        near(t.station_m) && t.height_m.abs() < steady::FAR_M && t.sd_m.abs() < steady::FAR_M
    };
    let ties: Vec<Tie> = ties.iter().filter(usable).copied().collect();
    let levelled: Vec<Levelled> = levelled
        .iter()
        .map(|l| Levelled {
            points: l.points.iter().filter(usable).copied().collect(),
            datum_sd_m: l.datum_sd_m.max(0.0),
        })
        .filter(|l| !l.points.is_empty())
        .collect();
    let mut remarks: Vec<Sentence> = Vec::new();
    if let Some(off) =
        off_known(&blocks, &ties, &levelled).filter(|o| o.abs() > options.offset_sd_m)
    {
        blocks.iter_mut().for_each(|b| b.height_m -= off);
        remarks.push(
            Sentence::from("the heights of the walks differ from the known heights by ")
                .offset(off, 0)
                .words(". The walks have a different datum. The program moved their heights to the datum of the known heights"),
        );
    }
    let known = ties
        .iter()
        .chain(levelled.iter().flat_map(|l| &l.points))
        .next();
    let (Some(first), false) = (
        blocks
            .iter()
            .min_by(|a, b| a.station_m.total_cmp(&b.station_m))
            .map(|b| b.height_m)
            .or(known.map(|t| t.height_m)),
        stations_m.is_empty(),
    ) else {
        remarks.push("no heights: the profile is not known".into());
        return WalkedHeights {
            remarks,
            ..WalkedHeights::default()
        };
    };
    let length =
        stations_m.last().copied().unwrap_or(0.0) - stations_m.first().copied().unwrap_or(0.0);
    let node_m = NODE_M.max(length / MOST_NODES);
    let layout = Layout::new(
        &blocks,
        &ties,
        &levelled,
        stations_m,
        options,
        HeightGrid {
            node_m,
            steps_in_cell: 1,
        },
    );
    let roughness = RoughnessPrior {
        ladder: LADDER.to_vec(),
        shares: vec![1.0 / LADDER.len() as f64; LADDER.len()],
        stay: STAY,
        alpha: HELD,
    };
    let expected = if options.terrain_model {
        Expected::only(Class::Terrain)
    } else {
        options.expected.clone()
    };
    let chains = if options.terrain_model { 1 } else { walks };
    let alone = options.terrain_model || times_over(&blocks, walks) < TOGETHER;
    let power = if alone { ALONE } else { 1.0 };
    let starts: Vec<Noises> = expected
        .usual()
        .map(|errors| Noises::new(expected.clone(), errors, chains, power))
        .collect();
    let Some(start) = starts.first().cloned() else {
        return WalkedHeights::default();
    };
    let effort = Effort::of(walks, stations_m.len(), layout.node_m.len(), options.draws);
    let mut draws = Rng::new(options.seed);
    let mut sampler = Sampler::new(&layout, roughness, start, first, CALM);
    if alone {
        sampler.ground_power = GROUND_ALONE;
    }
    // Several walks are also asked what they say without each one of them.
    let without: Vec<Layout> = if options.terrain_model || walks < 2 {
        Vec::new()
    } else {
        let others = |walk| blocks.iter().filter(move |b| b.pass != walk).copied();
        (0..walks)
            .map(|walk| {
                let others: Vec<ReadingBlock> = others(walk).collect();
                layout.with(&others, &ties, &levelled, options)
            })
            .collect()
    };
    let DrawnHeights {
        mut heights,
        errors,
        classes,
        without,
    } = sample(
        &mut sampler,
        &starts,
        &mut draws,
        effort,
        stations_m,
        &without,
    );
    if options.scale_sd > 0.0 && ties.len() < 2 {
        heights = scaled(heights, options.scale_sd, &mut draws);
    }
    let in_time = !options.terrain_model && blocks.iter().all(|b| b.clock_s.is_some());
    let noise = Noise { in_time, walks };
    remark(&mut remarks, &noise, options, left_out, eased);
    if aside > 0 {
        remarks.push(format!(
            "{aside} of {} walks are not used for the heights. Where more than eight walks overlap, the program uses the eight with the most readings",
            aside + walks
        ).into());
    }
    if node_m > NODE_M {
        remarks.push(
            Sentence::from("the route is long. The program calculates a height every ")
                .length(node_m, 0),
        );
    }
    // Heights that were looked up say the same however often they are walked: they settle no more than one walk.
    let walks = if options.terrain_model {
        walks.min(1)
    } else {
        walks
    };
    let share = |of: &dyn Fn(Class) -> bool| -> f64 {
        classes.iter().filter(|(c, _)| of(*c)).map(|(_, s)| s).sum()
    };
    // Said alone it is not believed: the readings must err like it.
    let barometric = share(&Class::follows_the_ground) >= BELIEVED;
    if expected.anything_told()
        && noise.walks > 0
        && share(&|c| expected.is_told(c)) < BELIEVED
        && let Some((seen, _)) = classes.iter().max_by(|a, b| a.1.total_cmp(&b.1))
    {
        remarks.push(
            format!(
                "the height errors are not those of the given receiver, but those of a receiver {}. The uncertainty follows the measured errors",
                seen.told()
            )
            .into(),
        );
    }
    let at_odds = if options.terrain_model {
        Vec::new()
    } else {
        let odds = at_odds(&blocks, &expected).into_iter();
        let number = |walk: usize| numbers.get(walk).copied().unwrap_or(walk);
        odds.map(|o| AtOdds {
            passes: (number(o.passes.0), number(o.passes.1)),
            ..o
        })
        .collect()
    };
    let followed = (0..noise.walks).map(|walk| FollowedWalk {
        pass: numbers.get(walk).copied().unwrap_or(walk),
        blocks: blocks.iter().filter(|b| b.pass == walk).copied().collect(),
        errors: errors
            .get(walk)
            .or(errors.first())
            .copied()
            .unwrap_or_default(),
    });
    WalkedHeights {
        heights: Heights {
            walks,
            backed: Backed {
                without,
                ..backing(&blocks, &levelled, barometric)
            },
            ..heights
        },
        noise,
        followed: followed.collect(),
        classes: if options.terrain_model {
            Vec::new()
        } else {
            classes
        },
        at_odds,
        remarks,
    }
}

/// How far the walks stand off the heights that are known, m, where any are: in the middle.
///
/// A datum that is another altogether is no error of the receiver, and must not be taken for one.
fn off_known(blocks: &[ReadingBlock], ties: &[Tie], levelled: &[Levelled]) -> Option<f64> {
    let tied = levelled.iter().filter(|l| l.datum_sd_m == 0.0);
    let mut off: Vec<f64> = ties
        .iter()
        .chain(tied.flat_map(|l| &l.points))
        .filter_map(|known| {
            let near = |b: &&ReadingBlock| (b.station_m - known.station_m).abs();
            let block = blocks.iter().min_by(|a, b| near(a).total_cmp(&near(b)))?;
            Some(block.height_m - known.height_m)
        })
        .collect();
    off.sort_by(f64::total_cmp);
    off.get(off.len() / 2).copied()
}

/// How often the line was walked on the mean: what the walks span together over what they span as one.
fn times_over(blocks: &[ReadingBlock], walks: usize) -> f64 {
    let span = |walk: Option<usize>| {
        let mine = blocks.iter().filter(|b| walk.is_none_or(|w| b.pass == w));
        let (low, high) = mine.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), b| {
            (l.min(b.station_m), h.max(b.station_m))
        });
        (high - low).max(0.0)
    };
    let whole = span(None);
    if whole > 0.0 {
        (0..walks).map(|w| span(Some(w))).sum::<f64>() / whole
    } else {
        0.0
    }
}

/// Every draw stretched in height by a share of its own, about its own middle.
fn scaled(heights: Heights, sd: f64, draws: &mut Rng) -> Heights {
    let Heights {
        station_m,
        draws: mut lines,
        ..
    } = heights;
    for line in &mut lines {
        let middle = line.iter().sum::<f64>() / line.len().max(1) as f64;
        let by = sd * draws.normal();
        for z in line {
            *z += by * (*z - middle);
        }
    }
    Heights::from_draws(station_m, lines)
}

fn remark(
    remarks: &mut Vec<Sentence>,
    noise: &Noise,
    options: &HeightsOptions,
    left_out: usize,
    eased: usize,
) {
    match left_out {
        0 => {}
        1 => remarks
            .push("1 group of readings is not used. It has no usable height or station".into()),
        n => remarks.push(
            format!("{n} groups of readings are not used. They have no usable height or station")
                .into(),
        ),
    }
    match eased {
        0 => {}
        1 => remarks
            .push("1 group of readings does not agree with the readings next to it, and has less weight".into()),
        n => remarks.push(
            format!("{n} groups of readings do not agree with the readings next to them, and have less weight")
                .into(),
        ),
    }
    if options.terrain_model {
        remarks.push(
            "a terrain model does not show a hump narrower than its cells. More walks do not change this. Survey the important sections with a level".into(),
        );
    } else if noise.walks > 0 && !noise.in_time {
        remarks.push(
            "one or more walks have no times. The program assumes a constant walking speed to estimate the drift of the receiver".into(),
        );
    }
    if noise.walks == 1 && !options.terrain_model {
        remarks.push(
            "with one walk, receiver drift looks the same as a gentle slope. The uncertainty of the elevation difference comes mostly from the usual drift of hand receivers. A second walk, if possible on another day, separates the two".into(),
        );
    }
}
