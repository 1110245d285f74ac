//! What drops say of the ground between the marks: one judgement for finding, plan and price.

use tooth_measure::{Length, Quantity as _, WorkTime};

use super::counts::FieldTest;
use super::look::Look;
use crate::survey::{Fizz, Measured, Reading};

/// Acid must fizz at so many places before what beads water counts as bare. Assumption.
const PLACES_OF_ACID: usize = 3;

/// What lies on ground on which nothing is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BetweenMarks {
    /// Water soaked in everywhere that it was asked for.
    Bare,
    /// It soaked in where it was tried, and that was not enough.
    Untested,
    /// It soaks in, and acid does not fizz.
    WithoutLime,
    /// It beads, and acid does not fizz: a film or a penetrant.
    Film,
    /// It beads, and acid fizzes: bare, hard-trowelled.
    Dense,
    /// It beads, and too little acid was tried to tell.
    FilmOrDense,
}

/// The drops between the marks of a zone. A drop speaks for the ground that it stands on: on paint
/// it says nothing of bare concrete.
#[derive(Debug, Clone)]
pub struct Drops<'a> {
    /// Water drops with the time in which each darkened the surface.
    pub water: Vec<(&'a Reading, WorkTime)>,
    /// Acid drops.
    pub acid: Vec<(&'a Reading, Fizz)>,
    /// Water drops that took too long.
    pub beading: usize,
    /// How many more are asked for.
    pub missing: u32,
    /// What they say together.
    pub verdict: BetweenMarks,
}

impl Drops<'_> {
    /// Acid drops that did as said.
    #[must_use]
    pub fn acid_that(&self, did: Fizz) -> usize {
        self.acid.iter().filter(|(_, fizz)| *fizz == did).count()
    }

    /// How many more acid drops tell a film from a dense surface.
    #[must_use]
    pub fn acid_missing(&self) -> u32 {
        PLACES_OF_ACID.saturating_sub(self.acid_that(Fizz::Strong)) as u32
    }
}

impl<'a> Look<'a> {
    /// What drops say of the ground between the marks.
    #[must_use]
    pub fn drops(&self) -> Drops<'a> {
        let mut water = self.water_drops();
        water.retain(|(reading, _)| !self.on_a_mark(reading));
        let mut acid = self.readings(|measured| match measured {
            Measured::AcidDrop(fizz) => Some(*fizz),
            _ => None,
        });
        acid.retain(|(reading, _)| !self.on_a_mark(reading));
        let limit = self.absorbed_within();
        let beading = water.iter().filter(|(_, time)| time.exceeds(limit)).count();
        let missing = self.needed(FieldTest::WaterDrop).saturating_sub(water.len() as u32);
        let mut drops = Drops { water, acid, beading, missing, verdict: BetweenMarks::Bare };
        let (silent, strong) = (drops.acid_that(Fizz::None), drops.acid_that(Fizz::Strong));
        drops.verdict = match (drops.beading > 0, silent > 0) {
            (true, true) => BetweenMarks::Film,
            (true, false) if strong >= PLACES_OF_ACID => BetweenMarks::Dense,
            (true, false) => BetweenMarks::FilmOrDense,
            (false, true) if !drops.water.is_empty() => BetweenMarks::WithoutLime,
            (false, _) if drops.missing > 0 => BetweenMarks::Untested,
            (false, _) => BetweenMarks::Bare,
        };
        drops
    }

    /// Gauge readings of a film that nobody drew: off every film that is drawn.
    #[must_use]
    pub fn measured_and_not_drawn(&self) -> Vec<(&'a Reading, Length)> {
        let mut gauges = self.readings(|measured| match measured {
            Measured::FilmThickness(thickness) if *thickness > Length::ZERO => Some(*thickness),
            _ => None,
        });
        gauges.retain(|(reading, _)| !self.on_a_film(reading));
        gauges
    }
}
