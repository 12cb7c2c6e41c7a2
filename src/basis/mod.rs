//! The pages that say how a figure is worked out, embedded.

/// One page: what is computed, by which formula, from which source, within which limits, checked by what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BasisPage {
    /// The topic's name, also the file's: "wave-speed".
    pub topic: &'static str,
    /// The page as Markdown.
    pub text: &'static str,
}

/// A page of docs/basis by its topic.
macro_rules! page {
    ($topic:literal) => {
        BasisPage {
            topic: $topic,
            text: include_str!(concat!("../../docs/basis/", $topic, ".md")),
        }
    };
}

// One list a group of rooms, in the order of the rooms; inside a list in the order of the work.

/// Figures as they are written and shown.
const FIGURES: &[BasisPage] = &[page!("units"), page!("same-figures")];

/// Pipe.
const PIPE: &[BasisPage] = &[page!("pipes")];

/// Survey, route and heights.
const SURVEY: &[BasisPage] = &[
    page!("survey-gps"),
    page!("survey-books"),
    page!("route"),
    page!("heights"),
    page!("climbs"),
];

/// Flow.
const FLOW: &[BasisPage] = &[
    page!("water"),
    page!("friction"),
    page!("losses"),
    page!("jets"),
    page!("running"),
    page!("crests"),
    page!("gauge-book"),
    page!("gauges"),
    page!("intake"),
    page!("gauging"),
    page!("screen"),
    page!("grit"),
    page!("sizes"),
];

/// Air.
const AIR: &[BasisPage] = &[
    page!("air"),
    page!("sweeping"),
    page!("start-up"),
    page!("vents"),
    page!("filling"),
];

/// Surge.
const SURGE: &[BasisPage] = &[page!("wave-speed"), page!("surge"), page!("runaway")];

/// Strength.
const STRENGTH: &[BasisPage] = &[page!("strength"), page!("collapse")];

/// Anchors, laying and commissioning.
const ANCHOR: &[BasisPage] = &[
    page!("commissioning"),
    page!("metals"),
    page!("thrust"),
    page!("blocks"),
    page!("slopes"),
    page!("heat"),
    page!("floods"),
    page!("buoyancy"),
    page!("bedding"),
    page!("supports"),
    page!("bends"),
    page!("laying"),
];

/// After a storm.
const STORM: &[BasisPage] = &[page!("moved"), page!("regrade")];

/// Every page, in the order of the rooms.
pub fn pages() -> impl Iterator<Item = &'static BasisPage> + Clone {
    [
        FIGURES, PIPE, SURVEY, FLOW, AIR, SURGE, STRENGTH, ANCHOR, STORM,
    ]
    .into_iter()
    .flatten()
}

/// The topics there are pages on.
pub fn topics() -> impl Iterator<Item = &'static str> + Clone {
    pages().map(|p| p.topic)
}

/// The page on a topic, case, blanks and underscores aside. For a topic that is not there, `text::nearest` over `topics()` finds the one that was meant.
pub fn page(topic: &str) -> Option<&'static BasisPage> {
    let plain = |t: &str| t.trim().to_lowercase().replace([' ', '_'], "-");
    let wanted = plain(topic);
    pages().find(|p| p.topic == wanted)
}

impl BasisPage {
    /// The page's title: its first heading.
    pub fn title(&self) -> &'static str {
        self.text
            .lines()
            .find_map(|l| l.strip_prefix("# "))
            .unwrap_or(self.topic)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// The headings of a page, in order.
    const HEADINGS: [&str; 5] = ["What", "Formula", "Source", "Limits", "Checks"];

    #[test]
    fn every_file_is_embedded_once() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/basis");
        let files: BTreeSet<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        let embedded: Vec<String> = topics().map(|t| format!("{t}.md")).collect();
        assert_eq!(embedded.iter().cloned().collect::<BTreeSet<_>>(), files);
        assert_eq!(embedded.len(), files.len(), "a page stands twice");
    }

    #[test]
    fn every_page_answers_the_five_questions() {
        for page in pages() {
            assert!(page.text.starts_with("# "), "{} has no title", page.topic);
            let parts: Vec<(&str, &str)> = page
                .text
                .split("\n## ")
                .skip(1)
                .filter_map(|part| part.split_once('\n'))
                .collect();
            assert!(
                parts.iter().map(|p| p.0).eq(HEADINGS),
                "{}: {parts:?}",
                page.topic
            );
            for (heading, text) in parts {
                assert!(
                    text.trim().len() > 20,
                    "{}: {heading} says nothing",
                    page.topic
                );
            }
        }
    }

    #[test]
    fn a_page_is_found_by_its_topic() {
        assert_eq!(
            page("Units").map(BasisPage::title),
            Some("Units and uncertainty")
        );
        assert_eq!(page("no such topic"), None);
        assert!(topics().all(|t| page(t).is_some_and(|p| p.topic == t)));
    }
}
