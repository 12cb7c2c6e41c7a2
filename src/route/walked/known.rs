//! Walks on their line while the route is made of them.

use crate::reading::Reading;
use crate::route::options::RouteOptions;
use crate::walk::gather::GatheredWalks;
use crate::walk::rough::Rough;

/// Walks on their line while the route is made of them.
pub(super) struct WalkedRoute<'a> {
    pub(super) readings: &'a [Reading],
    pub(super) options: &'a RouteOptions,
    pub(super) reversed: bool,
    pub(super) rough: Rough,
    pub(super) gathered: GatheredWalks<'a>,
}
