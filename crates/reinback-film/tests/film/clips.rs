//! Clips made at test time.
