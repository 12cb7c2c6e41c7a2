//! What the terminal is like: its width, and whether it takes colour.

use crate::terminal::look::{Look, Tone};
use anstream::{AutoStream, ColorChoice};
use anstyle::{AnsiColor, Style};
use std::io;

/// The look of standard output: as wide as COLUMNS says, else as the terminal is, else as a page; painted on a terminal that takes colour and where NO_COLOR does not
/// forbid it.
pub fn look() -> Look {
    let said = std::env::var("COLUMNS")
        .ok()
        .and_then(|c| c.trim().parse::<usize>().ok())
        .filter(|c| *c > 0);
    let plain = Look::plain(said.or_else(own_width).unwrap_or(Look::WIDTH));
    match AutoStream::choice(&io::stdout()) {
        ColorChoice::Never => plain,
        _ => Look {
            paint: painted,
            ..plain
        },
    }
}

#[cfg(any(unix, windows))]
fn own_width() -> Option<usize> {
    terminal_size::terminal_size_of(io::stdout()).map(|(w, _)| usize::from(w.0))
}

/// A system without terminals, such as a browser, has none to ask.
#[cfg(not(any(unix, windows)))]
fn own_width() -> Option<usize> {
    None
}

/// The same for what a judging command says: one screen, or everything.
pub fn look_for(full: bool) -> Look {
    Look { full, ..look() }
}

fn painted(tone: Tone, text: &str) -> String {
    let style = match tone {
        Tone::Head => Style::new().bold(),
        Tone::Stop => AnsiColor::Red.on_default().bold(),
        Tone::Fix => AnsiColor::Yellow.on_default().bold(),
        Tone::Watch => AnsiColor::Cyan.on_default(),
    };
    format!("{style}{text}{style:#}")
}
