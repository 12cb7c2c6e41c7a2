//! Plants with what a handbook's checklist asks for: a screen, a basin for sand, a trench, steel and what eats it, a measured stream. And what is done there as advised.

use super::act::{figure, word};
use super::plant::{Material, Plant, Table, quoted};
use serde_json::Value;
use steadyfall::numeric::Rng;

fn named(word: &str) -> String {
    format!("\"{word}\"")
}

impl Plant {
    /// A random plant with works.
    pub fn with_works(seed: u64) -> Self {
        let mut out = Self::random(9000 + seed);
        let mut draws = Rng::new(0x3b0b + seed);
        let mut between = |a: f64, b: f64| a + (b - a) * draws.uniform();
        let length_m = out.length_m();
        let has = |share: f64, of: f64| of < share;
        let kinds = ["flat bars", "round bars", "wedge wire", "mesh"];
        let mut screen: Table = vec![
            ("kind", named(kinds[between(0.0, 3.99) as usize])),
            ("opening", quoted(between(2.0, 14.0), "mm")),
            ("bar", quoted(between(1.0, 5.0), "mm")),
        ];
        if has(0.7, between(0.0, 1.0)) {
            screen.push(("width", quoted(between(0.08, 0.5), "m")));
            screen.push(("length", quoted(between(0.08, 0.5), "m")));
        }
        let cleaned = ["by hand", "by hand", "by rake", "by itself"];
        screen.push(("slope", quoted(between(40.0, 89.0), "deg")));
        screen.push(("cleaned", named(cleaned[between(0.0, 3.99) as usize])));
        if has(0.4, between(0.0, 1.0)) {
            screen.push(("least_clearance", quoted(between(4.0, 20.0), "mm")));
        }
        out.works.push(("[screen]", screen));
        let mut grit: Table = vec![("grain", quoted(between(0.1, 0.9), "mm"))];
        if has(0.3, between(0.0, 1.0)) {
            grit.push(("hours_per_year", "6000".to_owned()));
            grit.push(("worn_by", "\"0.1 mm\"".to_owned()));
            grit.push(("worn_hours", format!("{:.0}", between(500.0, 9000.0))));
        }
        out.works.push(("[grit]", grit));
        if has(0.6, between(0.0, 1.0)) {
            let mut basin: Table = vec![
                ("width", quoted(between(0.2, 1.0), "m")),
                ("length", quoted(between(0.3, 4.0), "m")),
                ("depth", quoted(between(0.04, 0.8), "m")),
            ];
            if has(0.6, between(0.0, 1.0)) {
                basin.push(("flush_flow", quoted(between(0.5, 20.0), "L/s")));
                basin.push(("floor", named(&format!("1 in {:.0}", between(8.0, 60.0)))));
            }
            out.works.push(("[basin]", basin));
        }
        let mut corrosion: Table = Vec::new();
        if has(0.5, between(0.0, 1.0)) {
            for pipe in &mut out.pipes {
                pipe.material = Material::Steel;
                pipe.joint = "flange";
                pipe.piece_m = 6.0;
            }
            let metals = ["brass", "copper", "aluminium", "cast iron"];
            let metal: Table = vec![
                ("at", quoted(0.5 * length_m, "m")),
                ("metal", named(metals[between(0.0, 3.99) as usize])),
                ("name", named("tee")),
            ];
            out.works.push(("[[metal]]", metal));
            corrosion.push(("soil_ohm_m", format!("{:.0}", between(10.0, 200.0))));
            corrosion.push(("earth_at", quoted(0.97 * length_m, "m")));
            corrosion.push(("earth", named("copper")));
            corrosion.push(("earth_dc_a", format!("{:.3}", between(0.0, 0.5))));
            corrosion.push(("water_ph", format!("{:.2}", between(6.2, 8.6))));
            corrosion.push(("water_solids_mg_per_l", "320".to_owned()));
            corrosion.push(("water_calcium_mg_per_l", "150".to_owned()));
            corrosion.push(("water_alkalinity_mg_per_l", "100".to_owned()));
            out.works.push(("[corrosion]", corrosion));
        }
        let mut trench: Table = vec![
            ("from", quoted(0.2 * length_m, "m")),
            ("to", quoted(0.6 * length_m, "m")),
            ("how", named("buried")),
        ];
        if has(0.8, between(0.0, 1.0)) {
            trench.push(("cover", quoted(between(0.06, 1.2), "m")));
        }
        if has(0.5, between(0.0, 1.0)) {
            trench.push(("wet", named("trench")));
        }
        if has(0.7, between(0.0, 1.0)) {
            let fills = ["dug", "sand", "stone"];
            let tamped = ["dumped", "light", "well"];
            trench.push(("surround", named(fills[between(0.0, 2.99) as usize])));
            trench.push(("tamped", named(tamped[between(0.0, 2.99) as usize])));
        }
        out.laid.push(trench);
        if has(0.5, between(0.0, 1.0)) {
            let stream: Table = vec![
                ("flow", quoted(between(1.0, 12.0), "L/s")),
                ("leave", quoted(0.5, "L/s")),
            ];
            out.works.push(("[stream]", stream));
        }
        out
    }

