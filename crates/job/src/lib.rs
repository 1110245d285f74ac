//! The job itself, from what was seen to what it costs. Each module is a pure
//! function of those before it:
//!
//! survey → methods → extent → assessment → plan → quantities → estimate → worth → stream → quick → cautions → acceptance
//!
//! A *zone* is one part of the slab with one system; a person reads it as "area".
//! No file, clock, network or unseeded chance is used here.

pub mod acceptance;
pub mod ambient;
pub mod assessment;
pub mod cautions;
pub mod estimate;
pub mod extent;
pub mod methods;
pub mod plan;
pub mod quantities;
pub mod quick;
pub mod stream;
pub mod survey;
pub mod worth;
