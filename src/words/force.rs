//! Words for what pushes and what holds.

use crate::anchor::{BearingTable, NoBlock, Sense, ThrustSource, Towards};

/// What pushes, in words.
pub fn pushes_word(at: &ThrustSource) -> String {
    match at {
        ThrustSource::Bend => "the bend".to_owned(),
        ThrustSource::Curve => "the curve".to_owned(),
        ThrustSource::Joint => "the joint beside the curve".to_owned(),
        ThrustSource::Elbow(name) | ThrustSource::Valve(name) | ThrustSource::Tee(name) => {
            name.clone()
        }
        ThrustSource::End => "the end".to_owned(),
        ThrustSource::Reducer => "the change of diameter".to_owned(),
    }
}

/// Where a thrust goes, in words: "right and up", "outward from its turn".
pub fn push_way(sense: Sense, towards: &[Towards]) -> String {
    match sense {
        Sense::Route => {
            let all: Vec<&str> = towards.iter().map(|t| t.word()).collect();
            listed(&all)
        }
        Sense::Outward => "to the outside of the bend".to_owned(),
        Sense::OutwardInProfile => "up or down, to the outside of the bend,".to_owned(),
        Sense::AwayFromBranch => "away from its branch".to_owned(),
    }
}

/// Where a block stands so that the thrust presses it against ground, looking towards the turbine.
pub fn block_side(sense: Sense, towards: &[Towards]) -> String {
    match sense {
        Sense::Outward => "on the outside of the bend".to_owned(),
        Sense::OutwardInProfile => "on the outside of the bend: above or below the pipe".to_owned(),
        Sense::AwayFromBranch => "on the back, opposite the branch".to_owned(),
        Sense::Route => {
            let all: Vec<&str> = towards
                .iter()
                .map(|t| match t {
                    Towards::Downhill => "on the downhill side",
                    Towards::Uphill => "on the uphill side",
                    Towards::Left => "on the left",
                    Towards::Right => "on the right",
                    Towards::Up => "above the pipe, as a weight",
                    Towards::Down => "below the pipe",
                })
                .collect();
            listed(&all)
        }
    }
}

/// "a", "a and b", "a, b and c".
fn listed(words: &[&str]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => (*last).to_owned(),
        None => String::new(),
    }
}

/// Why no block is offered.
pub fn no_block(why: NoBlock) -> &'static str {
    match why {
        NoBlock::BearsNothing => {
            "peat and mud cannot support a block; an engineer must design restrained joints or piles"
        }
        NoBlock::SoilUnknown => {
            "the soil is not given; the block is sized for soft clay, the weakest soil"
        }
        NoBlock::TooLarge => "the block is so large that an engineer must design it",
        NoBlock::TwoPlanes => {
            "the bend also turns in plan, but the forces are for one plane; an engineer must design the block"
        }
    }
}

/// The same in a word or two, for a table.
pub fn table_short(table: BearingTable) -> &'static str {
    match table {
        BearingTable::BuildingCode => "code",
        BearingTable::PipeTrade => "trade",
        BearingTable::Course => "course",
    }
}
