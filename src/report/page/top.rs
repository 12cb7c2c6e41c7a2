//! The first screen: the verdict in words, what to do first, the key figures.

use super::HtmlPage;
use crate::report::first_screen::first;
use maud::{Markup, html};

pub(super) fn head(page: &HtmlPage<'_>) -> Markup {
    let (first, rest) = first(page.findings, page.tonight, page.say);
    html! {
        header {
            h1 { (page.title) } "\n"
            div class={ "verdict " (page.class) } role="status" {
                p { (page.line) }
                @if first.is_empty() && rest == 0 {
                    p { "No finding requires correction first. Read the " a href="#cautions" { "cautions" } " before filling." }
                } @else {
                    p { strong { "Do this first" } }
                    ol class="first" id=[(!page.tonight.is_empty()).then_some("tonight")] {
                        @for act in &first { li { (act) } }
                        @if rest > 0 { li { a href="#found" { "and " (rest) " more" } } }
                    }
                }
            }
        } "\n"
    }
}

/// The key figures.
pub(super) fn key(figures: &[(String, String, String)]) -> Markup {
    html! {
        dl class="key" {
            @for (head, value, note) in figures {
                div { dt { (head) } dd { (value) @if !note.is_empty() { small { (note) } } } }
            }
        } "\n"
    }
}
