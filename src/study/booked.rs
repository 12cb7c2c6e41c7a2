//! What a site file says of its books, as the reader takes it.

use crate::reading::ReadOptions;
use crate::site::{Booked, DeclaredPart, Doubts, Site, Taped};
use crate::unit::physics::{self, EarthPlace};

/// What the reader must know beside the files of a whole survey.
pub fn read_options(site: &Site) -> ReadOptions {
    let said = &site.survey;
    options(site, said.taped, &said.doubts, &said.booked)
}

/// The same for a part: its own word goes before the survey's.
pub(super) fn read_options_of(site: &Site, part: &DeclaredPart) -> ReadOptions {
    let said = &site.survey;
    let doubts = Doubts {
        point_sd_m: part.doubts.point_sd_m.or(said.doubts.point_sd_m),
        setup_sd_m: part.doubts.setup_sd_m.or(said.doubts.setup_sd_m),
        angle_sd_rad: part.doubts.angle_sd_rad.or(said.doubts.angle_sd_rad),
        index_sd_rad: part.doubts.index_sd_rad.or(said.doubts.index_sd_rad),
        pressure_sd_pa: part.doubts.pressure_sd_pa.or(said.doubts.pressure_sd_pa),
    };
    let booked = Booked {
        misclosure: part.booked.misclosure.or(said.booked.misclosure),
        spread: part.booked.spread.or(said.booked.spread),
        staff_m: part.booked.staff_m.or(said.booked.staff_m),
        eye_m: part.booked.eye_m.or(said.booked.eye_m),
        declination_rad: part.booked.declination_rad.or(said.booked.declination_rad),
        index_error_rad: part.booked.index_error_rad.or(said.booked.index_error_rad),
        tape: part.booked.tape.or(said.booked.tape),
    };
    options(site, part.taped.or(said.taped), &doubts, &booked)
}

fn options(site: &Site, taped: Option<Taped>, doubts: &Doubts, booked: &Booked) -> ReadOptions {
    let usual = ReadOptions::default();
    ReadOptions {
        along_slope: taped.map(|t| t == Taped::Slope),
        point_sd_m: doubts.point_sd_m,
        setup_sd_m: doubts.setup_sd_m,
        angle_sd_rad: doubts.angle_sd_rad,
        index_sd_rad: doubts.index_sd_rad,
        index_error_rad: booked.index_error_rad,
        pressure_sd_pa: doubts.pressure_sd_pa,
        order: booked.misclosure.or(site.misclosure).unwrap_or(usual.order),
        spread: booked.spread.unwrap_or(usual.spread),
        staff_m: booked.staff_m.unwrap_or(usual.staff_m),
        eye_m: booked.eye_m,
        declination_rad: booked.declination_rad.unwrap_or(usual.declination_rad),
        water_c: site.water.temperature_c,
        // A hose's head is turned into height where the plant stands; a book without a place takes standard gravity.
        gravity_m_per_s2: site.situation.latitude_deg.map_or(
            usual.gravity_m_per_s2,
            |latitude_deg| {
                physics::gravity(EarthPlace {
                    latitude_deg,
                    altitude_m: site.situation.altitude_m.unwrap_or(0.0),
                })
            },
        ),
        tape: booked.tape,
        ..usual
    }
}
