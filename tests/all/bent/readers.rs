use steadyfall::form;
use steadyfall::reading::{Data, Method, ReadOptions, Reading};
use steadyfall::survey;
use steadyfall::text::{Fault, Sheet, decode};
use steadyfall::track::gpx;
use steadyfall::track::pressure;
use steadyfall::{pipe, site, unit};

/// A refusal says something, and nothing in it can steer a terminal.
pub fn fit_to_be_shown(fault: &Fault) {
    assert!(!fault.text.is_empty(), "a refusal without a word");
    let shown = fault.to_string();
    assert!(
        !shown.chars().any(|c| c.is_control() && c != '\n'),
        "a refusal that steers the terminal: {shown:?}"
    );
}

fn lossy(bytes: &[u8]) -> std::borrow::Cow<'_, str> {
    String::from_utf8_lossy(bytes)
}

/// A choice that depends on every byte of a file and on nothing else.
fn drawn<T: Copy>(bytes: &[u8], of: &[T]) -> T {
    let sum = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| {
        (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    });
    of[(sum >> 32) as usize % of.len()]
}

/// Any text as a quantity of one kind, drawn by the text: a finite figure or a refusal.
pub fn unit(bytes: &[u8]) {
    let text = lossy(bytes);
    match unit::parse(drawn(bytes, &unit::QuantityKind::ALL), &text) {
        Ok(value) => assert!(value.is_finite(), "{text:?} is read as {value}"),
        Err(misread) => fit_to_be_shown(&misread.at(steadyfall::text::Place::default())),
    }
    if let Some(Ok(station)) = unit::plus_station(&text) {
        assert!(station.is_finite(), "{text:?} stands at {station}");
    }
    if let Ok(number) = steadyfall::text::number(&text) {
        assert!(number.is_finite(), "{text:?} is the number {number}");
    }
    let _ = steadyfall::text::whole_number(&text);
}

/// Any text as the words of an option or of the catalogue: lines of pipe, jets, water level.
pub fn words(bytes: &[u8]) {
    let text = lossy(bytes);
    let mut lines = text.lines();
    let mut next = || lines.next().unwrap_or_default().to_owned();
    let (pipe, jets, level) = (next(), next(), next());
    let found = pipe::search(&pipe);
    assert!(found.len() <= pipe::catalogue().len());
    let wish = form::SiteOptions {
        files: vec!["walk.gpx".to_owned()],
        title: Some(jets.clone()),
        pipes: vec![pipe],
        jets: Some(jets),
        water_level: Some(level),
        ..form::SiteOptions::default()
    };
    match form::from_options(&wish) {
        Ok(made) => {
            let text = form::options_text(&made);
            assert_eq!(made.pipes.len(), 1, "one pipe was asked for: {text}");
            let read = site::read_text("site.toml", &text);
            assert!(read.is_ok(), "its own text is refused: {text}");
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            faults.iter().for_each(fit_to_be_shown);
        }
    }
}

/// Any bytes as a sheet of cells: every row has a cell under each head and every cell a place.
pub fn sheet(bytes: &[u8]) {
    let decoded = match decode("book.csv", bytes) {
        Ok(decoded) => decoded,
        Err(fault) => return fit_to_be_shown(&fault),
    };
    let sheet = match Sheet::read("book.csv", &decoded.text) {
        Ok(sheet) => sheet,
        Err(fault) => return fit_to_be_shown(&fault),
    };
    for row in &sheet.rows {
        assert_eq!(row.cells.len(), sheet.heads.len());
        for column in 0..row.cells.len() {
            match sheet.number(row, column) {
                Ok(number) => assert!(number.is_none_or(f64::is_finite)),
                Err(fault) => fit_to_be_shown(&fault),
            }
        }
    }
}

/// Any bytes as a site file: read or refused with a place.
pub fn site(bytes: &[u8]) {
    let decoded = match decode("site.toml", bytes) {
        Ok(decoded) => decoded,
        Err(fault) => return fit_to_be_shown(&fault),
    };
    if let Err(faults) = site::read_text("site.toml", &decoded.text) {
        assert!(!faults.is_empty(), "refused without a word");
        for fault in &faults {
            assert!(fault.place.line.is_some(), "no place: {fault}");
            fit_to_be_shown(fault);
        }
    }
}

