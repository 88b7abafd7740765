//! The search index: tokens, ranking, and the compact files the query script reads.
