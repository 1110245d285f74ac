//! What drops say of the ground between the marks: one judgement for finding, plan and price.

use tooth_measure::{Length, Point, Quantity as _, Region, WorkTime};

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
    /// Acid drops that speak of the ground on which water beads: all but those next to which it
    /// soaked in.
    pub acid_beside: Vec<(&'a Reading, Fizz)>,
    /// Water drops that took too long.
    pub beading: usize,
    /// How many more are asked for.
    pub missing: u32,
    /// What they say together.
    pub verdict: BetweenMarks,
}

impl Drops<'_> {
    /// Acid drops that did as said where water beads.
    #[must_use]
    pub fn acid_that(&self, did: Fizz) -> usize {
        self.acid_beside.iter().filter(|(_, fizz)| *fizz == did).count()
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
        let beads = |time: WorkTime| time.exceeds(limit);
        let beading = water.iter().filter(|(_, time)| beads(*time)).count();
        let missing = self.missing(FieldTest::WaterDrop, &water);
        // Acid speaks of the water drop next to it.
        let soaked_next_to = |reading: &Reading| {
            let Some(at) = reading.place else { return false };
            let near = water
                .iter()
                .filter_map(|(drop, time)| Some((drop.place?.distance(at), beads(*time))));
            let nearest = near.reduce(|a, b| if b.0 < a.0 { b } else { a });
            nearest.is_some_and(|(_, beads)| !beads)
        };
        let beside = acid.iter().filter(|(reading, _)| !soaked_next_to(reading));
        let acid_beside = beside.copied().collect();
        let any_silent = acid.iter().any(|(_, fizz)| *fizz == Fizz::None);
        let mut drops =
            Drops { water, acid, acid_beside, beading, missing, verdict: BetweenMarks::Bare };
        let (silent, strong) = (drops.acid_that(Fizz::None), drops.acid_that(Fizz::Strong));
        drops.verdict = match (drops.beading > 0, silent > 0) {
            (true, true) => BetweenMarks::Film,
            (true, false) if strong >= PLACES_OF_ACID => BetweenMarks::Dense,
            (true, false) => BetweenMarks::FilmOrDense,
            (false, _) if any_silent && !drops.water.is_empty() => BetweenMarks::WithoutLime,
            (false, _) if drops.missing > 0 => BetweenMarks::Untested,
            (false, _) => BetweenMarks::Bare,
        };
        drops
    }

    /// The ground of which drops say that water beads on it: what lies nearer to a drop that
    /// stood than to any that soaked in; all of it where somebody did not write down where a drop
    /// was.
    #[must_use]
    pub fn beading_ground(&self) -> Region {
        let limit = self.absorbed_within();
        let drops = self.drops().water;
        let net = self.extent.net_region();
        if drops.iter().any(|(reading, _)| reading.place.is_none()) {
            return net.clone();
        }
        let (stood, soaked): (Vec<_>, Vec<_>) =
            drops.into_iter().partition(|(_, time)| time.exceeds(limit));
        let places = |drops: Vec<(&Reading, WorkTime)>| -> Vec<Point> {
            drops.iter().filter_map(|(reading, _)| reading.place).collect()
        };
        net.nearer_to(&places(stood), &places(soaked))
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
