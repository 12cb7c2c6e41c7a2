use super::bounds as b;
use super::section::Section;
use super::words as w;
use super::works::Screen;
use crate::unit::Kind;

/// `[screen]`.
pub(super) fn screen(s: Section<'_, '_>) -> Option<Screen> {
    for (key, expected, advice) in [
        (
            "kind",
            "what the screen is made of",
            "write for example kind = \"flat bars\"",
        ),
        (
            "opening",
            "the clear width of its openings",
            "write for example opening = \"8 mm\"",
        ),
    ] {
        if !s.has(key) {
            s.missing(key, expected, advice);
        }
    }
    let kind = s.word("kind", w::SCREENS).map(|k| k.value);
    let opening = s.quantity("opening", Kind::Length, b::PASSAGE);
    let bar_m = s.quantity("bar", Kind::Length, b::PASSAGE);
    let open_share = s.number("open_share", b::SOME_SHARE);
    let width_m = s.quantity("width", Kind::Length, b::FACE);
    let length_m = s.quantity("length", Kind::Length, b::FACE);
    let slope_rad = s.quantity("slope", Kind::Angle, b::STEEP);
    let cleaned = s.word("cleaned", w::CLEANERS).map(|c| c.value);
    let least_clearance_m = s.quantity("least_clearance", Kind::Length, b::PASSAGE);
    for (this, other) in [("width", "length"), ("length", "width")] {
        if s.has(this) && !s.has(other) {
            s.missing(
                other,
                "both sides of the wetted face",
                "give width and length, or remove both",
            );
        }
    }
    let said = s.said();
    s.finish();
    Some(Screen {
        kind: kind?,
        opening_m: opening?,
        bar_m,
        open_share,
        width_m,
        length_m,
        slope_rad,
        cleaned,
        least_clearance_m,
        said,
    })
}
