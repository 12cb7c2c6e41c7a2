//! Bends a file the way hands and harm do: a figure, a word, a line, a byte.

/// A small generator: the same seed bends the same way.
pub struct Chance(u64);

impl Chance {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed ^ 0x9e37_79b9_7f4a_7c15)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `n`; 0 where `n` is.
    pub fn below(&mut self, n: usize) -> usize {
        (self.bits() % n.max(1) as u64) as usize
    }

    /// One of a list.
    pub fn of<'a, T>(&mut self, list: &'a [T]) -> Option<&'a T> {
        list.get(self.below(list.len()))
    }
}

const FIGURES: [&str; 28] = [
    "0", "-0", "1", "-1", "0.0", "1e-300", "1e-9", "0.001", "0.01", "0.1", "0.5", "1.000001", "2",
    "7", "10", "45", "89.9999", "90", "100", "180", "360", "999", "9999", "1e5", "1e9", "1e308",
    "1e400", "NaN",
];

const SIGNS: [&str; 34] = [
    "\"",
    "'",
    "\\",
    "\n",
    "\r\n",
    "\t",
    "\0",
    "\u{feff}",
    "\u{1b}[31m",
    "\u{202e}",
    ",",
    ";",
    ".",
    "=",
    "[",
    "]",
    "[[",
    "{",
    "}",
    "<",
    ">",
    "/>",
    "</",
    "&",
    "&lt;",
    "<![CDATA[",
    "<!--",
    "-->",
    "#",
    "+",
    "-",
    " ",
    "°",
    "\u{ff}",
];

/// Bends `file` in one to four places; now and then with a piece of `other`.
pub fn bend(file: &mut Vec<u8>, other: &[u8], longest: usize, chance: &mut Chance) {
    let times = 1 + chance.below(4);
    for _ in 0..times {
        once(file, other, chance);
    }
    file.truncate(longest);
}

fn once(file: &mut Vec<u8>, other: &[u8], chance: &mut Chance) {
    match chance.below(14) {
        0..=3 => figure(file, chance),
        4..=5 => word(file, other, chance),
        6 => line_gone(file, chance),
        7 => line_again(file, chance),
        8 => lines_of(file, other, chance),
        9 => lines_swapped(file, chance),
        10 => {
            let sign = chance.of(&SIGNS).copied().unwrap_or_default();
            put(file, chance, sign.as_bytes());
        }
        11 => {
            let at = chance.below(file.len());
            let byte = chance.bits() as u8;
            if let Some(there) = file.get_mut(at) {
                *there = byte;
            }
        }
        12 => {
            let from = chance.below(file.len());
            let to = (from + 1 + chance.below(12)).min(file.len());
            file.drain(from.min(to)..to);
        }
        _ => {
            if chance.below(8) == 0 {
                let at = chance.below(file.len());
                file.truncate(at);
            } else {
                figure(file, chance);
            }
        }
    }
}

fn put(file: &mut Vec<u8>, chance: &mut Chance, piece: &[u8]) {
    let at = chance.below(file.len() + 1);
    file.splice(at..at, piece.iter().copied());
}

/// Where runs of bytes of one sort stand.
fn runs(file: &[u8], of: impl Fn(u8) -> bool) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut from = None;
    for (i, byte) in file.iter().enumerate() {
        match (of(*byte), from) {
            (true, None) => from = Some(i),
            (false, Some(begun)) => {
                out.push((begun, i));
                from = None;
            }
            _ => {}
        }
    }
    out.extend(from.map(|begun| (begun, file.len())));
    out
}

/// One figure becomes another: a notable one, a neighbour, or another of the same file.
fn figure(file: &mut Vec<u8>, chance: &mut Chance) {
    let figures: Vec<(usize, usize)> = runs(file, |b| b.is_ascii_digit() || b == b'.');
    let Some(&(from, to)) = chance.of(&figures) else {
        return;
    };
    let value = |(from, to): (usize, usize)| {
        file.get(from..to)
            .and_then(|b| std::str::from_utf8(b).ok())
            .and_then(|t| t.parse::<f64>().ok())
            .unwrap_or(0.0)
    };
    let now = value((from, to));
    let text = match chance.below(9) {
        0 | 1 => chance.of(&FIGURES).copied().unwrap_or_default().to_owned(),
        2 => format!("{}", value(*chance.of(&figures).unwrap_or(&(0, 0)))),
        3 => format!("{}", now * 2.0),
        4 => format!("{}", now / 2.0),
        5 => format!("{}", now + 0.01),
        6 => format!("{:.3}", now * (0.9 + 0.0002 * chance.below(1000) as f64)),
        7 => format!("-{now}"),
        _ => format!("{}", now * 10.0),
    };
    file.splice(from..to, text.into_bytes());
}

/// One word becomes another of this file or the other.
fn word(file: &mut Vec<u8>, other: &[u8], chance: &mut Chance) {
    let letters = |b: u8| b.is_ascii_alphabetic() || b == b'_';
    let donor: &[u8] = if chance.below(2) == 0 { other } else { file };
    let words = runs(donor, letters);
    let Some(piece) = chance
        .of(&words)
        .and_then(|&(a, b)| donor.get(a..b))
        .map(<[u8]>::to_vec)
    else {
        return;
    };
    let own = runs(file, letters);
    if let Some(&(from, to)) = chance.of(&own) {
        file.splice(from..to, piece);
    }
}

/// Where lines stand, each with its end.
fn lines(file: &[u8]) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut from = 0;
    for line in file.split_inclusive(|b| *b == b'\n') {
        out.push((from, from + line.len()));
        from += line.len();
    }
    out
}

fn line_gone(file: &mut Vec<u8>, chance: &mut Chance) {
    if let Some(&(from, to)) = chance.of(&lines(file)) {
        file.drain(from..to);
    }
}

fn line_again(file: &mut Vec<u8>, chance: &mut Chance) {
    let all = lines(file);
    let Some(piece) = chance
        .of(&all)
        .and_then(|&(a, b)| file.get(a..b))
        .map(<[u8]>::to_vec)
    else {
        return;
    };
    if let Some(&(at, _)) = chance.of(&all) {
        file.splice(at..at, piece);
    }
}

/// Some lines of another file come in.
fn lines_of(file: &mut Vec<u8>, other: &[u8], chance: &mut Chance) {
    let theirs = lines(other);
    let first = chance.below(theirs.len());
    let last = (first + chance.below(6)).min(theirs.len().saturating_sub(1));
    let (Some(&(from, _)), Some(&(_, to))) = (theirs.get(first), theirs.get(last)) else {
        return;
    };
    let piece = other.get(from..to).unwrap_or_default().to_vec();
    if let Some(&(at, _)) = chance.of(&lines(file)) {
        file.splice(at..at, piece);
    }
}

fn lines_swapped(file: &mut Vec<u8>, chance: &mut Chance) {
    let all = lines(file);
    let (i, j) = (chance.below(all.len()), chance.below(all.len()));
    let (Some(&(a, b)), Some(&(c, d))) = (all.get(i.min(j)), all.get(i.max(j))) else {
        return;
    };
    if i == j {
        return;
    }
    let mut out = Vec::with_capacity(file.len());
    for (from, to) in [(0, a), (c, d), (b, c), (a, b), (d, file.len())] {
        out.extend_from_slice(file.get(from..to).unwrap_or_default());
    }
    *file = out;
}
