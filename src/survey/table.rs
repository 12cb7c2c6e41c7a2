use crate::reading::CellError;
use crate::text::{Fault, NoNumber, Place, Row, Sheet, number};
use crate::unit::exact::FOOT_M;

/// A sheet of a field book: columns by the name before their unit, cells in the habits of the field.
pub(super) struct FieldTable<'a> {
    pub(super) sheet: &'a Sheet,
}

/// A column of lengths and the unit of its head.
#[derive(Debug, Clone, Copy)]
pub(super) struct LengthColumn {
    index: usize,
    /// Metres in its unit.
    factor: f64,
}

/// A unit a head may end in: SI = (figure + plus) * times.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeadUnit {
    ending: &'static str,
    plus: f64,
    times: f64,
}

/// Temperatures, C.
pub(super) const TEMPERATURES: [HeadUnit; 2] = [
    HeadUnit {
        ending: "_c",
        plus: 0.0,
        times: 1.0,
    },
    HeadUnit {
        ending: "_f",
        plus: -32.0,
        times: 5.0 / 9.0,
    },
];

/// Pulls, N (pound-force: NIST SP 811, 2008, Appendix B).
pub(super) const PULLS: [HeadUnit; 3] = [
    HeadUnit {
        ending: "_n",
        plus: 0.0,
        times: 1.0,
    },
    HeadUnit {
        ending: "_lbf",
        plus: 0.0,
        times: 4.448_221_615_260_5,
    },
    HeadUnit {
        ending: "_kgf",
        plus: 0.0,
        times: 9.806_65,
    },
];

/// A column of a figure with its unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct FigureColumn {
    index: usize,
    scale: HeadUnit,
}

impl LengthColumn {
    /// Which column it is.
    pub(super) fn index(self) -> usize {
        self.index
    }

    /// Whether its head says feet.
    pub(super) fn is_feet(self) -> bool {
        self.factor < 1.0
    }
}

impl<'a> FieldTable<'a> {
    pub(super) fn new(sheet: &'a Sheet) -> Self {
        Self { sheet }
    }

    /// The column of a length: its head ends in `_m` or `_ft`.
    pub(super) fn length(&self, base: &str) -> Result<Option<LengthColumn>, Fault> {
        let metres = self.sheet.column(&format!("{base}_m"));
        let feet = self.sheet.column(&format!("{base}_ft"));
        match (metres, feet) {
            (Some(_), Some(feet)) => Err(self
                .sheet
                .head_fault(feet, format!("{base} is given in metres and in feet"))
                .expected("one of the two")
                .advice("remove one of the two columns")),
            (Some(index), None) => Ok(Some(LengthColumn { index, factor: 1.0 })),
            (None, Some(index)) => Ok(Some(LengthColumn {
                index,
                factor: FOOT_M,
            })),
            (None, None) => match self.sheet.column(base) {
                Some(index) => Err(self
                    .sheet
                    .head_fault(index, "this length has no unit")
                    .expected(format!("{base}_m or {base}_ft"))
                    .advice(format!(
                        "write the unit in the head or in a row below the heads, for example {} (m) or {} (ft)",
                        self.head(index),
                        self.head(index)
                    ))),
                None => Ok(None),
            },
        }
    }

    /// A head as it stands.
    fn head(&self, index: usize) -> &str {
        self.sheet.heads.get(index).map_or("", |h| h.text.as_str())
    }

    /// The length in a cell, m. A cell in feet may hold feet and inches.
    pub(super) fn metres(
        &self,
        row: &Row,
        column: Option<LengthColumn>,
    ) -> Result<Option<f64>, Fault> {
        let Some(column) = column else {
            return Ok(None);
        };
        let text = self.sheet.text(row, column.index);
        if text.contains(['\'', '\u{2032}', '"', '\u{2033}']) {
            return match (column.is_feet(), feet_and_inches(text)) {
                (true, Some(feet)) => Ok(Some(feet * FOOT_M)),
                (true, None) => Err(self
                    .sheet
                    .fault(row, column.index, "these feet and inches cannot be read")
                    .expected("5' 6 1/2\" or decimal feet")
                    .advice("write decimal feet")),
                (false, _) => Err(self
                    .sheet
                    .fault(
                        row,
                        column.index,
                        "this value is in feet, but the column is in metres",
                    )
                    .expected("metres")
                    .advice("change the head to end in _ft, or convert the value to metres")),
            };
        }
        Ok(self
            .sheet
            .number(row, column.index)?
            .map(|v| v * column.factor))
    }

