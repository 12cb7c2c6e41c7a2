//! Text with a unit to SI and back; how a figure is shown with its doubt.
