//! The one place where text becomes markup.

use crate::text::neutral;

/// Text made safe between tags and inside quoted attributes: it can only be read, never run.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    // The sign that terminals are spared.
    for letter in neutral(text).replace(" +- ", " \u{b1} ").chars() {
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
}

impl HtmlCell {
    /// Words.
    pub(super) fn words(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            sort: None,
        }
    }

    /// A figure with its words.
    pub(super) fn figure(value: f64, text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            sort: Some(value),
        }
    }

    /// A figure where there is one.
    pub(super) fn maybe(value: Option<f64>, text: impl Fn(f64) -> String) -> Self {
        value.map_or_else(|| Self::words(""), |v| Self::figure(v, text(v)))
    }
}

/// A table that sorts by its heads. Heads that begin with `>` are of figures.
pub(super) fn table(caption: &str, heads: &[&str], rows: &[Vec<HtmlCell>]) -> String {
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
            match cell.sort {
                Some(value) => {
                    out.push_str(&format!("<td{class} data-v=\"{}\">", seven(value)));
                }
                None => out.push_str(&format!("<td{class}>")),
            }
            out.push_str(&escaped(&cell.text));
            out.push_str("</td>");
        }
        out.push_str("</tr>");
    }
    out.push_str("</tbody></table></div>");
    if rows.len() > LONG {
        return format!(
            "<details><summary>{}: {} rows</summary>{out}</details>",
            escaped(caption),
            rows.len()
        );
    }
    out
}

/// A figure that only orders a table or places a cursor, to seven digits: more would say nothing and hang on rounding.
pub(super) fn seven(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value) + 0.0
}

/// A table of more rows is folded away.
const LONG: usize = 24;

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
