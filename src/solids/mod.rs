//! What the water carries: what passes the screen and whether it can block what lies behind, what settles in the basin, what wears the nozzles.

mod basin;
mod grit;
mod passes;
mod settle;
mod wear;

pub use basin::{BasinDemand, SETTLES, Settled, flush_drag_pa, leaves_it_m_per_s, settled_share};
pub use grit::{Carried, Wear, grit};
pub use passes::{BRIDGES, Passage, ScreenPasses, passes};
pub use settle::{SAND_KG_PER_M3, Settling};
pub use wear::{WORN_SHARE, bears_m, wider_m, worn_after_s};
