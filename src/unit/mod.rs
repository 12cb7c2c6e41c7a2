//! Text with a unit to SI and back; how a figure is shown with its doubt; gravity, air and water by place.

mod clock;
pub(crate) mod exact;
mod form;
mod kind;
mod limit;
mod misread;
pub mod physics;
mod read;
mod say;
mod show;
mod station;
mod table;
mod water;

pub use clock::{clock_s, date};
pub(crate) use clock::{day, has_zone};
pub use form::plus_station;
pub use kind::QuantityKind;
pub use limit::Limit;
pub use misread::Misread;
pub use read::{length_m, parse, station_m};
pub use show::{DOUBT_SDS, Figure, Quantity, Shown, Units};
pub use station::OnPegs;
pub use water::WaterState;
