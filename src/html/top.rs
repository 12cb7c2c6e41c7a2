//! The first screen: the verdict in words, what to do first, the key figures.

use super::drawn::PageDrawings;
use super::markup::HtmlPart;
use crate::finding::Finding;
use crate::report::first_screen::first;
use crate::words::Say;
use maud::{Markup, html};

/// What a page is made of.
pub(super) struct HtmlPage<'a> {
    pub(super) title: &'a str,
    pub(super) say: Say<'a>,
    pub(super) findings: &'a [Finding],
    pub(super) tonight: &'a [String],
    pub(super) line: String,
    pub(super) class: &'a str,
    pub(super) parts: Vec<HtmlPart>,
    /// `None`: nothing is drawn along the pipe.
    pub(super) drawn: Option<&'a PageDrawings>,
}

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
