//! Concrete surface profile: the ten comparator chips of ICRI 310.2R-2013.
//!
//! The guide gives no height for a level; the chips are the standard. A level is
//! therefore an ordinal, never a length.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// A level of concrete surface profile, CSP 1 (nearly flat) to CSP 10 (very rough).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct ProfileLevel(#[schemars(range(min = 1, max = 10))] u8);

impl ProfileLevel {
    /// The smoothest chip.
    pub const SMOOTHEST: Self = Self(1);
    /// The roughest chip.
    pub const ROUGHEST: Self = Self(10);

    /// The level with this chip number; none outside 1 to 10.
    #[must_use]
    pub const fn new(chip: u8) -> Option<Self> {
        if chip >= 1 && chip <= 10 { Some(Self(chip)) } else { None }
    }

    /// The level with this chip number, brought into 1 to 10.
    #[must_use]
    pub const fn clamped(chip: u8) -> Self {
        match chip {
            0 => Self(1),
            1..=10 => Self(chip),
            _ => Self(10),
        }
    }

    /// The chip's number.
    #[must_use]
    pub const fn chip(self) -> u8 {
        self.0
    }
}

impl fmt::Display for ProfileLevel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "CSP {}", self.0)
    }
}

/// Levels from the smoothest to the roughest that will do, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
pub struct ProfileRange {
    /// The smoothest that will do.
    least: ProfileLevel,
    /// The roughest that will do.
    most: ProfileLevel,
}

impl ProfileRange {
    /// From `least` to `most`; none when they are the wrong way round.
    #[must_use]
    pub fn new(least: ProfileLevel, most: ProfileLevel) -> Option<Self> {
        (least <= most).then_some(Self { least, most })
    }

    /// One level and no other.
    #[must_use]
    pub const fn only(level: ProfileLevel) -> Self {
        Self { least: level, most: level }
    }

    /// From chip to chip, each brought into 1 to 10, in either order.
    #[must_use]
    pub const fn between(one: u8, other: u8) -> Self {
        let (least, most) = if one <= other { (one, other) } else { (other, one) };
        Self { least: ProfileLevel::clamped(least), most: ProfileLevel::clamped(most) }
    }

    /// The smoothest that will do.
    #[must_use]
    pub fn least(self) -> ProfileLevel {
        self.least
    }

    /// The roughest that will do.
    #[must_use]
    pub fn most(self) -> ProfileLevel {
        self.most
    }

    /// Whether a level lies inside.
    #[must_use]
    pub fn holds(self, level: ProfileLevel) -> bool {
        self.least <= level && level <= self.most
    }

    /// How many levels one lies off the range; 0 inside.
    #[must_use]
    pub fn levels_off(self, level: ProfileLevel) -> u8 {
        let under = self.least.chip().saturating_sub(level.chip());
        under.max(level.chip().saturating_sub(self.most.chip()))
    }
}

impl fmt::Display for ProfileRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.least == self.most {
            write!(f, "{}", self.least)
        } else {
            write!(f, "CSP {}-{}", self.least.0, self.most.0)
        }
    }
}
