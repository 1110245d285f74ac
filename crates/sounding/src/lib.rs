//! Sounding: from a recording of hammer taps, or of a dragged chain, to a map of loose
//! concrete.
//!
//! ```text
//! samples -> Listener -> Heard -> taps of the list -> excess over the slab's own sound
//!         -> sound or hollow per tap -> loose areas with bounds
//! ```
//!
//! Pure code: no files, no clock, no threads; samples are handed in. Inside, seconds,
//! metres, hertz and decibels.
//!
//! ```
//! use tooth_measure::chance::Seed;
//! use tooth_sounding::synthesizer::Recipe;
//! use tooth_sounding::{Known, Listener, Mark, Sounding};
//!
//! let made = Recipe::usual(Seed(7)).make();
//! let mut listener = Listener::new(made.sample_rate);
//! listener.hear(&made.samples);
//! // The person vouches for a few taps far from any loose spot.
//! let marks: Vec<Mark> = made
//!     .taps
//!     .iter()
//!     .enumerate()
//!     .map(|(number, tap)| Mark {
//!         number: number as u32,
//!         place: Some(tap.place),
//!         known: (tap.relative_radius.ratio() > 2.0 && number % 7 == 0).then_some(Known::Sound),
//!         time: None,
//!     })
//!     .collect();
//! let sounding = Sounding::of(&listener.finish(), &marks, None)?;
//! assert_eq!(sounding.taps.len(), 120);
//! # Ok::<(), tooth_sounding::Refusal>(())
//! ```

mod align;
mod contour;
mod excess;
mod field;
mod groups;
pub mod hit;
mod listen;
mod neighbours;
pub mod plate;
mod prior;
mod prior_table;
mod signal;
mod sounding;
mod spectrum;
mod spread;
pub mod synthesizer;
mod taps;
pub mod walk;

pub use field::{Field, HollowArea, Map};
pub use listen::{Band, Banded, Heard, Listener};
pub use sounding::{
    Class, Groups, Hearing, Known, Mark, Refusal, Rejected, Sounding, Spectrum, Step, Strip, Tap,
};
pub use taps::Reason;
