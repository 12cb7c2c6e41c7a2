use super::block::block;
use super::running::LargestJson;
use super::whole::ProgramJson;
use crate::line::Line;
use crate::pipe::Pipe;
use crate::report::pegged::on_pegs;
use crate::size::{JetChoice, SetAside, SizeRow, Sizes};
use crate::words::aside_word;
use serde_json::{Value, json};

block! {
    /// Pipe sizes, classes and nozzles side by side. Values are in SI, with the unit in the key.
    struct SizesJson of (sizes: &Sizes, line: &Line) {
        #[cfg_attr(test, schemars(extend("const" = super::whole::FORMAT)))]
        format: u32 = super::whole::FORMAT,
        program: ProgramJson = ProgramJson::of(),
        title: String = line.heading.title.clone(),
        /// Number of combinations of size and nozzles that were compared.
        screened: usize = sizes.screened,
        /// Number of sizes that cannot serve.
        set_aside: usize = sizes.set_aside.len(),
        /// Sizes that cannot serve, each with its reason.
        set_aside_sizes: Vec<SetAsideJson> = sizes.set_aside.iter().map(SetAsideJson::of).collect(),
        /// Standard deviation of the elevation difference over that difference, where it is too large to select a pipe class.
        drop_in_doubt: Option<f64> = sizes.drop_in_doubt,
        /// Flow with the largest hydraulic power, with the declared pipe.
        largest_power: Option<LargestJson> = sizes.largest.as_ref().map(LargestJson::of),
        /// Sizes, side by side.
        sizes: Vec<SizeJson> = sizes.rows.iter().map(SizeJson::of).collect(),
    }

    struct SetAsideJson of (a: &SetAside) {
        /// Size of the pipe, without its class.
        size: String = a.family.name(),
        why: &'static str = aside_word(&a.why),
    }

    struct SizeJson of (row: &SizeRow) {
        /// Size of the pipe, without its class.
        size: String = row.family.name(),
        /// Pipe classes by section.
        zones: Vec<SizeZoneJson> = row.zones.iter().map(SizeZoneJson::of).collect(),
        /// Number of nozzles; 0 for another machine.
        jets: usize = row.jets,
        /// How the nozzles were selected, in words.
        jets_chosen: String = choice_word(row.choice),
        nozzle_diameter_m: Option<f64> = row.nozzle_diameter_m,
        /// Smallest inside diameter, m.
        inner_diameter_m: f64 = row.bore_m,
        flow_m3_per_s: f64 = row.flow_m3_per_s,
        /// Gross head: static water level above the nozzle axis, m.
        gross_head_m: f64 = row.gross_head_m,
        net_head_m: f64 = row.net_head_m,
        /// Head loss over gross head.
        loss_share: f64 = row.loss_share,
        /// Standard deviation of the flow, m3/s.
        flow_sd_m3_per_s: Option<f64> = row.shown.as_ref().map(|s| s.flow_sd_m3_per_s),
        /// Standard deviation of the net head, m.
        net_head_sd_m: Option<f64> = row.shown.as_ref().map(|s| s.net_head_sd_m),
        /// Standard deviation of the hydraulic power, W.
        water_power_sd_w: Option<f64> = row.shown.as_ref().map(|s| s.water_power_sd_w),
        /// Highest velocity, m/s.
        velocity_max_m_per_s: f64 = row.velocity_m_per_s,
        /// True if the velocity exceeds its limit.
        too_fast: bool = row.too_fast,
        water_power_w: f64 = row.water_power_w,
        /// Hydraulic power with slime on the pipe wall, W.
        water_power_slimed_w: f64 = row.slimed_power_w,
        /// Electrical power, W.
        electrical_w: Option<f64> = row.electrical_w,
        mass_kg: f64 = row.mass_kg,
        /// Price of the pipe, in the currency of the price list.
        price: Option<f64> = row.price,
        /// Hydraulic power that the next larger size adds, W.
        gain_next_w: Option<f64> = row.gain_next_w,
        limited_station_m: Option<f64> = row.limited_station_m,
        /// True for the pipe of the site file.
        declared: bool = row.declared,
        use_high: Option<f64> = row.shown.as_ref().map(|s| s.use_high),
        /// Operating condition or operation with the largest utilization.
        governed_by: Option<String> = row.shown.as_ref().map(|s| s.governed_by.clone()),
        /// Remaining share of the allowable pressure.
        margin: Option<f64> = row.shown.as_ref().map(|s| s.margin),
        /// Station with the largest utilization, m.
        worst_station_m: Option<f64> = row.shown.as_ref().map(|s| s.worst_station_m),
        /// Operations with column separation.
        parts_in: Option<Vec<String>> = row.shown.as_ref().map(|s| s.parts_in.clone()),
        /// True if column separation occurs.
        vapour: Option<bool> = row.shown.as_ref().map(|s| s.vapour),
    }

    struct SizeZoneJson of (zone: &(f64, f64, Pipe)) {
        from_station_m: f64 = zone.0,
        to_station_m: f64 = zone.1,
        spec: String = zone.2.spec.clone(),
    }
}

/// Sizes side by side.
pub fn value(sizes: &Sizes, line: &Line) -> Value {
    on_pegs(json!(SizesJson::of(sizes, line)), &line.geometry.pegs)
}

/// How the jets were chosen, in words.
fn choice_word(choice: JetChoice) -> String {
    match choice {
        JetChoice::Declared => "as declared".to_owned(),
        JetChoice::Loss(share) => format!("for {:.0} % head loss", share * 100.0),
        JetChoice::Stream => "for the stream".to_owned(),
        JetChoice::Largest => "most power".to_owned(),
    }
}