    /// The station in a cell, m: a number, or `12+50` in 100 ft stations, `0+250` in kilometres.
    pub(super) fn station(
        &self,
        row: &Row,
        column: Option<LengthColumn>,
    ) -> Result<Option<f64>, Fault> {
        let Some(column) = column else {
            return Ok(None);
        };
        let text = self.sheet.text(row, column.index);
        // A calculating sheet writes 30 as 3.0E+01.
        let is_plain = number(text).is_ok();
        let Some((before, after)) = text
            .split_once('+')
            .filter(|(b, _)| !is_plain && !b.trim().is_empty())
        else {
            return self.metres(row, Some(column));
        };
        let (unit, digits) = if column.is_feet() {
            (100.0, 2)
        } else {
            (1000.0, 3)
        };
        let after = match after.trim().split_once(',') {
            Some((whole, rest)) if self.sheet.delimiter != ',' => format!("{whole}.{rest}"),
            _ => after.trim().to_owned(),
        };
        let whole = after.split('.').next().unwrap_or("");
        let fault = |what: &str| {
            self.sheet.fault(row, column.index, what).expected(if column.is_feet() {
                "two digits after the plus in feet: 12+50 is 1250 ft"
            } else {
                "three digits after the plus in metres: 0+250 is 250 m"
            })
            .advice("write the unit of the pegs in the head (station_ft or station_m), or write the distance without a plus")
        };
        if whole.len() != digits || !whole.bytes().all(|b| b.is_ascii_digit()) {
            return Err(fault(
                "the digits after the plus of this station do not agree with its unit",
            ));
        }
        match (number(before), number(&after)) {
            (Ok(stations), Ok(rest)) => {
                let sign = if before.trim().starts_with(['-', '\u{2212}']) {
                    -1.0
                } else {
                    1.0
                };
                Ok(Some((stations * unit + sign * rest) * column.factor))
            }
            _ => Err(fault("this station cannot be read")),
        }
    }

    /// The column of a plain number by its whole head.
    pub(super) fn plain(&self, head: &str) -> Option<usize> {
        self.sheet.column(head)
    }

    /// The number in a cell.
    pub(super) fn number(&self, row: &Row, column: Option<usize>) -> Result<Option<f64>, Fault> {
        column.map_or(Ok(None), |c| self.sheet.number(row, c))
    }

    /// The angle in a cell, degrees: decimal, or degrees and minutes (and seconds), or a quarter bearing like `N 76 E`.
    pub(super) fn degrees(&self, row: &Row, column: Option<usize>) -> Result<Option<f64>, Fault> {
        let Some(column) = column else {
            return Ok(None);
        };
        let text = self.sheet.text(row, column);
        let comma = self.sheet.delimiter != ',';
        match degrees(text, comma) {
            Ok(value) => Ok(Some(value)),
            Err(NoNumber::Empty) => Ok(None),
            Err(_) => Err(self
                .sheet
                .fault(row, column, "this angle cannot be read")
                .expected(
                    "degrees (12.5), degrees and minutes (12 30), or a quarter bearing (N 76 E)",
                )
                .advice("write only the angle. The unit is in the column head")),
        }
    }

    /// The column of a figure whose head ends in one of several units.
    pub(super) fn measured(
        &self,
        base: &str,
        units: &[HeadUnit],
    ) -> Result<Option<FigureColumn>, Fault> {
        let mut found: Option<FigureColumn> = None;
        for &scale in units {
            let Some(index) = self.sheet.column(&format!("{base}{}", scale.ending)) else {
                continue;
            };
            if found.is_some() {
                return Err(self
                    .sheet
                    .head_fault(index, format!("{base} is given in two units"))
                    .expected("one of the two")
                    .advice("remove one of the two columns"));
            }
            found = Some(FigureColumn { index, scale });
        }
        Ok(found)
    }

    /// The figure in such a cell, in SI, within what can be.
    pub(super) fn within(
        &self,
        row: &Row,
        column: Option<FigureColumn>,
        can_be: std::ops::RangeInclusive<f64>,
        words: &str,
    ) -> Result<Option<f64>, Fault> {
        let Some(FigureColumn { index, scale }) = column else {
            return Ok(None);
        };
        let Some(value) = self.sheet.number(row, index)? else {
            return Ok(None);
        };
        let si = (value + scale.plus) * scale.times;
        if can_be.contains(&si) {
            return Ok(Some(si));
        }
        Err(self
            .sheet
            .fault(row, index, "this value is not possible")
            .expected(words)
            .advice("check the position of the decimal point. Check that the value is in the unit of the column head"))
    }

    /// The words in a cell.
    pub(super) fn words(&self, row: &Row, column: Option<usize>) -> String {
        column.map_or_else(String::new, |c| self.sheet.text(row, c).to_owned())
    }

    /// Where a point stands: its row, at the first of some columns that is there.
    pub(super) fn point_place(&self, row: &Row, heads: &[&str]) -> Place {
        self.sheet.column_of(heads).map_or_else(
            || Place::line(&self.sheet.file, row.line),
            |column| self.sheet.place(row, column),
        )
    }

    /// The fault of a slip that a reduction found.
    pub(super) fn slip(&self, slip: CellError) -> Fault {
        slip.in_sheet(self.sheet)
    }
}

