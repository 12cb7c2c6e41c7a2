//! Roots, least squares, filters, monotone fits, a small linear programme, a generator of draws: `f64` only, nothing of the trade.
