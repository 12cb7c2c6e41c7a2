//! Words for what is bought.

use super::{joint_label, label};
use crate::laying::{ShoppingItem, is_sold};
use crate::pipe::Surround;

/// What an item is called.
pub fn item_word(item: &ShoppingItem) -> String {
    match item {
        ShoppingItem::Coil => "pipe in coils".to_owned(),
        ShoppingItem::Stick => "pipe in straight lengths".to_owned(),
        ShoppingItem::Joint(joint) => format!("{} joint", joint_label(*joint)),
        ShoppingItem::Elbow(rad) => format!(
            "elbow {}{} degrees",
            if is_sold(*rad) { "" } else { "cut to " },
            (rad.to_degrees() * 4.0).round() / 4.0
        ),
        ShoppingItem::Reducer => "reducer".to_owned(),
        ShoppingItem::Fitting(kind) => kind.name().to_owned(),
        ShoppingItem::Vent(device) => label(device.word()).to_owned(),
        ShoppingItem::Drain => "drain valve".to_owned(),
        ShoppingItem::Anchor => "anchor".to_owned(),
        ShoppingItem::Strap => "strap".to_owned(),
        ShoppingItem::Support => "support".to_owned(),
        ShoppingItem::Guide => "guide".to_owned(),
        ShoppingItem::ExpansionJoint => "expansion joint".to_owned(),
        ShoppingItem::Relief => "relief valve".to_owned(),
        ShoppingItem::Concrete => "concrete".to_owned(),
        ShoppingItem::Surround(Surround::Stone) => {
            "crushed stone for bedding and surround".to_owned()
        }
        ShoppingItem::Surround(_) => "sand for bedding and surround".to_owned(),
        ShoppingItem::MarkerTape => "marker tape".to_owned(),
        ShoppingItem::Weights => "concrete weights on the pipe".to_owned(),
        ShoppingItem::Gasket => "flange gasket".to_owned(),
        ShoppingItem::Bolt => "flange bolt with nut".to_owned(),
        ShoppingItem::Trench => "trench to dig".to_owned(),
        ShoppingItem::Screen => "intake screen, by its opening".to_owned(),
        ShoppingItem::ScreenBar => "screen bar, by its thickness".to_owned(),
        ShoppingItem::Basin => "settling basin, water and sand".to_owned(),
        ShoppingItem::FlushGate => "flushing gate".to_owned(),
    }
}
