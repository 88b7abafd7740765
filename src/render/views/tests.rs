//! Whole-theme checks.
