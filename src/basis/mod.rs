//! The pages that say how a figure is worked out, embedded.

/// One page: what is computed, by which formula, from which source, within which limits, checked by what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// The topic's name, also the file's: "wave-speed".
    pub topic: &'static str,
    /// The page as Markdown.
    pub text: &'static str,
}

/// A page of docs/basis by its topic.
macro_rules! page {
    ($topic:literal) => {
        Page {
            topic: $topic,
            text: include_str!(concat!("../../docs/basis/", $topic, ".md")),
        }
    };
}

// One list a group of rooms, in the order of the rooms; inside a list in the order of the work.

/// Figures as they are written and shown.
const FIGURES: &[Page] = &[page!("units")];

/// Pipe.
const PIPE: &[Page] = &[page!("pipes")];

/// Survey, route and heights.
const SURVEY: &[Page] = &[
    page!("survey-gps"),
    page!("survey-books"),
    page!("route"),
    page!("heights"),
    page!("climbs"),
];

/// Flow.
const FLOW: &[Page] = &[
    page!("water"),
    page!("friction"),
    page!("losses"),
    page!("jets"),
    page!("running"),
    page!("crests"),
    page!("gauge-book"),
    page!("gauges"),
    page!("intake"),
    page!("sizes"),
];

/// Air.
const AIR: &[Page] = &[
    page!("air"),
    page!("sweeping"),
    page!("start-up"),
    page!("vents"),
    page!("filling"),
];

/// Surge.
const SURGE: &[Page] = &[page!("wave-speed"), page!("surge")];

/// Strength.
const STRENGTH: &[Page] = &[page!("strength"), page!("collapse")];

/// Anchors and laying.
const ANCHOR: &[Page] = &[
    page!("thrust"),
    page!("blocks"),
    page!("slopes"),
    page!("heat"),
    page!("floods"),
    page!("supports"),
    page!("bends"),
    page!("laying"),
];

/// After a storm.
const STORM: &[Page] = &[page!("moved"), page!("regrade")];

/// Every page, in the order of the rooms.
pub fn pages() -> impl Iterator<Item = &'static Page> + Clone {
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
pub fn page(topic: &str) -> Option<&'static Page> {
    let plain = |t: &str| t.trim().to_lowercase().replace([' ', '_'], "-");
    let wanted = plain(topic);
    pages().find(|p| p.topic == wanted)
}

impl Page {
    /// The page's title: its first heading.
    pub fn title(&self) -> &'static str {
        self.text
            .lines()
            .find_map(|l| l.strip_prefix("# "))
            .unwrap_or(self.topic)
    }

    /// The text under one of its headings, without the heading; empty where there is none.
    pub fn section(&self, heading: &str) -> &'static str {
        let Some((_, after)) = self.text.split_once(&format!("\n## {heading}\n")) else {
            return "";
        };
        after.split("\n## ").next().unwrap_or("").trim()
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
            let headings: Vec<&str> = page
                .text
                .lines()
                .filter_map(|l| l.strip_prefix("## "))
                .collect();
            assert_eq!(headings, HEADINGS, "{}", page.topic);
            for heading in HEADINGS {
                assert!(
                    page.section(heading).len() > 20,
                    "{}: {heading} says nothing",
                    page.topic
                );
            }
        }
    }

    #[test]
    fn a_page_is_found_by_its_topic() {
        assert_eq!(page("Units").map(Page::title), Some("Units and doubt"));
        assert_eq!(page("no such topic"), None);
        assert!(topics().all(|t| page(t).is_some_and(|p| p.topic == t)));
    }
}
