//! Texture: from a scanned surface to its texture figures and, on the user's own comparator
//! chips, to chances of its profile level.
//!
//! ```text
//! height map -> form removed -> S- and L-filter -> areal figures, virtual sand patch,
//!            -> lines (roughness, mean profile depth), fields -> profile level
//! ```
//!
//! Pure code: no files, no clock, no threads; parallel work is handed to [`Workers`]. Heights
//! and spacings are millimetres inside.
//!
//! ```
//! use tooth_measure::Length;
//! use tooth_texture::{Alone, Texture, Treatment, synthetic};
//!
//! let mm = Length::from_millimetres;
//! let map = synthetic::sine(256, mm(0.25), mm(0.5), 8.0);
//! let texture = Texture::of(map, &Treatment::default(), &Alone)?;
//! assert!((texture.areal.root_mean_square_height.millimetres() - 0.353_553).abs() < 5e-3);
//! # Ok::<(), tooth_texture::Refusal>(())
//! ```

mod areal;
pub mod calibration;
mod columns;
mod correlation;
mod curve;
mod fields;
mod filter;
mod form;
pub mod gridding;
mod hand;
mod large;
pub mod lines;
mod map;
mod patch;
mod sampling;
pub mod synthetic;
mod texture;
mod workers;

pub use areal::Areal;
pub use correlation::Correlation;
pub use curve::{Core, Curve, Functional};
pub use fields::{Fields, Heights};
pub use filter::Treatment;
pub use form::Form;
pub use hand::{probe_readings, sand_patch_depth};
pub use large::Rows;
pub use map::{HeightMap, Refusal, middle_of};
pub use patch::{closing_depth, lid_depth, rolling_ball_depth};
pub use sampling::{Strip, noise_of_repeats, patches_needed, stratified_places, surely_good_share};
pub use texture::{Gradable, Texture};
pub use workers::{Alone, Job, Workers, each};
