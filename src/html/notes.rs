//! Pages of the basis from Markdown to markup: headings, paragraphs, lists, tables, code. They are our own words, and are escaped all the same.

use maud::{Markup, html};

/// A section of a page as markup.
pub(super) fn markup(markdown: &str) -> Markup {
    let mut out: Vec<Markup> = Vec::new();
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
            out.push(html! { pre { (code.trim_end()) } });
        } else if trimmed.starts_with("```") {
            let mut code = String::new();
            for next in lines.by_ref() {
                if next.trim().starts_with("```") {
                    break;
                }
                code.push_str(next);
                code.push('\n');
            }
            out.push(html! { pre { (code.trim_end()) } });
        } else if let Some(heading) = trimmed.strip_prefix("### ") {
            out.push(html! { h5 { (inline(heading)) } });
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
            out.push(html! { ul { @for item in &items { li { (inline(item)) } } } });
        } else if trimmed.starts_with('|') {
            let mut rows = vec![trimmed];
            while let Some(next) = lines.peek() {
                if !next.trim().starts_with('|') {
                    break;
                }
                rows.push(next.trim());
                lines.next();
            }
            out.push(grid(&rows));
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
            out.push(html! { p { (inline(&words)) } });
        }
    }
    html! { @for part in out { (part) } }
}

fn grid(rows: &[&str]) -> Markup {
    let cells = |row: &&str| -> Vec<Markup> {
        let cells = row.trim_matches('|').split('|');
        cells.map(|c| inline(c.trim())).collect()
    };
    let is_rule = |row: &&str| row.chars().all(|c| matches!(c, '|' | '-' | ':' | ' '));
    let (head, rows) = match rows {
        [head, rule, rows @ ..] if is_rule(rule) => (Some(head), rows),
        rows => (None, rows),
    };
    html! {
        div class="wide" role="region" tabindex="0" aria-label="table of the note" {
            table class="still" {
                @if let Some(head) = head { tr { @for cell in cells(head) { th { (cell) } } } }
                @for row in rows { tr { @for cell in cells(row) { td { (cell) } } } }
            }
        }
    }
}

/// Bold and code inside a line.
fn inline(text: &str) -> Markup {
    html! {
        @for (i, part) in text.split('`').enumerate() {
            @if i % 2 == 1 { code { (part) } }
            @else {
                @for (j, bold) in part.split("**").enumerate() {
                    @if j % 2 == 1 { strong { (bold) } } @else { (bold) }
                }
            }
        }
    }
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
            made.into_string(),
            "<p>First <strong>bold</strong> <code>a &lt; b</code>. Goes on.</p><ul><li>one more</li><li>two</li></ul>\
             <div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"table of the note\"><table class=\"still\"><tr><th>a</th><th>b</th></tr><tr><td>1</td><td>&lt;i&gt;</td></tr></table></div><pre>x = y</pre>"
        );
    }
}