    /// The table of that head, empty where none was.
    fn of_works(&mut self, head: &'static str) -> &mut Table {
        let at = self.works.iter().position(|(h, _)| *h == head);
        let at = at.unwrap_or_else(|| {
            self.works.push((head, Vec::new()));
            self.works.len() - 1
        });
        &mut self.works[at].1
    }

    fn set(&mut self, head: &'static str, key: &'static str, value: String) {
        let table = self.of_works(head);
        table.retain(|(k, _)| *k != key);
        table.push((key, value));
    }

    /// A figure of a table as it is written, in the unit that it is written in.
    fn said(&mut self, head: &'static str, key: &str) -> Option<f64> {
        let value = &self.of_works(head).iter().find(|(k, _)| *k == key)?.1;
        value.trim_matches('"').split(' ').next()?.parse().ok()
    }

    /// The surface of the basin made so large by its length; a basin is built where there was none, deep and wide enough for slow water.
    fn basin_of(&mut self, area_m2: f64) {
        match self.said("[basin]", "width") {
            Some(width) => self.set("[basin]", "length", quoted(area_m2 / width + 5e-7, "m")),
            None => {
                let side = area_m2.sqrt() + 5e-7;
                self.set("[basin]", "width", quoted(side, "m"));
                self.set("[basin]", "length", quoted(side, "m"));
                self.set("[basin]", "depth", quoted(1.0, "m"));
            }
        }
    }
}

/// The plant once a finding about its works is obeyed; `None` where nothing can be built for it.
pub fn obeyed(plant: &Plant, finding: &Value, code: &str) -> Option<Plant> {
    let mut out = plant.clone();
    match code {
        "jet-can-block" | "clearance-can-block" => {
            let opening_m = figure(finding, "opening_wanted_m")?;
            out.set("[screen]", "opening", quoted(1e3 * opening_m - 5e-7, "mm"));
        }
        "screen-fast" => {
            // square to the flow: the upright height of bars that slope
            let side_m = figure(finding, "wanted_m2")?.sqrt() + 5e-7;
            let upright = out.said("[screen]", "slope")?.to_radians().sin();
            out.set("[screen]", "width", quoted(side_m, "m"));
            out.set("[screen]", "length", quoted(side_m / upright, "m"));
        }
        "screen-draws-down" => {
            let deeper_m = figure(finding, "wanted_m")? - figure(finding, "has_m")? + 1e-4;
            for level in [
                &mut out.levels_m.0,
                &mut out.levels_m.1,
                &mut out.levels_m.2,
            ] {
                *level += deeper_m;
            }
        }
        "screen-steep" => {
            let slope_deg = figure(finding, "limit_deg")?;
            out.set("[screen]", "slope", quoted(slope_deg, "deg"));
        }
        "grit-wears" | "basin-small" => out.basin_of(figure(finding, "area_wanted_m2")?),
        "basin-fast" => {
            let width = out.said("[basin]", "width")?;
            let depth_m = figure(finding, "section_wanted_m2")? / width + 5e-7;
            out.set("[basin]", "depth", quoted(depth_m, "m"));
        }
        "basin-not-flushed" => {
            let flow = 1e3 * figure(finding, "wanted_m3_per_s")? + 2e-6;
            out.set("[basin]", "flush_flow", quoted(flow, "L/s"));
        }
        "metal-pair" => {
            let same = named(word(finding, "other_metal"));
            out.set("[[metal]]", "metal", same);
        }
        "earth-bonded" => {
            let table: Table = vec![
                ("at", quoted(0.99 * plant.length_m(), "m")),
                ("metal", named("steel")),
                ("insulated", "true".to_owned()),
            ];
            out.works.push(("[[metal]]", table));
        }
        "earth-current" => {
            // the steel in the ground ends above the electrode; farther off is farther down, where the line is that long
            let by_m = figure(finding, "wanted_m")? - figure(finding, "away_m")?;
            let at_m = out.said("[corrosion]", "earth_at")? + by_m + 1e-3;
            if at_m > plant.length_m() {
                return None;
            }
            out.set("[corrosion]", "earth_at", quoted(at_m, "m"));
        }
        "soil-corrodes" => out.set("[corrosion]", "coating", named("polyethylene")),
        "water-soft" => out.set("[corrosion]", "coating", named("epoxy")),
        "float-not-judged" | "deflection-not-judged" | "traffic-not-judged"
            if word(finding, "reason").contains("cover") =>
        {
            let cover_m = figure(finding, "wanted_cover_m").unwrap_or(0.8);
            for table in &mut out.laid {
                table.retain(|(k, _)| *k != "cover");
                table.push(("cover", quoted(cover_m, "m")));
            }
        }
        _ => return None,
    }
    Some(out)
}
