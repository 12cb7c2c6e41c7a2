//! workbook.xlsx: the CSV sheets of a folder as pages of one workbook. The crate `rust_xlsxwriter` writes it.

#[cfg(feature = "workbook")]
pub use made::workbook;

/// Without the writer there is no workbook.
///
/// # Errors
/// Always: this build was made without it.
#[cfg(not(feature = "workbook"))]
pub fn workbook(_: &[crate::folder::ResultFile]) -> Result<Vec<u8>, crate::text::Fault> {
    Err(crate::text::Fault::new(
        crate::text::Place::default().key("--workbook"),
        "this build of the program was made without the writer of workbooks",
    )
    .expected("the CSV sheets, or a build with the feature \"workbook\"")
    .advice("leave --workbook out, or build with it"))
}

#[cfg(feature = "workbook")]
mod made {
    use crate::folder::ResultFile;
    use crate::report::guarded;
    use crate::text::{Fault, Place};
    use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};
    use std::io::{Cursor, Read, Write};
    use zip::write::SimpleFileOptions;
    use zip::{CompressionMethod, ZipArchive, ZipWriter};

    fn failed(why: &dyn std::fmt::Display) -> Fault {
        Fault::new(
            Place::file("workbook.xlsx"),
            "the workbook could not be written",
        )
        .found(why.to_string())
        .advice("leave --workbook out: the CSV sheets hold the same")
    }

    /// The workbook of every CSV sheet among `sheets`, in their order.
    ///
    /// # Errors
    /// Where the writer refuses a sheet.
    pub fn workbook(sheets: &[ResultFile]) -> Result<Vec<u8>, Fault> {
        let mut book = Workbook::new();
        let spreadsheet = |why: XlsxError| failed(&why);
        // A fixed day: the same results are the same bytes.
        let day = ExcelDateTime::from_ymd(2000, 1, 1).map_err(spreadsheet)?;
        let about = DocProperties::new()
            .set_title(env!("CARGO_PKG_NAME"))
            .set_creation_datetime(&day);
        book.set_properties(&about);
        for (name, bytes) in sheets {
            let Some(stem) = name.strip_suffix(".csv") else {
                continue;
            };
            page(&mut book, stem, bytes)?;
        }
        let packed = book.save_to_buffer().map_err(spreadsheet)?;
        plainly(&packed)
    }

    fn page(book: &mut Workbook, name: &str, bytes: &[u8]) -> Result<(), Fault> {
        let spreadsheet = |why: XlsxError| failed(&why);
        let rows: Vec<csv::StringRecord> = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes)
            .records()
            .collect::<Result<_, _>>()
            .map_err(|why| failed(&why))?;
        let columns = rows.first().map_or(0, csv::StringRecord::len);
        // A column is one of figures where every cell in it is one: a name that is a number stays text beside others that are none.
        let figures: Vec<bool> = (0..columns)
            .map(|c| {
                rows.iter()
                    .skip(1)
                    .filter_map(|r| r.get(c))
                    .all(|cell| cell.is_empty() || is_figure(cell))
            })
            .collect();
        let head = Format::new().set_bold().set_text_wrap();
        let sheet = book.add_worksheet();
        sheet.set_name(name).map_err(spreadsheet)?;
        sheet.set_freeze_panes(1, 0).map_err(spreadsheet)?;
        for (row, number) in rows.iter().zip(0u32..) {
            for ((cell, column), figures) in row.iter().zip(0u16..).zip(&figures) {
                let figure = cell.parse::<f64>().ok().filter(|_| *figures);
                let written = match figure {
                    _ if cell.is_empty() => continue,
                    _ if number == 0 => sheet.write_string_with_format(0, column, cell, &head),
                    Some(value) => {
                        let decimals = cell.split_once('.').map_or(0, |(_, d)| d.len());
                        let zeros = "0".repeat(decimals);
                        let form = if decimals == 0 {
                            "0".to_owned()
                        } else {
                            format!("0.{zeros}")
                        };
                        let form = Format::new().set_num_format(form);
                        sheet.write_number_with_format(number, column, value, &form)
                    }
                    // In a workbook a text is a text: the sign that keeps a CSV cell from running is not needed.
                    None => sheet.write_string(number, column, unguarded(cell)),
                };
                written.map_err(spreadsheet)?;
            }
        }
        for column in 0..u16::try_from(columns).unwrap_or(u16::MAX) {
            sheet.set_column_width(column, 14).map_err(spreadsheet)?;
        }
        Ok(())
    }

    /// As the sheets write figures: a sign, digits, a point.
    fn is_figure(cell: &str) -> bool {
        let digits = cell.strip_prefix('-').unwrap_or(cell);
        digits.starts_with(|c: char| c.is_ascii_digit())
            && digits.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            && cell.parse::<f64>().is_ok()
    }

    fn unguarded(cell: &str) -> &str {
        match cell.strip_prefix('\'') {
            Some(rest) if guarded(rest) == cell => rest,
            _ => cell,
        }
    }

    /// The same parts, stored as they are: how well a packer packs may hang on the processor, and the bytes must not.
    fn plainly(packed: &[u8]) -> Result<Vec<u8>, Fault> {
        let mut from = ZipArchive::new(Cursor::new(packed)).map_err(|why| failed(&why))?;
        let mut to = ZipWriter::new(Cursor::new(Vec::new()));
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        for i in 0..from.len() {
            let mut part = from.by_index(i).map_err(|why| failed(&why))?;
            let name = part.name().map_err(|why| failed(&why))?.into_owned();
            let mut bytes = Vec::new();
            part.read_to_end(&mut bytes).map_err(|why| failed(&why))?;
            to.start_file(name, options).map_err(|why| failed(&why))?;
            to.write_all(&bytes).map_err(|why| failed(&why))?;
        }
        let done = to.finish().map_err(|why| failed(&why))?;
        Ok(done.into_inner())
    }
}
