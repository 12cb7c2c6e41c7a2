//! Where a thing stood in a file, what bytes mean as text, a sheet of cells, and how a fault is told.

mod cell;
mod decode;
mod digest;
mod fault;
mod faults;
mod file;
mod lines;
mod number;
mod place;
mod records;
mod sentence;
mod sheet;
mod word;

pub use cell::{Cell, Row};
pub use decode::{Decoded, decode};
pub use digest::digest;
pub use fault::{Fault, Remark, neutral};
pub use faults::Faults;
pub use file::{FileExpectation, NO_SUCH_FILE, read_bytes};
pub use lines::Lines;
pub use number::{NoNumber, number, whole_number};
pub use place::Place;
pub use sentence::{Length, LengthForm, Sentence};
pub use sheet::{Sheet, head_key};
pub use word::{distance, nearest};

/// Writes values of these types for programs by their word.
macro_rules! by_word {
    ($($of:ty),+) => {
        $(impl serde::Serialize for $of {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.word())
            }
        })+
    };
}
pub(crate) use by_word;
