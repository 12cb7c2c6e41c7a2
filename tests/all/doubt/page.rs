//! The page of calibration: sections in a fixed order, each written by the test that measured it.

const HEAD: &str = "# How often it is right";
/// The real recordings first: the invented ones are of kinds that somebody thought of.
const ORDER: [&str; 5] = [
    "Real passes of one path",
    "Invented walks",
    "Requirements",
    "By kind",
    "From raw fixes",
];

/// The page with one section written anew.
pub fn with(page: &str, title: &str, text: &str) -> String {
    let mut sections: Vec<(String, String)> = page
        .split("\n## ")
        .skip(1)
        .map(|s| {
            let (title, text) = s.split_once('\n').unwrap_or((s, ""));
            (title.to_owned(), text.trim().to_owned())
        })
        .collect();
    match sections.iter_mut().find(|s| s.0 == title) {
        Some(section) => section.1 = text.trim().to_owned(),
        None => sections.push((title.to_owned(), text.trim().to_owned())),
    }
    let place = |title: &str| {
        ORDER
            .iter()
            .position(|o| *o == title)
            .unwrap_or(ORDER.len())
    };
    sections.sort_by_key(|s| place(&s.0));
    let told: Vec<String> = sections
        .iter()
        .map(|(title, text)| format!("\n## {title}\n\n{text}\n"))
        .collect();
    format!("{HEAD}\n{}", told.concat())
}

/// Writes a section into docs/calibration.md.
pub fn put(title: &str, text: &str) {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/calibration.md");
    let page = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, with(&page, title, text)).unwrap();
}

#[test]
fn a_section_is_written_in_its_place() {
    let page = with("", "Requirements", "b");
    let page = with(&page, "Real passes of one path", "a\n");
    assert_eq!(
        page,
        "# How often it is right\n\n## Real passes of one path\n\na\n\n## Requirements\n\nb\n"
    );
    assert_eq!(with(&page, "Requirements", "b"), page);
    assert!(with(&page, "Requirements", "c").ends_with("\n\nc\n"));
}
