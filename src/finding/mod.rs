//! Rules that read results: kind, reach, typed figures, certainty, severity; no words.
