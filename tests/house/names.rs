//! One type name stands for one thing.

use std::collections::BTreeMap;

/// Names that more than one file declares, each with its reason.
const TWICE: &[(&str, &str)] = &[(
    "Disk",
    "the folder of one system or another: only one of the two is built",
)];

/// The types that a file declares; a `type` that stands inside is one its trait asks for.
fn declared(text: &str) -> Vec<&str> {
    text.lines()
        .filter_map(|line| {
            let inside = line.starts_with(' ');
            let line = line.trim_start();
            let rest = match line.strip_prefix("pub") {
                Some(reach) if reach.starts_with('(') => reach.split_once(')')?.1,
                Some(rest) => rest,
                None => line,
            };
            let mut words = rest.split_whitespace().skip_while(|w| *w == "unsafe");
            let kind = words.next()?;
            // the name that a macro is given is no name
            let name = words.next().filter(|name| !name.starts_with('$'))?;
            let is_type =
                matches!(kind, "struct" | "enum" | "trait" | "union") || kind == "type" && !inside;
            is_type.then(|| {
                let end = name.find(|c: char| !c.is_alphanumeric() && c != '_');
                &name[..end.unwrap_or(name.len())]
            })
        })
        .collect()
}

/// Names that more than one thing has, with the files; and names of the list that only one thing has.
pub fn doubled(sources: &[(String, String)]) -> (Vec<String>, Vec<&'static str>) {
    let mut places: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (path, text) in sources {
        for name in declared(text) {
            places.entry(name).or_default().push(path);
        }
    }
    let listed = |name: &str| TWICE.iter().any(|(n, _)| *n == name);
    let twice = |name: &str| places.get(name).is_some_and(|p| p.len() > 1);
    let new = places
        .iter()
        .filter(|(name, at)| at.len() > 1 && !listed(name))
        .map(|(name, at)| format!("{name}: {}", at.join(", ")))
        .collect();
    let names = TWICE.iter().map(|(name, _)| *name);
    (new, names.filter(|name| !twice(name)).collect())
}

#[test]
fn every_way_to_declare_a_type_is_seen() {
    let file = |text: &str| ("a file".to_owned(), text.to_owned());
    let first = "pub struct A<'a> {\n}\npub(crate) enum B {}\ntype C = u8;\nunsafe trait D {}\n";
    let second = "struct A;\n    pub(in crate::x) enum B {}\npub type C = u8;\n    trait D: A {}\n";
    let same = "impl X for Y {\n    type C = u8;\n}\n// struct A;\nstruct Disk;\n";
    let names = |all: &[(String, String)]| doubled(all).0.join("; ");
    assert_eq!(
        names(&[file(first), file(second)]),
        "A: a file, a file; B: a file, a file; C: a file, a file; D: a file, a file"
    );
    assert_eq!(names(&[file(first), file(same), file(same)]), "");
    assert_eq!(doubled(&[file(same)]).1, ["Disk"]);
}
