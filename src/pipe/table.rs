//! Rows of the embedded tables, read once.

use super::{How, Material, Pipe, roughness};

/// The embedded tables, each with its name for messages.
const TABLES: [(&str, &str); 11] = [
    ("pe_metric", include_str!("tables/pe_metric.csv")),
    ("pe_ips", include_str!("tables/pe_ips.csv")),
    ("pe_cts", include_str!("tables/pe_cts.csv")),
    ("pe_sidr", include_str!("tables/pe_sidr.csv")),
    ("pvc_d1785", include_str!("tables/pvc_d1785.csv")),
    ("pvc_d2241", include_str!("tables/pvc_d2241.csv")),
    ("pvc_din8062", include_str!("tables/pvc_din8062.csv")),
    ("pvc_is4985", include_str!("tables/pvc_is4985.csv")),
    ("pvc_iso1452", include_str!("tables/pvc_iso1452.csv")),
    ("steel", include_str!("tables/steel.csv")),
    ("not_pressure", include_str!("tables/not_pressure.csv")),
];

/// Every row of every table, in the order of the files, and the names of rows that could not be read.
///
/// A row that cannot be read is left out rather than guessed; a test holds that there is none.
pub(super) fn read_all() -> (Vec<Pipe>, Vec<String>) {
    let mut pipes = Vec::new();
    let mut unread = Vec::new();
    for (name, text) in TABLES {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        for (number, record) in reader.records().enumerate() {
            match record.ok().as_ref().and_then(row) {
                Some(pipe) => pipes.push(pipe),
                None => unread.push(format!("{name} row {}", number + 1)),
            }
        }
    }
    (pipes, unread)
}

fn row(record: &csv::StringRecord) -> Option<Pipe> {
    let cell = |i: usize| record.get(i).unwrap_or("").trim();
    let length_m = |i: usize| match cell(i) {
        "" => Some(0.0),
        text => text.parse::<f64>().ok().map(|mm| mm / 1000.0),
    };
    let material = match cell(2) {
        "pe" => Material::Pe,
        "pvc" => Material::Pvc,
        "steel" => Material::Steel,
        _ => return None,
    };
    let rating_pa = cell(9).parse::<f64>().ok()? * 1e5;
    let refused = (rating_pa <= 0.0).then(|| {
        format!(
            "{} to {} is made for drains without pressure",
            cell(3),
            cell(1)
        )
    });
    let mut pipe = Pipe {
        spec: String::new(),
        id: cell(0).to_owned(),
        standard: cell(1).to_owned(),
        material,
        grade: cell(3).to_owned(),
        size_label: cell(4).to_owned(),
        series: cell(5).to_owned(),
        outer_diameter_m: length_m(6)?,
        wall_m: length_m(7)?,
        inner_diameter_m: length_m(8)?,
        rating_pa: refused.is_none().then_some(rating_pa),
        rating_basis: cell(10).to_owned(),
        rating_temp_c: cell(11).parse().ok()?,
        mass_kg_per_m: match cell(12) {
            "" => 0.0,
            text => text.parse().ok()?,
        },
        how_dims: how(cell(13))?,
        how_rating: how(cell(14))?,
        source: cell(15).to_owned(),
        note: cell(16).to_owned(),
        roughness_m: 0.0,
        roughness_old_m: 0.0,
        modulus_pa: None,
        wave_speed_m_per_s: None,
        friction_factor: None,
        refused,
    };
    pipe.spec = spec(&pipe);
    let roughness = roughness(&pipe);
    pipe.roughness_m = roughness.new_m;
    pipe.roughness_old_m = roughness.old_m;
    Some(pipe)
}

fn how(word: &str) -> Option<How> {
    match word {
        "READ" => Some(How::Read),
        "COMPUTED" => Some(How::Computed),
        "SECONDARY" => Some(How::Secondary),
        "MEMORY" => Some(How::Memory),
        _ => None,
    }
}

/// The words a row is called by: they find that row again and no other.
fn spec(pipe: &Pipe) -> String {
    let bar = pipe.rating_pa.map(|pa| (pa / 1e4).round() / 10.0);
    let (grade, series, size) = (&pipe.grade, &pipe.series, &pipe.size_label);
    if pipe.refused.is_some() {
        let standard = pipe.standard.split(" / ").next().unwrap_or_default();
        // Rows without a series speak of a whole family: their size is no size.
        return match series.as_str() {
            "" => format!("{grade} {standard}"),
            _ => format!("{grade} {standard} {series} {size}"),
        };
    }
    match (pipe.material, bar) {
        (Material::Pvc, Some(bar)) if pipe.standard.starts_with("DIN") => {
            format!("{grade} DIN 8062 PN {bar} {size}")
        }
        (Material::Pvc, Some(bar)) if pipe.standard.starts_with("ISO") => {
            format!("{grade} ISO 1452 PN {bar} {size}")
        }
        (Material::Pvc, _) if pipe.standard.starts_with("IS ") => {
            format!(
                "{grade} IS 4985 {} {size}",
                series.trim_end_matches(" class")
            )
        }
        (Material::Steel, _) if grade.starts_with("304") => {
            format!("stainless steel {series} {size}")
        }
        (Material::Steel, _) => format!("steel {grade} {series} {size}"),
        _ => format!("{grade} {series} {size}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        let (pipes, unread) = read_all();
        assert_eq!(unread, Vec::<String>::new());
        assert_eq!(pipes.len(), 893);
    }

    #[test]
    fn rows_are_sane() {
        for pipe in read_all().0 {
            if pipe.refused.is_some() {
                assert!(pipe.rating_pa.is_none(), "{}", pipe.id);
                continue;
            }
            assert!(pipe.wall_m > 0.001 && pipe.wall_m < 0.06, "{}", pipe.id);
            let thin = pipe.outer_diameter_m - 2.0 * pipe.wall_m;
            assert!(
                pipe.inner_diameter_m <= thin + 2e-5,
                "{}: bore {} over {thin}",
                pipe.id,
                pipe.inner_diameter_m
            );
            assert!(pipe.inner_diameter_m > 0.8 * thin, "{}", pipe.id);
            assert!(pipe.mass_kg_per_m > 0.05, "{}", pipe.id);
            assert!(pipe.rating_pa.unwrap() >= 2.9e5, "{}", pipe.id);
        }
    }
}
