//! The site file as a form to fill: every key with its words, the blank file, options in place of a file, values put in and written out.

mod blank;
mod given;
mod keys;
mod options;
mod print;
mod written;

pub use blank::{blank, blank_gauging, blank_sheet};
pub use given::{GivenKey, SiteChange, Table, changed, given};
pub use keys::{keys, tables};
pub use options::{SiteOptions, from_options, taped};
pub use print::options_text;
pub use written::Literal;
