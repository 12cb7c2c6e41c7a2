//! Runs the rooms in order on one line and holds every result, or the reason why there is none.
