use super::trace::LineClimb;

/// A climb of one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DrawClimb {
    pub(super) draw: usize,
    pub(super) leg: LineClimb,
}

/// A stretch of segments in which some draws climb, with those climbs.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct ClimbStretch {
    /// First segment and the one after the last; segment i runs from station i to i + 1.
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) seen: Vec<DrawClimb>,
    /// Draws that climb here.
    pub(super) draws: usize,
}

/// Segments that fewer draws than this share climb are taken to fall.
const FLOOR: f64 = 0.01;
/// Two humps side by side are two reaches if the share of climbing draws drops between them by this factor on both sides ...
const VALLEY: f64 = 1.3;
/// ... and if taking them together would hardly make it surer that there is a climb, by this share of it (else they are one climb whose place is in doubt).
const SURER: f64 = 0.08;

/// Gathers the climbs of all draws into stretches. `segments`: stations less one.
pub(super) fn stretches(seen: &[DrawClimb], segments: usize, draws: usize) -> Vec<ClimbStretch> {
    let share = shares(seen, segments, draws);
    let mut parts: Vec<Vec<(usize, usize)>> = Vec::new();
    let mut run: Option<usize> = None;
    for (i, &p) in share.iter().chain(std::iter::once(&0.0)).enumerate() {
        match run {
            None if p >= FLOOR => run = Some(i),
            Some(from) if p < FLOOR => {
                parts.push(part(&share, from, i));
                run = None;
            }
            _ => {}
        }
    }
    let flat: Vec<(usize, usize)> = parts.iter().flatten().copied().collect();
    let mut bins: Vec<ClimbStretch> = flat
        .iter()
        .map(|&(from, to)| ClimbStretch {
            from,
            to,
            ..ClimbStretch::default()
        })
        .collect();
    for s in seen {
        let overlap =
            |b: &ClimbStretch| b.to.min(s.leg.crest).saturating_sub(b.from.max(s.leg.low));
        // The stretches stand in order and apart: only those between low and crest are looked at.
        let first = bins.partition_point(|b| b.to <= s.leg.low);
        if let Some(best) = bins
            .iter_mut()
            .skip(first)
            .take_while(|b| b.from < s.leg.crest)
            .filter(|b| overlap(b) > 0)
            .max_by_key(|b| (overlap(b), std::cmp::Reverse(b.from)))
        {
            best.seen.push(*s);
        }
    }
    for b in &mut bins {
        b.draws = count(&b.seen);
    }
    join(bins, &parts)
}

/// Share of draws that climb each segment.
fn shares(seen: &[DrawClimb], segments: usize, draws: usize) -> Vec<f64> {
    let mut step = vec![0.0f64; segments + 1];
    for s in seen {
        if let Some(x) = step.get_mut(s.leg.low) {
            *x += 1.0;
        }
        if let Some(x) = step.get_mut(s.leg.crest) {
            *x -= 1.0;
        }
    }
    let mut level = 0.0;
    step.iter()
        .take(segments)
        .map(|x| {
            level += x;
            level / draws.max(1) as f64
        })
        .collect()
}

/// Parts a run at its valleys.
fn part(share: &[f64], from: usize, to: usize) -> Vec<(usize, usize)> {
    let mut parts = Vec::new();
    let mut start = from;
    let mut peak = 0.0f64;
    let mut valley: Option<(usize, f64)> = None;
    for (i, &p) in share.iter().enumerate().take(to).skip(from) {
        match valley {
            Some((at, low)) if p > VALLEY * low => {
                parts.push((start, at));
                start = at;
                peak = p;
                valley = None;
            }
            Some((_, low)) if p < low => valley = Some((i, p)),
            None if p * VALLEY < peak => valley = Some((i, p)),
            _ => peak = peak.max(p),
        }
    }
    parts.push((start, to));
    parts
}

/// Draws among climbs that stand in the order of draws.
fn count(seen: &[DrawClimb]) -> usize {
    let mut last = None;
    seen.iter()
        .filter(|s| last.replace(s.draw) != Some(s.draw))
        .count()
}

/// Joins neighbouring parts of a run that are one climb whose place is in doubt.
fn join(bins: Vec<ClimbStretch>, parts: &[Vec<(usize, usize)>]) -> Vec<ClimbStretch> {
    let mut out: Vec<ClimbStretch> = Vec::new();
    let mut bins = bins.into_iter();
    for run in parts {
        let mut joined: Vec<ClimbStretch> = Vec::new();
        for next in bins.by_ref().take(run.len()) {
            match joined.last_mut() {
                Some(last) => {
                    let mut seen: Vec<DrawClimb> =
                        last.seen.iter().chain(&next.seen).copied().collect();
                    seen.sort_by_key(|s| (s.draw, s.leg.low));
                    let both = count(&seen);
                    let gain = both - last.draws.max(next.draws);
                    if gain as f64 > SURER * both as f64 {
                        last.to = next.to;
                        last.seen = seen;
                        last.draws = both;
                    } else {
                        joined.push(next);
                    }
                }
                None => joined.push(next),
            }
        }
        out.append(&mut joined);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(draw: usize, low: usize, crest: usize) -> DrawClimb {
        DrawClimb {
            draw,
            leg: LineClimb {
                low,
                crest,
                next_low: crest + 1,
            },
        }
    }

    #[test]
    fn two_sure_humps_stay_two_and_one_doubtful_stays_one() {
        let sure: Vec<DrawClimb> = (0..100)
            .flat_map(|d| [seen(d, 10, 15 + d % 2), seen(d, 16, 20)])
            .collect();
        let both = stretches(&sure, 40, 100);
        assert_eq!(both.len(), 2);
        assert!(both.iter().all(|s| s.draws == 100));
        // Either here or there, never both: one climb, sure, its place in doubt.
        let either: Vec<DrawClimb> = (0..100)
            .map(|d| {
                if d % 2 == 0 {
                    seen(d, 10, 16 - usize::from(d % 50 != 0))
                } else {
                    seen(d, 15 + usize::from(d % 50 != 1), 20)
                }
            })
            .collect();
        let one = stretches(&either, 40, 100);
        assert_eq!(one.iter().map(|s| s.draws).max(), Some(100), "{one:?}");
        assert!(stretches(&[], 40, 100).is_empty());
    }
}
