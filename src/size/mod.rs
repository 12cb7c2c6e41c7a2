//! Many lines side by side, screened by the steady state.
