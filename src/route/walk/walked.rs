//! Walks on their line while the route is made of them.

use super::gather::GatheredWalks;
use super::rough::Rough;
use crate::route::options::RouteOptions;
use crate::survey::Reading;

/// Walks on their line while the route is made of them.
pub(super) struct WalkedRoute<'a> {
    pub(super) readings: &'a [Reading],
    pub(super) options: &'a RouteOptions,
    pub(super) reversed: bool,
    pub(super) rough: Rough,
    pub(super) gathered: GatheredWalks<'a>,
}
