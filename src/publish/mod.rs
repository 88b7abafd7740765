//! From pages in memory to a folder, in one exchange.
