//! What the file system is taken to be able to do.

use std::time::Duration;

/// The means of one publication; tests take some away to see the ways round.
#[derive(Debug, Clone, Copy)]
pub(super) struct Means {
    /// Whether to try hard links before copies.
    pub links: bool,
    /// Whether to try the exchange in one step before the one in two.
    pub exchange: bool,
    /// How long to wait for another run that publishes to the same folder.
    pub wait: Duration,
}

impl Default for Means {
    fn default() -> Self {
        Self { links: true, exchange: true, wait: Duration::from_secs(30) }
    }
}