/// Feet and inches as written: `5' 6 1/2"`, `5'`, `6"`.
fn feet_and_inches(text: &str) -> Option<f64> {
    let text = text
        .trim()
        .replace('\u{2032}', "'")
        .replace('\u{2033}', "\"");
    let (sign, text) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (-1.0, rest.trim().to_owned()),
        None => (1.0, text),
    };
    let (feet, inches) = match text.split_once('\'') {
        Some((feet, inches)) => (number(feet).ok()?, inches.to_owned()),
        None => (0.0, text),
    };
    let inches = inches
        .trim()
        .trim_end_matches(['"', '\''])
        .trim()
        .to_owned();
    let mut sum = 0.0;
    for word in inches.split_whitespace() {
        sum += match word.split_once('/') {
            Some((a, b)) => {
                let b = number(b).ok().filter(|b| *b > 0.0)?;
                number(a).ok()? / b
            }
            None => number(word).ok()?,
        };
    }
    (feet >= 0.0 && (0.0..12.0).contains(&sum)).then_some(sign * (feet + sum / 12.0))
}

/// Degrees as written.
fn degrees(text: &str, comma: bool) -> Result<f64, NoNumber> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NoNumber::Empty);
    }
    let upper = text.to_ascii_uppercase();
    if let Some(rest) = upper.strip_prefix(['N', 'S']) {
        let is_north = upper.starts_with('N');
        let Some(inner) = rest.strip_suffix(['E', 'W']) else {
            return Err(NoNumber::NotANumber);
        };
        let inner = parts(inner, comma)?;
        if !(0.0..=90.0).contains(&inner) {
            return Err(NoNumber::NotANumber);
        }
        let east = if upper.ends_with('E') { inner } else { -inner };
        let from_north = if is_north { east } else { 180.0 - east };
        return Ok(from_north.rem_euclid(360.0));
    }
    parts(text, comma)
}

/// Degrees, minutes and seconds; only the last may have decimals, minutes and seconds are below 60.
fn parts(text: &str, comma: bool) -> Result<f64, NoNumber> {
    let text = text.trim().replace('\u{2212}', "-");
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, text.strip_prefix('+').unwrap_or(&text)),
    };
    let rest = if comma {
        rest.replace(',', ".")
    } else {
        rest.to_owned()
    };
    let mut sum = 0.0;
    let mut scale = 1.0;
    let mut whole = true;
    let mut any = false;
    for word in rest
        .split(|c: char| c.is_whitespace() || "°ºd'′\"″-:".contains(c))
        .filter(|w| !w.is_empty())
    {
        let value = number(word)?;
        if !whole || value < 0.0 || (any && value >= 60.0) || scale < 1.0 / 3600.0 {
            return Err(NoNumber::NotANumber);
        }
        whole = value.fract() == 0.0;
        any = true;
        sum += value * scale;
        scale /= 60.0;
    }
    if any {
        Ok(sign * sum)
    } else {
        Err(NoNumber::NotANumber)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_as_people_write_them() {
        for (text, want) in [
            ("-8 42", -8.7),
            ("12°30'", 12.5),
            ("45-30-36", 45.51),
            ("N76E", 76.0),
            ("s 36 e", 144.0),
            ("S68-05-35W", 248.0 + 5.0 / 60.0 + 35.0 / 3600.0),
            ("N38W", 322.0),
        ] {
            let got = degrees(text, false).unwrap();
            assert!((got - want).abs() < 1e-9, "{text}: {got}");
        }
        assert!(degrees("12.5 30", false).is_err());
        assert!(degrees("12 75", false).is_err());
        assert!(degrees("N 95 E", false).is_err());
        assert!((degrees("7,25", true).unwrap() - 7.25).abs() < 1e-12);
    }

    #[test]
    fn feet_and_inches_as_people_write_them() {
        assert_eq!(feet_and_inches("5' 6\""), Some(5.5));
        assert_eq!(feet_and_inches("5'6 3/4\""), Some(5.5625));
        assert_eq!(feet_and_inches("-1'"), Some(-1.0));
        assert_eq!(feet_and_inches("9\""), Some(0.75));
        assert_eq!(feet_and_inches("5' 14\""), None);
    }

    #[test]
    fn stations_by_their_unit() {
        let sheet =
            Sheet::read("b.csv", "station_ft\n12+50\n6+53.25\n-0+25\n2+037\n1250\n").unwrap();
        let table = FieldTable::new(&sheet);
        let column = table.length("station").unwrap();
        let read = |i: usize| table.station(&sheet.rows[i], column);
        for (i, feet) in [(0, 1250.0), (1, 653.25), (2, -25.0), (4, 1250.0)] {
            assert!(
                (read(i).unwrap().unwrap() - feet * FOOT_M).abs() < 1e-9,
                "{i}"
            );
        }
        assert!(read(3).unwrap_err().to_string().contains("b.csv:5:1"));
    }
}
