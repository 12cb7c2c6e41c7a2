use super::earth::reaches_m;
use super::series::{MAY_DIFFER_V, apart_v, loses};
use super::soil::{CORRODES_OHM_M, SoilClass, soil_class};
use super::water::{ATTACKS, langelier};
use crate::line::{Environment, Line, MetalPart, Reach, Reaches, Works};
use crate::pipe::{Bed, Coating, Material, Metal};

/// Metal parts this near along the pipe touch, m.
const TOUCH_M: f64 = 2.0;

/// Two metals that touch.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct MetalPair {
    /// Where, m.
    #[serde(skip)]
    pub station_m: f64,
    /// The part's name.
    pub part: String,
    /// Its metal.
    pub metal: Metal,
    /// What it touches.
    #[serde(rename = "other_metal")]
    pub other: Metal,
    /// The one that is eaten.
    #[serde(rename = "corrodes")]
    pub eaten: Metal,
    /// How far they are apart, V.
    pub apart_v: f64,
}

/// The generator's earth near steel in the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarthNear {
    /// Metal of the electrode.
    pub metal: Metal,
    /// Where the nearest buried steel is, m.
    pub station_m: f64,
    /// From the electrode to it, m.
    pub away_m: f64,
    /// How far its direct current does harm, m; `None`: none was given.
    pub reaches_m: Option<f64>,
    /// The steel goes through to the powerhouse without an insulating joint, and the electrode is of a nobler metal.
    pub bonded: bool,
}

/// What attacks the metal of a line.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Corroded {
    /// Metals that touch and should not.
    pub pairs: Vec<MetalPair>,
    /// Bare or zinc-covered steel lies in the ground, by its ends, m.
    pub bare_m: Option<(f64, f64)>,
    /// Class of the soil.
    pub soil: Option<SoilClass>,
    /// The soil attacks that steel.
    pub soil_attacks: bool,
    /// Langelier's index in the coldest water.
    pub index: Option<f64>,
    /// The water attacks steel pipe inside.
    pub water_attacks: bool,
    /// The generator's earth.
    pub earth: Option<EarthNear>,
}

/// What the steel pipe shows to the outside.
fn metal_of(reach: &Reach, coating: Option<Coating>) -> Option<Metal> {
    (reach.pipe.material == Material::Steel).then_some(())?;
    if !crate::pipe::rusts(&reach.pipe) {
        return Some(Metal::Stainless);
    }
    Some(match coating {
        Some(Coating::Zinc) => Metal::Galvanized,
        _ => Metal::Steel,
    })
}

/// Judges the declared metals. `None` where nothing was said of any.
pub fn corroded(line: &Line) -> Option<Corroded> {
    if line.works.corrosion.is_none() && line.works.metals.is_empty() {
        return None;
    }
    let said = line.works.corrosion;
    let coating = said.and_then(|c| c.coating);
    let whole = coating == Some(Coating::Whole);
    let plain = |r: &&Reach| metal_of(r, coating).is_some_and(|m| m != Metal::Stainless);
    let buried = buried(&line.reaches, &line.environment);
    let bare_m = (!whole)
        .then(|| ends(buried.iter().map(|b| (b.0, b.1))))
        .flatten();
    let soil_ohm_m = said.and_then(|c| c.soil_ohm_m);
    let index = said
        .and_then(|c| c.water)
        .map(|w| langelier(&w, line.environment.water.coldest_c));
    let inside = !whole && line.reaches.iter().any(|r| plain(&r));
    Some(Corroded {
        pairs: pairs(&line.reaches, &line.works, coating),
        bare_m,
        soil: soil_ohm_m.map(soil_class),
        soil_attacks: bare_m.is_some() && soil_ohm_m.is_some_and(|r| r < CORRODES_OHM_M),
        index,
        water_attacks: inside && index.is_some_and(|i| i < ATTACKS),
        earth: earth(line, &buried),
    })
}

/// Plain steel in the ground: each reach of it that is buried, m.
fn buried(reaches: &Reaches, environment: &Environment) -> Vec<(f64, f64)> {
    let steel = reaches
        .iter()
        .filter(|r| metal_of(r, None) == Some(Metal::Steel));
    steel
        .flat_map(|r| {
            environment
                .laid
                .iter()
                .filter(|l| l.bed == Bed::Buried)
                .map(|l| (l.from_m.max(r.from_m), l.to_m.min(r.to_m)))
        })
        .filter(|(from, to)| from < to)
        .collect()
}

fn ends(all: impl Iterator<Item = (f64, f64)>) -> Option<(f64, f64)> {
    all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// Parts against the pipe they sit on, and against the next part.
fn pairs(reaches: &Reaches, works: &Works, coating: Option<Coating>) -> Vec<MetalPair> {
    let pair = |part: &MetalPart, other: Metal| {
        let apart_v = apart_v(part.metal, other);
        (!part.insulated && apart_v > MAY_DIFFER_V + 1e-9).then(|| MetalPair {
            station_m: part.station_m,
            part: part.name.clone(),
            metal: part.metal,
            other,
            eaten: loses(part.metal, other),
            apart_v,
        })
    };
    let near = |r: &&Reach, s: f64| r.from_m - TOUCH_M <= s && s <= r.to_m + TOUCH_M;
    let on_pipe = works.metals.iter().flat_map(|part| {
        reaches
            .iter()
            .filter(move |r| near(r, part.station_m))
            .filter_map(move |r| metal_of(r, coating))
            .filter_map(move |metal| pair(part, metal))
            .take(1)
    });
    let next = works.metals.iter().zip(works.metals.iter().skip(1));
    let on_next = next
        .filter(|(a, b)| b.station_m - a.station_m <= TOUCH_M && !b.insulated)
        .filter_map(|(a, b)| pair(a, b.metal));
    on_pipe.chain(on_next).collect()
}

fn earth(line: &Line, buried: &[(f64, f64)]) -> Option<EarthNear> {
    let said = line.works.corrosion?;
    let earth = said.earth?;
    let away = |(from, to): &(f64, f64)| {
        let nearest = earth.station_m.clamp(*from, *to);
        (nearest, (nearest - earth.station_m).abs())
    };
    let (station_m, away_m) = buried.iter().map(away).min_by(|a, b| a.1.total_cmp(&b.1))?;
    // plastic pipe parts the metal as an insulating joint does
    let end_m = line.geometry.length_m();
    let parted =
        line.works
            .metals
            .iter()
            .any(|m| m.insulated && m.station_m >= station_m - TOUCH_M)
            || line.reaches.iter().any(|r| {
                r.pipe.material != Material::Steel && r.to_m > station_m && r.to_m <= end_m
            });
    let nobler = apart_v(earth.metal, Metal::Steel) > MAY_DIFFER_V
        && loses(earth.metal, Metal::Steel) == Metal::Steel;
    Some(EarthNear {
        metal: earth.metal,
        station_m,
        away_m,
        reaches_m: earth
            .direct_a
            .zip(said.soil_ohm_m)
            .map(|(a, ohm_m)| reaches_m(ohm_m, a)),
        bonded: nobler && !parted,
    })
}
