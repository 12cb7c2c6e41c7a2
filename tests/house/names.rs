//! One type name stands for one thing.

use std::collections::BTreeMap;

/// Names that are still given to more than one thing. It may only grow shorter: a name that no longer is leaves the list.
const STILL: &[&str] = &[
    "Along",
    "Asked",
    "At",
    "Block",
    "Case",
    "Cause",
    "Columns",
    "Course",
    "End",
    "Field",
    "Fitting",
    "Gathered",
    "Gauge",
    "Held",
    "Intake",
    "Jet",
    "Kind",
    "Known",
    "Leg",
    "Limits",
    "Look",
    "Loose",
    "Lowest",
    "Mark",
    "Measure",
    "Movement",
    "Order",
    "Page",
    "Paper",
    "Part",
    "Pass",
    "Peg",
    "Piece",
    "Places",
    "Profile",
    "Quantity",
    "Reach",
    "Reading",
    "Roughness",
    "Row",
    "Run",
    "Running",
    "Said",
    "Scale",
    "Sentence",
    "Shape",
    "Siphon",
    "Situation",
    "Source",
    "Span",
    "Spot",
    "Spread",
    "Step",
    "Stream",
    "Survey",
    "Surveyed",
    "Taker",
    "Tape",
    "Tie",
    "Trace",
    "Trial",
    "Unit",
    "Verdict",
    "Walked",
    "Way",
];

/// The same thing for another kind of system, of which one is built.
const BY_SYSTEM: &[&str] = &["Disk", "Lock"];

/// The types a file defines, without those of its unit tests and of other types' implementations.
fn defined(text: &str) -> Vec<&str> {
    let own = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
    own.lines()
        .filter_map(|line| {
            let line = line.trim_start();
            let rest = match line.strip_prefix("pub") {
                Some(rest) if rest.starts_with('(') => rest.split_once(')')?.1,
                Some(rest) => rest,
                None => line,
            };
            let mut words = rest.split_whitespace();
            let kind = words.next()?;
            // `type` inside an implementation names what its trait asks for
            let is_type = matches!(kind, "struct" | "enum" | "trait" | "union");
            let name = words.next()?;
            is_type.then(|| name.split(|c: char| !c.is_alphanumeric()).next())?
        })
        .collect()
}

/// Names that stand for more than one thing and are not in the list, and names of the list that do not.
pub fn doubled(sources: &[(String, String)]) -> (Vec<String>, Vec<&'static str>) {
    let mut places: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (path, text) in sources {
        for name in defined(text) {
            places.entry(name).or_default().push(path);
        }
    }
    let twice = |name: &str| places.get(name).is_some_and(|p| p.len() > 1);
    let new = places
        .iter()
        .filter(|(name, at)| at.len() > 1 && !STILL.contains(*name) && !BY_SYSTEM.contains(*name))
        .map(|(name, at)| format!("{name}: {}", at.join(", ")))
        .collect();
    let gone = STILL.iter().copied().filter(|name| !twice(name)).collect();
    (new, gone)
}
