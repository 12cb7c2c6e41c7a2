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

/// An enum with the word of each case: the site file says it, programs read it. What stands behind `|` is understood too.
///
/// The pages of the library show each case's word; a comment on it says what the word does not.
macro_rules! words {
    ($(#[$of:meta])* pub enum $name:ident { $($(#[$about:meta])* $case:ident = $word:literal $(| $alias:literal)*,)+ }) => {
        $(#[$of])*
        pub enum $name {
            $(
                $(#[$about])*
                #[doc = concat!("\n\n`", $word, "`")]
                $case,
            )+
        }

        impl $name {
            /// Every word that is understood, with what it means.
            pub const WORDS: &[(&str, Self)] = &[$(($word, Self::$case), $(($alias, Self::$case),)*)+];

            /// The word that the site file and programs know it by.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$case => $word,)+
                }
            }
        }

        crate::text::by_word!($name: "enum": $($word),+);
    };
}
pub(crate) use words;

/// Writes values of a type for programs by their word, and draws them in a schema as one of these words.
///
/// A type whose cases carry more than their name has its table here: `by_word! { Type { Self::Case(_) => "word", } }`. Names of the user's own have none.
macro_rules! by_word {
    ($of:ident { $($case:pat => $word:literal,)+ }) => {
        impl $of {
            /// The word that programs know it by.
            pub const fn word(&self) -> &'static str {
                match self {
                    $($case => $word,)+
                }
            }
        }

        crate::text::by_word!($of: "enum": $($word),+);
    };
    ($of:ident) => {
        crate::text::by_word!($of: "type": "string");
    };
    ($of:ident: $how:literal: $($word:literal),+) => {
        impl serde::Serialize for $of {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.word())
            }
        }

        #[cfg(test)]
        impl schemars::JsonSchema for $of {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($of).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let words = [$($word),+];
                match $how {
                    "enum" => schemars::json_schema!({ "enum": words }),
                    _ => schemars::json_schema!({ "type": words[0] }),
                }
            }
        }
    };
}
pub(crate) use by_word;
