//! A row of the shopping list.

use crate::line::Reaches;
use crate::pipe::{Device, FittingKind, Joint, Surround};

/// A thing to buy.
#[derive(Debug, Clone, PartialEq)]
pub enum ShoppingItem {
    /// Pipe in coils.
    Coil,
    /// Pipe in sticks.
    Stick,
    /// What one joint takes: a coupler, a pair of clamps, a pair of flanges; welds and fusions are work, and are counted.
    Joint(Joint),
    /// An elbow of this angle, rad.
    Elbow(f64),
    /// A piece between two bores.
    Reducer,
    /// A fitting the site file names.
    Fitting(FittingKind),
    /// A vent.
    Vent(Device),
    /// A drain cock.
    Drain,
    /// An anchor.
    Anchor,
    /// A strap.
    Strap,
    /// A support.
    Support,
    /// A guide.
    Guide,
    /// An expansion joint.
    ExpansionJoint,
    /// A relief valve.
    Relief,
    /// Concrete for blocks.
    Concrete,
    /// What is bought to lie against buried pipe.
    Surround(Surround),
    /// Tape that warns of the pipe below it.
    MarkerTape,
    /// Concrete weights that keep buried pipe from floating.
    Weights,
    /// The gasket of a flange.
    Gasket,
    /// A bolt of a flange, with its nut and washers.
    Bolt,
    /// Ground that is dug for buried pipe.
    Trench,
    /// The screen before the pipe inlet.
    Screen,
    /// A bar of it.
    ScreenBar,
    /// Room of the settling basin, its sand counted.
    Basin,
    /// The gate by which it is flushed.
    FlushGate,
}

crate::text::words! {
    /// What a row counts.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Count {
        Pieces = "pieces",
        /// Cubic metres.
        CubicMetres = "m3",
        /// Metres.
        Metres = "m",
    }
}

crate::text::words! {
    /// Why it is on the list.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Why {
        Planned = "planned pipe",
        /// Ground, bends or joints ask for it.
        Laying = "laying",
        /// Air and water ask for it.
        Air = "air and water",
        /// Forces ask for it.
        Forces = "forces",
        /// The site file plans it.
        Declared = "given in the site file",
    }
}

/// One row of the shopping list.
#[derive(Debug, Clone, PartialEq)]
pub struct ShoppingRow {
    /// What.
    pub item: ShoppingItem,
    /// Words of the pipe it is for or on.
    pub spec: String,
    /// Bore or size, m, where it has one.
    pub bore_m: Option<f64>,
    /// How many, without the allowance.
    pub count: f64,
    /// What is counted.
    pub unit: Count,
    /// Allowance on top, in the same unit: spare sticks and couplers, concrete lost.
    pub spare: f64,
    /// Length of each, m, for pipe.
    pub each_m: Option<f64>,
    /// What is left over of them all once every piece is cut, m, for pipe: curved ends and rests.
    pub left_m: Option<f64>,
    /// Mass of all, allowance included, kg, where it is known.
    pub mass_kg: Option<f64>,
    /// Price of all, allowance included, where the user gave one.
    pub price: Option<f64>,
    /// Force each must hold, N: the largest.
    pub force_n: Option<f64>,
    /// Pressure it must take, Pa: for pipe its rating; for everything else the largest pressure at its places, in any state and in the test (`meet_pressures`). Until
    /// that is told: the pipe's rating where it stands; for a joint, what its kind takes on that pipe.
    pub rating_pa: Option<f64>,
    /// Where, m along the line.
    pub stations_m: Vec<f64>,
    /// Why.
    pub why: Why,
}

impl ShoppingRow {
    /// Mass of one, kg, where it is known and they are counted.
    pub fn one_kg(&self) -> Option<f64> {
        let all = self.count + self.spare;
        let kg = self
            .mass_kg
            .filter(|_| self.unit == Count::Pieces && all > 0.0)?;
        Some(kg / all)
    }
}

pub(super) const CONCRETE_KG_PER_M3: f64 = 2300.0;

pub(super) fn spec_at(reaches: &Reaches, station_m: f64) -> (String, Option<f64>) {
    reaches.at(station_m).map_or((String::new(), None), |r| {
        (r.pipe.spec.clone(), r.pipe.rating_pa)
    })
}

/// A row at stations, with the pipe it stands on.
pub(super) fn row(
    reaches: &Reaches,
    item: ShoppingItem,
    stations_m: Vec<f64>,
    why: Why,
) -> ShoppingRow {
    let (spec, rating_pa) = spec_at(reaches, stations_m.first().copied().unwrap_or(0.0));
    ShoppingRow {
        item,
        spec,
        bore_m: None,
        count: stations_m.len() as f64,
        unit: Count::Pieces,
        spare: 0.0,
        each_m: None,
        left_m: None,
        mass_kg: None,
        price: None,
        force_n: None,
        rating_pa,
        stations_m,
        why,
    }
}
