//! How well hollow taps are told from sound ones: synthesized slabs, and real ones.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod common;
mod real;
mod synthesized;