/// Any bytes as a field book of a kind, taped along the slope or not said, both drawn by the bytes: read with finite heights and doubts, or refused.
pub fn book(bytes: &[u8]) {
    let kinds = [
        None,
        Some(Method::Level),
        Some(Method::Angle),
        Some(Method::Gauge),
        Some(Method::Points),
    ];
    let ways = kinds.map(|kind| [(kind, None), (kind, Some(true))]);
    let (kind, along_slope) = drawn(bytes, ways.as_flattened());
    let options = ReadOptions {
        along_slope,
        ..ReadOptions::default()
    };
    match survey::read_bytes(bytes, "book.csv", kind, &options) {
        Err(fault) => fit_to_be_shown(&fault),
        Ok(reading) => sound(&reading),
    }
}

/// Any bytes as a receiver's file: read or refused with a place; what is read is on the earth and finite.
pub fn gpx(bytes: &[u8]) {
    match gpx::read(bytes, "walk.gpx") {
        Err(fault) => {
            assert!(fault.place.line.is_some(), "no place: {fault}");
            fit_to_be_shown(&fault);
        }
        Ok(reading) => {
            assert!(matches!(reading.data, Data::Walks(_)));
            sound(&reading);
        }
    }
}

/// Any bytes as any file: read for what it is, or refused with a word.
pub fn any(bytes: &[u8]) {
    match survey::read_bytes(bytes, "it", None, &ReadOptions::default()) {
        Err(fault) => fit_to_be_shown(&fault),
        Ok(reading) => sound(&reading),
    }
}

/// Any bytes as a FIT file: as they are, and with the sums mended, so that what is behind them is reached.
pub fn fit(bytes: &[u8]) {
    any(bytes);
    let mut mended = bytes.to_vec();
    let Some(data) = mended.len().checked_sub(16) else {
        return;
    };
    mended[0] = 14;
    mended[4..8].copy_from_slice(&(data as u32).to_le_bytes());
    mended[8..12].copy_from_slice(b".FIT");
    mended[12..14].fill(0);
    let sum = fit_sum(&mended[..data + 14]);
    mended[data + 14..].copy_from_slice(&sum.to_le_bytes());
    any(&mended);
}

/// The sum of bytes that ends a FIT file: CRC-16 with the polynomial 0x8005, reflected.
pub fn fit_sum(bytes: &[u8]) -> u16 {
    bytes.iter().fold(0, |sum, byte| {
        (0..8).fold(sum ^ u16::from(*byte), |s, _| {
            if s & 1 == 1 { s >> 1 ^ 0xa001 } else { s >> 1 }
        })
    })
}

/// Parts of a workbook behind lines `==== NAME`, packed and read: so that a bent part is reached through a whole archive.
pub fn spreadsheet(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options =
        zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for part in text.split("==== ").skip(1) {
        let (name, body) = part.split_once('\n').unwrap_or((part, ""));
        let begun = writer.start_file(name.trim(), options);
        if begun.is_err()
            || std::io::Write::write_all(&mut writer, body.trim_end().as_bytes()).is_err()
        {
            return;
        }
    }
    if let Ok(done) = writer.finish() {
        any(&done.into_inner());
    }
}

/// Every figure of a reading is one.
fn sound(reading: &Reading) {
    for remark in &reading.remarks {
        assert!(!remark.text.is_empty());
    }
    match &reading.data {
        Data::Walks(passes) => {
            for fix in passes.iter().flat_map(|p| p.segments.iter().flatten()) {
                assert!(fix.lat_deg.abs() <= 90.0 && fix.lon_deg.abs() <= 180.0);
                assert!(fix.elevation_m.is_none_or(f64::is_finite));
                assert!(fix.time_s.is_none_or(f64::is_finite));
                assert!(fix.stated_sd_m.is_none_or(|sd| sd.is_finite() && sd > 0.0));
            }
        }
        Data::Book(book) => {
            for point in &book.points {
                assert!(point.height_m.is_none_or(f64::is_finite));
                assert!(point.sd_m.is_finite() && point.sd_m >= 0.0);
            }
            for factor in &book.factors {
                assert_eq!(factor.len(), book.points.len());
                assert!(factor.iter().all(|x| x.is_finite()));
            }
        }
    }
}

/// Any bytes as a log of the air's pressure: rising times, pressures that air has.
pub fn log(bytes: &[u8]) {
    match pressure::read_log_bytes(bytes, "log.csv") {
        Ok(log) => {
            assert_eq!(log.time_s.len(), log.pressure_pa.len());
            assert!(
                log.time_s.windows(2).all(|w| w[0] < w[1]),
                "times that do not rise"
            );
            let can_be = |p: &f64| (3e4..=1.1e5).contains(p);
            assert!(
                log.pressure_pa.iter().all(can_be),
                "pressures that no air has"
            );
        }
        Err(fault) => fit_to_be_shown(&fault),
    }
}
