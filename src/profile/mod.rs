//! The pipe on the route: grades, climbs, lows, flats, and how sure.
