//! What every floor above counts with: quantities that carry their unit, the
//! table of valid ranges, where a figure comes from and how sure it is, plane
//! geometry, air and surface climate, the statistics of estimates, and chance
//! that repeats.
//!
//! Pure code: no files, no clock, no network, no chance without a seed. Inside,
//! every value is SI; US customary units exist only at the edges, in
//! [`quantity`] (reading and showing).

pub mod acceptance;
pub mod belief;
pub mod chance;
pub mod choice;
pub mod colour;
pub mod decision;
pub mod geometry;
pub mod profile_level;
pub mod psychrometrics;
pub mod quantity;
pub mod range;
pub mod say;
pub mod show;
pub mod source;
pub mod statistics;
pub mod terrain;

pub use geometry::{Outline, Path, Point, Region};
pub use profile_level::{ProfileLevel, ProfileRange};
pub use quantity::{
    Acidity, Angle, Area, AreaRate, EvaporationRate, Fraction, Frequency, Length, LengthRate,
    Level, Mass, MassPerArea, MassPerVolume, MoistureEmission, Money, MoneyPerArea, MoneyPerHour,
    MoneyPerLength, MoneyPerMass, MoneyPerVolume, Quantity, Speed, Stress, Temperature,
    TemperatureDifference, TimeSpan, Volume, VolumePerArea, VolumeRate, WorkTime,
};
pub use show::UnitSystem;
pub use source::{Certainty, Source};
