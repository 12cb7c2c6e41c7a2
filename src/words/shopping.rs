//! The words of the shopping list.

use crate::laying::{Count, Laying, ShoppingItem, ShoppingReason, is_sold};
use crate::words::{device_word, joint_word};

/// What an item is called.
pub fn item_word(item: &ShoppingItem) -> String {
    match item {
        ShoppingItem::Coil => "pipe in coils".to_owned(),
        ShoppingItem::Stick => "pipe in sticks".to_owned(),
        ShoppingItem::Joint(joint) => format!("{} joint", joint_word(*joint)),
        ShoppingItem::Elbow(rad) => format!(
            "elbow {}{} degrees",
            if is_sold(*rad) { "" } else { "cut to " },
            (rad.to_degrees() * 4.0).round() / 4.0
        ),
        ShoppingItem::Reducer => "reducer".to_owned(),
        ShoppingItem::Fitting(kind) => kind.word().to_owned(),
        ShoppingItem::Vent(device) => device_word(*device).to_owned(),
        ShoppingItem::Drain => "drain cock".to_owned(),
        ShoppingItem::Anchor => "anchor".to_owned(),
        ShoppingItem::Strap => "strap".to_owned(),
        ShoppingItem::Support => "support".to_owned(),
        ShoppingItem::Guide => "guide".to_owned(),
        ShoppingItem::ExpansionJoint => "expansion joint".to_owned(),
        ShoppingItem::Relief => "relief valve".to_owned(),
        ShoppingItem::Concrete => "concrete".to_owned(),
    }
}

/// What is counted.
pub fn unit_word(unit: Count) -> &'static str {
    match unit {
        Count::Pieces => "pieces",
        Count::CubicMetres => "m3",
    }
}

/// Why a row is there.
pub fn why_word(why: ShoppingReason) -> &'static str {
    match why {
        ShoppingReason::Planned => "planned pipe",
        ShoppingReason::Laying => "laying",
        ShoppingReason::Air => "air and water",
        ShoppingReason::Forces => "forces",
        ShoppingReason::Declared => "named in the site file",
    }
}
