//! The pieces of a page: tables, folds, lists. Text becomes markup in templates alone, which escape whatever is put into them.

use crate::words::typeset;
use maud::{Markup, Render, html};

/// The page as it is written: every text in it is harmless and typeset, whoever put it there.
///
/// A line feed is a blank to a browser, and stays one. Style and script have nothing that is changed (a test holds them to it).
pub(super) fn finish(page: Markup) -> String {
    let lines: Vec<String> = page.into_string().split('\n').map(typeset).collect();
    lines.join("\n")
}

/// A cell of a table: its words, and the figure it is sorted by.
#[derive(Debug, Clone, Default)]
pub(super) struct HtmlCell {
    text: String,
    sort: Option<f64>,
    id: Option<String>,
    to: Option<String>,
}

impl HtmlCell {
    /// Words.
    pub(super) fn words(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// A figure with its words.
    pub(super) fn figure(value: f64, text: impl Into<String>) -> Self {
        Self {
            sort: Some(value),
            ..Self::words(text)
        }
    }

    /// The same, with a name that links lead to.
    pub(super) fn named(mut self, id: String) -> Self {
        self.id = Some(id);
        self
    }

    /// The same, leading to a place of the page.
    pub(super) fn leads(mut self, to: String) -> Self {
        self.to = Some(to);
        self
    }

    /// A figure where there is one.
    pub(super) fn maybe(value: Option<f64>, text: impl Fn(f64) -> String) -> Self {
        value.map_or_else(Self::default, |v| Self::figure(v, text(v)))
    }
}

/// A table of more rows is folded away.
const LONG: usize = 12;

/// A table that sorts by its heads; nothing where it has no rows. Heads that begin with `>` are of figures.
pub(super) fn table(
    caption: &str,
    heads: &[&str],
    rows: impl IntoIterator<Item = Vec<HtmlCell>>,
) -> Markup {
    let rows: Vec<Vec<HtmlCell>> = rows.into_iter().collect();
    let table = whole(caption, heads, &rows);
    if rows.len() > LONG {
        return more(&format!("{caption}: {} rows", rows.len()), table);
    }
    table
}

/// The same, never folded away (it is carried to the site on paper), without the columns in which no row has anything.
pub(super) fn lean_table(
    caption: &str,
    heads: &[&str],
    rows: impl IntoIterator<Item = Vec<HtmlCell>>,
) -> Markup {
    let mut rows: Vec<Vec<HtmlCell>> = rows.into_iter().collect();
    let told = |i: &usize| {
        rows.iter()
            .any(|r| r.get(*i).is_some_and(|c| !c.text.is_empty()))
    };
    let told: Vec<bool> = (0..heads.len()).map(|i| told(&i)).collect();
    let mut heads = heads.to_vec();
    kept(&mut heads, &told);
    rows.iter_mut().for_each(|row| kept(row, &told));
    whole(caption, &heads, &rows)
}

/// What is told of a row.
fn kept<T>(row: &mut Vec<T>, told: &[bool]) {
    let mut told = told.iter();
    row.retain(|_| told.next() == Some(&true));
}

fn whole(caption: &str, heads: &[&str], rows: &[Vec<HtmlCell>]) -> Markup {
    if rows.is_empty() {
        return Markup::default();
    }
    let class = |head: &str| head.starts_with('>').then_some("n");
    html! {
        div class="wide" role="region" tabindex="0" aria-label=(caption) {
            table {
                caption { span { (caption) } }
                thead {
                    tr { @for head in heads { th scope="col" class=[class(head)] { (head.trim_start_matches('>')) } } }
                }
                tbody {
                    @for row in rows {
                        tr {
                            @for (cell, head) in row.iter().zip(heads) {
                                td class=[class(head)] id=[&cell.id] data-v=[cell.sort.map(seven)] {
                                    @match &cell.to {
                                        Some(to) => { a href={ "#" (to) } { (cell.text) } }
                                        None => { (cell.text) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A figure that only orders a table or places a cursor, to seven digits: more would say nothing and hang on rounding.
pub(super) fn seven(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value) + 0.0
}

/// A section of the page with its heading; nothing where it is empty.
pub(super) struct HtmlPart {
    pub(super) id: &'static str,
    pub(super) heading: &'static str,
    pub(super) body: Markup,
}

impl HtmlPart {
    pub(super) fn new(id: &'static str, heading: &'static str, body: Markup) -> Self {
        Self { id, heading, body }
    }
}

impl Render for HtmlPart {
    fn render(&self) -> Markup {
        html! {
            @if !self.body.0.is_empty() {
                section id=(self.id) aria-labelledby={ (self.id) "-h" } { h2 id={ (self.id) "-h" } { (self.heading) } (self.body) }
                "\n"
            }
        }
    }
}

/// A part that is unfolded when it is asked for, on the screen alone; nothing where it is empty.
pub(super) fn fold(id: &str, heading: &str, body: Markup) -> Markup {
    folded(id, "fold", heading, body)
}

/// The same, on paper too: what is built from.
pub(super) fn paper_fold(id: &str, heading: &str, body: Markup) -> Markup {
    folded(id, "fold paper", heading, body)
}

fn folded(id: &str, class: &str, heading: &str, body: Markup) -> Markup {
    html! {
        @if !body.0.is_empty() {
            details id=(id) class=(class) { summary { (heading) } (body) }
            "\n"
        }
    }
}

/// What is read on the screen alone, inside a part that is printed; nothing where it is empty.
pub(super) fn more(heading: &str, body: Markup) -> Markup {
    html! { @if !body.0.is_empty() { details { summary { (heading) } (body) } } }
}

/// The same, on paper too.
pub(super) fn paper_more(heading: &str, body: Markup) -> Markup {
    html! { @if !body.0.is_empty() { details class="fold paper" { summary { (heading) } (body) } } }
}

/// A list of sentences.
pub(super) fn list<T: Render>(items: &[T]) -> Markup {
    html! { @if !items.is_empty() { ul { @for item in items { li { (item) } } } } }
}

/// Figures with the caution that belongs to them; nothing where there are none.
pub(super) fn with_caution(figures: Markup, caution: &str) -> Markup {
    html! { @if !figures.0.is_empty() { (figures) p class="do" { (caution) } } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_of_a_page_is_harmless_and_typeset() {
        let bad = "<script>'\"&\u{7}\u{202e} 1 +- 2";
        let page = finish(html! { p title=(bad) { (bad) } "\n" (list(&[bad])) });
        let shown = "&lt;script&gt;'&quot;&amp;\u{fffd}\u{fffd} 1 \u{b1} 2";
        assert_eq!(
            page,
            format!("<p title=\"{shown}\">{shown}</p>\n<ul><li>{shown}</li></ul>")
        );
        let cell = HtmlCell::figure(1.5, bad)
            .named(bad.into())
            .leads(bad.into());
        let page = finish(table(bad, &["a", ">b"], [vec![HtmlCell::words(bad), cell]]));
        assert!(page.contains(&format!(
            "<td class=\"n\" id=\"{shown}\" data-v=\"1.5\"><a href=\"#{shown}\">{shown}</a></td>"
        )));
        assert_eq!(page.matches(shown).count(), 6);
        assert!(!page.contains("<script") && !page.contains(['\u{7}', '\u{202e}']));
    }

    #[test]
    fn style_and_script_stay_as_they_are() {
        for own in [include_str!("page.css"), include_str!("page.js")] {
            assert_eq!(finish(maud::PreEscaped(own.to_owned())), own);
        }
    }

    #[test]
    fn no_more_than_seven_digits() {
        assert_eq!(seven(1.234_567_89), 1.234_568);
        assert_eq!(seven(-751_234.567_8), -751_234.6);
        assert_eq!(seven(0.1 + 0.2), 0.3);
        assert_eq!(seven(-1e-320 * 0.0).to_bits(), 0);
        assert!(seven(f64::INFINITY).is_infinite());
    }
}
