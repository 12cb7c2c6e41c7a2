//! Any bytes as a sheet of cells: every row has a cell under each head and every cell a place.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadyfall::text::{Sheet, decode};

fuzz_target!(|bytes: &[u8]| {
    let Ok(decoded) = decode("book.csv", bytes) else {
        return;
    };
    let Ok(sheet) = Sheet::read("book.csv", &decoded.text) else {
        return;
    };
    for row in &sheet.rows {
        assert_eq!(row.cells.len(), sheet.heads.len());
        for column in 0..row.cells.len() {
            let _ = sheet.number(row, column);
        }
    }
});
