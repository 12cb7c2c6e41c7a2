//! The one place where text becomes markup.

use crate::text::neutral;

/// Text as a page shows it: harmless, with the sign that terminals are spared.
pub fn typeset(text: &str) -> String {
    neutral(text).replace(" +- ", " \u{b1} ")
}

/// Text made safe between tags and inside quoted attributes: it can only be read, never run.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in typeset(text).chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// A cell of a table: its words, and the figure it is sorted by.
#[derive(Debug, Clone)]
pub(super) struct HtmlCell {
    text: String,
    sort: Option<f64>,
    id: String,
    to: String,
}

impl HtmlCell {
    /// Words.
    pub(super) fn words(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            sort: None,
            id: String::new(),
            to: String::new(),
        }
    }

    /// A figure with its words.
    pub(super) fn figure(value: f64, text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            sort: Some(value),
            id: String::new(),
            to: String::new(),
        }
    }

    /// The same, with a name that links lead to: letters, digits and hyphens of our own.
    pub(super) fn named(mut self, id: String) -> Self {
        self.id = id;
        self
    }

    /// The same, leading to a place of the page.
    pub(super) fn leads(mut self, to: String) -> Self {
        self.to = to;
        self
    }

    /// A figure where there is one.
    pub(super) fn maybe(value: Option<f64>, text: impl Fn(f64) -> String) -> Self {
        value.map_or_else(|| Self::words(""), |v| Self::figure(v, text(v)))
    }
}

/// A table that sorts by its heads. Heads that begin with `>` are of figures.
pub(super) fn table(caption: &str, heads: &[&str], rows: &[Vec<HtmlCell>]) -> String {
    let out = whole_table(caption, heads, rows);
    if rows.len() > LONG {
        return format!(
            "<details><summary>{}: {} rows</summary>{out}</details>",
            escaped(caption),
            rows.len()
        );
    }
    out
}

/// The same as `whole_table`, without the columns in which no row has anything.
pub(super) fn lean_table(caption: &str, heads: &[&str], rows: &[Vec<HtmlCell>]) -> String {
    let told: Vec<bool> = (0..heads.len())
        .map(|i| {
            rows.iter()
                .any(|r| r.get(i).is_some_and(|c| !c.text.is_empty()))
        })
        .collect();
    let heads: Vec<&str> = heads
        .iter()
        .zip(&told)
        .filter_map(|(h, t)| t.then_some(*h))
        .collect();
    let rows: Vec<Vec<HtmlCell>> = rows
        .iter()
        .map(|r| {
            let cells = r.iter().zip(&told);
            cells.filter(|(_, t)| **t).map(|(c, _)| c.clone()).collect()
        })
        .collect();
    whole_table(caption, &heads, &rows)
}

/// The same as `table`, never folded away: what is carried to the site on paper.
pub(super) fn whole_table(caption: &str, heads: &[&str], rows: &[Vec<HtmlCell>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let mut out = String::from("<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"");
    out.push_str(&escaped(caption));
    out.push_str("\"><table><caption><span>");
    out.push_str(&escaped(caption));
    out.push_str("</span></caption><thead><tr>");
    for head in heads {
        let (class, word) = match head.strip_prefix('>') {
            Some(word) => (" class=\"n\"", word),
            None => ("", *head),
        };
        out.push_str(&format!("<th scope=\"col\"{class}>{}</th>", escaped(word)));
    }
    out.push_str("</tr></thead><tbody>");
    for row in rows {
        out.push_str("<tr>");
        for (cell, head) in row.iter().zip(heads) {
            let class = if head.starts_with('>') {
                " class=\"n\""
            } else {
                ""
            };
            let id = match cell.id.as_str() {
                "" => String::new(),
                id => format!(" id=\"{id}\""),
            };
            match cell.sort {
                Some(value) => {
                    out.push_str(&format!("<td{class}{id} data-v=\"{}\">", seven(value)));
                }
                None => out.push_str(&format!("<td{class}{id}>")),
            }
            let text = escaped(&cell.text);
            match cell.to.as_str() {
                "" => out.push_str(&text),
                to => out.push_str(&format!("<a href=\"#{to}\">{text}</a>")),
            }
            out.push_str("</td>");
        }
        out.push_str("</tr>");
    }
    out.push_str("</tbody></table></div>");
    out
}

/// A figure that only orders a table or places a cursor, to seven digits: more would say nothing and hang on rounding.
pub(super) fn seven(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value) + 0.0
}

/// A table of more rows is folded away.
const LONG: usize = 12;

/// A section of the page with its heading; nothing where it is empty.
pub(super) fn section(id: &str, heading: &str, body: &str) -> String {
    if body.is_empty() {
        return String::new();
    }
    format!(
        "<section id=\"{id}\" aria-labelledby=\"{id}-h\"><h2 id=\"{id}-h\">{}</h2>{body}</section>\n",
        escaped(heading)
    )
}

/// Where a fold is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fold {
    /// On the screen alone, when it is asked for.
    Screen,
    /// On paper too: what is built from.
    Paper,
}

/// A part that is unfolded when it is asked for; nothing where it is empty.
pub(super) fn fold(id: &str, heading: &str, body: &str, on: Fold) -> String {
    if body.is_empty() {
        return String::new();
    }
    let class = match on {
        Fold::Screen => "fold",
        Fold::Paper => "fold paper",
    };
    format!(
        "<details id=\"{id}\" class=\"{class}\"><summary>{}</summary>{body}</details>\n",
        escaped(heading)
    )
}

/// What is read on the screen alone, inside a part that is printed; nothing where it is empty.
pub(super) fn more(heading: &str, body: &str) -> String {
    if body.is_empty() {
        return String::new();
    }
    format!(
        "<details><summary>{}</summary>{body}</details>",
        escaped(heading)
    )
}

/// A list of sentences.
pub(super) fn list(items: &[String]) -> String {
    if items.is_empty() {
        return String::new();
    }
    let rows: String = items
        .iter()
        .map(|i| format!("<li>{}</li>", escaped(i)))
        .collect();
    format!("<ul>{rows}</ul>")
}

/// A caution beside the figures it belongs to.
pub(super) fn caution(text: &str) -> String {
    format!("<p class=\"do\">{}</p>", escaped(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_from_a_file_is_markup() {
        assert_eq!(
            escaped("<img src=x onerror='a'>&\"\u{202e}"),
            "&lt;img src=x onerror=&#39;a&#39;&gt;&amp;&quot;\u{fffd}"
        );
        let table = table(
            "<b>",
            &["a", ">b"],
            &[vec![
                HtmlCell::words("</td><script>"),
                HtmlCell::figure(1.5, "1.5 m"),
            ]],
        );
        assert!(!table.contains("<script>") && !table.contains("<b>"));
        assert!(table.contains("data-v=\"1.5\""));
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
