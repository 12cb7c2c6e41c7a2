//! Pages of the basis from Markdown to markup: headings, paragraphs, lists, tables, code. They are our own words, and are escaped all the same.

use super::markup::escaped;

/// A section of a page as markup.
pub(super) fn markup(markdown: &str) -> String {
    let mut out = String::new();
    let mut lines = markdown.lines().peekable();
    while let Some(line) = lines.next() {
        let trimmed = line.trim();
        if trimmed.is_empty() {
            continue;
        }
        if line.starts_with("    ") {
            let mut code = line.get(4..).unwrap_or("").to_owned();
            while let Some(next) = lines.peek() {
                if !(next.starts_with("    ") || next.trim().is_empty()) {
                    break;
                }
                code.push('\n');
                code.push_str(next.get(4..).unwrap_or(""));
                lines.next();
            }
            out.push_str(&format!("<pre>{}</pre>", escaped_lines(code.trim_end())));
        } else if trimmed.starts_with("```") {
            let mut code = String::new();
            for next in lines.by_ref() {
                if next.trim().starts_with("```") {
                    break;
                }
                code.push_str(next);
                code.push('\n');
            }
            out.push_str(&format!("<pre>{}</pre>", escaped_lines(code.trim_end())));
        } else if let Some(heading) = trimmed.strip_prefix("### ") {
            out.push_str(&format!("<h5>{}</h5>", inline(heading)));
        } else if let Some(item) = trimmed.strip_prefix("- ") {
            let mut items = vec![item.to_owned()];
            while let Some(next) = lines.peek() {
                let next = next.trim();
                if let Some(item) = next.strip_prefix("- ") {
                    items.push(item.to_owned());
                } else if next.is_empty() || next.starts_with('|') || next.starts_with('#') {
                    break;
                } else if let Some(last) = items.last_mut() {
                    last.push(' ');
                    last.push_str(next);
                }
                lines.next();
            }
            let rows: String = items
                .iter()
                .map(|i| format!("<li>{}</li>", inline(i)))
                .collect();
            out.push_str(&format!("<ul>{rows}</ul>"));
        } else if trimmed.starts_with('|') {
            let mut rows = vec![trimmed];
            while let Some(next) = lines.peek() {
                if !next.trim().starts_with('|') {
                    break;
                }
                rows.push(next.trim());
                lines.next();
            }
            out.push_str(&grid(&rows));
        } else {
            let mut words = trimmed.to_owned();
            while let Some(next) = lines.peek() {
                let next = next.trim();
                if next.is_empty()
                    || next.starts_with("- ")
                    || next.starts_with('|')
                    || next.starts_with('#')
                    || next.starts_with("```")
                {
                    break;
                }
                words.push(' ');
                words.push_str(next);
                lines.next();
            }
            out.push_str(&format!("<p>{}</p>", inline(&words)));
        }
    }
    out
}

fn grid(rows: &[&str]) -> String {
    let cells = |row: &str| -> Vec<String> {
        row.trim_matches('|')
            .split('|')
            .map(|c| c.trim().to_owned())
            .collect()
    };
    let ruled = rows
        .get(1)
        .is_some_and(|r| r.chars().all(|c| matches!(c, '|' | '-' | ':' | ' ')));
    let mut out = String::from(
        "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"table of the note\"><table class=\"still\">",
    );
    for (i, row) in rows.iter().enumerate() {
        if ruled && i == 1 {
            continue;
        }
        let tag = if ruled && i == 0 { "th" } else { "td" };
        let all: String = cells(row)
            .iter()
            .map(|c| format!("<{tag}>{}</{tag}>", inline(c)))
            .collect();
        out.push_str(&format!("<tr>{all}</tr>"));
    }
    out.push_str("</table></div>");
    out
}

/// Bold and code inside a line.
fn inline(text: &str) -> String {
    let mut out = String::new();
    for (i, part) in text.split('`').enumerate() {
        if i % 2 == 1 {
            out.push_str(&format!("<code>{}</code>", escaped(part)));
            continue;
        }
        for (j, bold) in part.split("**").enumerate() {
            let safe = escaped(bold);
            if j % 2 == 1 {
                out.push_str(&format!("<strong>{safe}</strong>"));
            } else {
                out.push_str(&safe);
            }
        }
    }
    out
}

/// Several lines: a line feed stays one.
fn escaped_lines(text: &str) -> String {
    text.lines().map(escaped).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markdown_of_the_notes_becomes_markup_and_nothing_else_does() {
        let made = markup(
            "First **bold** `a < b`.\nGoes on.\n\n- one\n  more\n- two\n\n| a | b |\n|---|---|\n| 1 | <i> |\n\n    x = y\n",
        );
        assert_eq!(
            made,
            "<p>First <strong>bold</strong> <code>a &lt; b</code>. Goes on.</p><ul><li>one more</li><li>two</li></ul>\
             <div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"table of the note\"><table class=\"still\"><tr><th>a</th><th>b</th></tr><tr><td>1</td><td>&lt;i&gt;</td></tr></table></div><pre>x = y</pre>"
        );
    }
}
