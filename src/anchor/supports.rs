//! Spans and supports above ground: by printed table and by beam formula, full, as warm as the wall can be.

use super::ground::SiteWater;
use super::reach_parts::parts;
use super::{BeamRule, Supported};
use crate::line::{Line, Reach};
use crate::numeric::math;
use crate::pipe::{
    Bed, MarkKind, Material, Pipe, SupportSpan, sun_wall_c, support_spacing_m, temperature_factor,
};

/// Sag over span that is allowed (common practice, no source): more makes a low that holds silt and a crest that holds air.
const SAG_SHARE: f64 = 1.0 / 300.0;

/// Sag over span up to which the beam formula is used: small slopes (any text of strength of materials).
const BEAM_SHARE: f64 = 1.0 / 20.0;

/// Bending stress allowed beside that of pressure, Pa, at 20 C: half of the wall's design stress (from memory).
fn allowed_bending_pa(pipe: &Pipe) -> f64 {
    match pipe.material {
        Material::Pe => 4.0e6,
        Material::Pvc => 5.0e6,
        Material::Steel => 80.0e6,
    }
}

/// Longest span of a pipe, m, and what rules it: sag `5 w L4 / 384 E I` within a share of the span, stress `w L2 / 8 Z` within what is allowed.
pub fn beam_spacing_m(pipe: &Pipe, water_kg_per_m3: f64, wall_c: f64) -> (f64, BeamRule) {
    let metre = SupportSpan::of(pipe, 1.0, water_kg_per_m3, wall_c);
    let warm = temperature_factor(pipe, wall_c).map_or(0.5, |k| k.value);
    let by_sag = math::cbrt(SAG_SHARE / metre.sag_m());
    let by_stress = (allowed_bending_pa(pipe) * warm / metre.bending_pa()).sqrt();
    if by_sag < by_stress {
        (by_sag, BeamRule::Sag)
    } else {
        (by_stress, BeamRule::Stress)
    }
}

/// Least and largest friction of steel that slides on concrete or brick (Mosonyi, Water Power Development, Table 1/92).
pub const STEEL_ON_CONCRETE: (f64, f64) = (0.45, 0.50);

/// Reaches that are carried above the ground.
pub(super) fn supports(line: &Line) -> Vec<Supported> {
    parts(line)
        .into_iter()
        .filter_map(|(from_m, to_m)| {
            let middle = 0.5 * (from_m + to_m);
            let bed = line.environment.laid_at(middle)?.bed;
            matches!(bed, Bed::Span | Bed::Raised | Bed::Hung)
                .then(|| line.reaches.at(middle))
                .flatten()
                .map(|reach| supported(line, reach, bed, (from_m, to_m)))
        })
        .collect()
}

fn supported(line: &Line, reach: &Reach, bed: Bed, (from_m, to_m): (f64, f64)) -> Supported {
    let pipe = &reach.pipe;
    let density_kg_per_m3 = SiteWater::of(&line.environment).density_kg_per_m3;
    let wall_c = if line.environment.situation.sun {
        sun_wall_c(pipe, line.environment.situation.hottest_air_c).value
    } else {
        line.environment.water.warmest_c
    };
    let (beam_spacing_m, ruled_by) = beam_spacing_m(pipe, density_kg_per_m3, wall_c);
    let table = support_spacing_m(pipe, wall_c);
    let spacing_m = table.map_or(beam_spacing_m, |t| t.value.min(beam_spacing_m));
    let mut at: Vec<f64> = line
        .stands
        .iter()
        .filter(|s| {
            s.kind == MarkKind::Support
                && line.reaches.counts(s)
                && (from_m..=to_m).contains(&s.station_m)
        })
        .map(|s| s.station_m)
        .collect();
    let known = bed == Bed::Span || !at.is_empty();
    at.extend([from_m, to_m]);
    at.sort_by(f64::total_cmp);
    let standing_span_m = known
        .then(|| {
            at.iter()
                .zip(at.iter().skip(1))
                .map(|(a, b)| b - a)
                .reduce(f64::max)
        })
        .flatten();
    // A span that sags by more than a few hundredths of itself is a rope, not a beam.
    let hangs = standing_span_m
        .map(|s| (s, SupportSpan::of(pipe, s, density_kg_per_m3, wall_c)))
        .filter(|(s, hangs)| hangs.sag_m() <= BEAM_SHARE * s)
        .map(|(_, hangs)| hangs);
    let warm = temperature_factor(pipe, wall_c).map_or(0.5, |k| k.value);
    Supported {
        from_m,
        to_m,
        at_c: wall_c,
        beam_spacing_m,
        ruled_by,
        table: table.map(|t| (t.value, t.source)),
        spacing_m,
        standing_span_m,
        sag_m: hangs.map(|h| h.sag_m()),
        stress_pa: hangs.map(|h| (h.bending_pa(), allowed_bending_pa(pipe) * warm)),
        wanted_m: wanted(&at, spacing_m),
        from_memory: true,
    }
}

/// Supports that are lacking between those that stand, evenly.
fn wanted(at_m: &[f64], spacing_m: f64) -> Vec<f64> {
    let mut out = Vec::new();
    for (&a, &b) in at_m.iter().zip(at_m.iter().skip(1)) {
        let fields = ((b - a) / spacing_m - 1e-9).ceil().max(1.0);
        let mut k = 1.0;
        while k < fields {
            out.push(a + (b - a) * k / fields);
            k += 1.0;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::find;

    #[test]
    fn warm_pipe_spans_less() {
        let pipe = find("PE100 SDR 11 110").unwrap();
        let (cool, _) = beam_spacing_m(&pipe, 1_000.0, 10.0);
        let (warm, _) = beam_spacing_m(&pipe, 1_000.0, 50.0);
        assert!(warm < cool && cool > 1.0 && cool < 3.0, "{warm} {cool}");
    }

    #[test]
    fn gaps_are_filled_evenly() {
        assert_eq!(wanted(&[0.0, 4.0, 10.0], 2.0), [2.0, 6.0, 8.0]);
        assert!(wanted(&[0.0, 2.0], 2.0).is_empty());
    }
}
