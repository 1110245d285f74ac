//! Chances of each profile level, learnt on scans of the user's own comparator chips.
//!
//! Four figures at one common bandwidth, as logarithms: Sq, mean texture depth, Sdq and Sal.
//! Each chip's figures are Gaussian about its mean with a covariance pooled over all chips.
//! One chip is one specimen of its level, so real surfaces of a level differ more than its
//! patches: a standard deviation between surfaces is added, 0.25 in logarithms unless told
//! (our assumption). All levels are equally likely beforehand: those with a chip, those between
//! two such, and three beyond both ends, going on as the last two chips do. A surface that
//! likely lies beyond the chips has no grade.
//!
//! Chips are moulded replicas: a model of chips is not proven on concrete. Surfaces of
//! concrete that two people rated blind shift the model and replace the assumed deviation
//! between surfaces, each by its number.

use std::collections::BTreeMap;

use nalgebra::{SMatrix, SVector};
use statrs::distribution::{ChiSquared, ContinuousCDF as _};
use tooth_measure::say::{Said, said};
use tooth_measure::{Fraction, Length, ProfileLevel};

use crate::areal::areal;
use crate::correlation::correlation;
use crate::filter::Treatment;
use crate::form::Form;
use crate::map::{HeightMap, Refusal};
use crate::patch::lid_depth;
use crate::texture::{Gradable, gradable};
use crate::workers::Workers;

/// How many figures tell a level.
const FIGURES: usize = 4;
type Vector = SVector<f64, FIGURES>;
type Matrix = SMatrix<f64, FIGURES, FIGURES>;

/// Sides of a patch that figures are taken of, at least and about, in millimetres.
const PATCH: f64 = 30.0;
/// What is cut off round a chip.
const BORDER: Length = Length::from_millimetres(5.0);
/// Assumed deviation between surfaces of one level, in logarithms.
pub const BETWEEN_SURFACES: f64 = 0.25;
/// How many rated surfaces the assumed deviation counts for, and the unshifted chips.
const WEIGHT_OF_ASSUMED: f64 = 5.0;
/// Likeness of the heights' figures from surface to surface: a rougher one is so in all.
const ALIKE: f64 = 0.8;
/// Noise of a figure that even a perfect device has.
const LEAST_DEVIATION: f64 = 0.02;
/// Chance of a surface to lie so far from all chips.
const FAR: f64 = 0.999;
/// Levels beyond the last chips that are thought of.
const BEYOND: i32 = 3;
/// A set of more levels than these is no grade.
const WIDEST: u8 = 3;

/// Logarithms of the figures of one patch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures([f64; FIGURES]);

/// Chips of one edition of the guide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edition {
    /// Nine chips (1997).
    Nine,
    /// Ten chips (2013).
    Ten,
}

/// One scan of one chip: its patches.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// The chip.
    pub level: ProfileLevel,
    /// Which of the chip's scans.
    pub number: u32,
    /// Its patches.
    pub patches: Vec<Figures>,
}

/// A concrete surface that people compared with the chips without knowing of each other.
#[derive(Debug, Clone, PartialEq)]
pub struct RatedSurface {
    /// One rating each.
    pub ratings: Vec<ProfileLevel>,
    /// Its patches.
    pub patches: Vec<Figures>,
}

/// The bandwidth at which all scans of a calibration are compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bandwidth {
    /// Shorter waves are taken off.
    pub s_filter: Length,
    /// Longer waves are taken off.
    pub l_filter: Length,
}

impl Default for Bandwidth {
    fn default() -> Self {
        Self { s_filter: Length::from_millimetres(0.5), l_filter: Length::from_millimetres(25.0) }
    }
}

/// Why a scan gives no figures to compare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoFigures {
    /// The scan does not fit the bandwidth.
    Bandwidth(Refusal),
    /// The scan cannot carry a grade.
    Not(Gradable),
    /// A figure that is no number, of a flat surface.
    Flat,
}

impl NoFigures {
    /// What was found instead of figures.
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::Bandwidth(refusal) => {
                said!("at-the-bandwidth-of-the-calibration", why = refusal.said())
            }
            Self::Not(gradable) => gradable.said(),
            Self::Flat => said!("a-surface-without-texture"),
        }
    }
}

impl Bandwidth {
    fn treatment(self) -> Treatment {
        Treatment {
            form: Form::Plane,
            s_filter: Some(self.s_filter),
            l_filter: Some(self.l_filter),
            robust: false,
        }
    }

    /// Figures of the patches of a scan, four or more of a chip.
    ///
    /// # Errors
    ///
    /// [`NoFigures`] of a scan that cannot be compared.
    pub fn figures(
        self,
        map: &HeightMap,
        noise: Option<Length>,
        workers: &dyn Workers,
    ) -> Result<Vec<Figures>, NoFigures> {
        let treated = crate::filter::treat(map.clone(), &self.treatment(), workers)
            .map_err(NoFigures::Bandwidth)?;
        let rms = areal(&treated, workers).root_mean_square_height;
        match gradable(&treated, rms, correlation(&treated, workers), noise) {
            Gradable::Yes => {}
            other => return Err(NoFigures::Not(other)),
        }
        let [dx, dy] = map.spacing().map(Length::millimetres);
        let cut = |count: usize, step: f64| {
            let parts = ((count as f64 * step / PATCH) as usize).max(1);
            (0..parts).map(move |k| k * count / parts..(k + 1) * count / parts)
        };
        let mut figures = Vec::new();
        for rows in cut(map.rows(), dy) {
            for columns in cut(map.columns(), dx) {
                // The whole map's filter: a patch alone would be all edge.
                let mut patch = treated.cut(rows.clone(), columns).map_err(NoFigures::Bandwidth)?;
                if patch.coverage().ratio() < 0.9 {
                    continue;
                }
                crate::form::remove(&mut patch, Form::None, workers);
                figures.extend(figures_of(&patch, workers));
            }
        }
        if figures.is_empty() { Err(NoFigures::Flat) } else { Ok(figures) }
    }

    /// Figures of a chip's scan, its border cut off.
    ///
    /// # Errors
    ///
    /// As [`Bandwidth::figures`].
    pub fn figures_of_chip(
        self,
        map: &HeightMap,
        workers: &dyn Workers,
    ) -> Result<Vec<Figures>, NoFigures> {
        let inner = map.without_border(BORDER).map_err(NoFigures::Bandwidth)?;
        self.figures(&inner, None, workers)
    }
}

fn figures_of(patch: &HeightMap, workers: &dyn Workers) -> Option<Figures> {
    let heights = areal(patch, workers);
    let figures = [
        heights.root_mean_square_height.millimetres(),
        lid_depth(patch, workers)?.millimetres(),
        heights.root_mean_square_gradient?,
        correlation(patch, workers)?.shortest.millimetres(),
    ]
    .map(f64::ln);
    figures.iter().all(|figure| figure.is_finite()).then_some(Figures(figures))
}

fn mean(patches: &[Figures]) -> Vector {
    let sum: Vector = patches.iter().map(|patch| Vector::from(patch.0)).sum();
    sum / patches.len().max(1) as f64
}

/// A calibration.
#[derive(Debug, Clone)]
pub struct Calibration {
    edition: Edition,
    bandwidth: Bandwidth,
    /// Mean figures of each level with a chip.
    chips: BTreeMap<u8, Vector>,
    placements: usize,
    /// Covariance of the patches of one chip.
    within: Matrix,
    /// Deviation between surfaces, in logarithms, and how far concrete lies off its chips.
    between: f64,
    shift: f64,
    surfaces: usize,
    check: Check,
}

/// How the calibration did on chips scanned anew: each placement told by all others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Check {
    /// Placements that were told.
    pub placements: usize,
    /// The likeliest level was right.
    pub right: Fraction,
    /// It was right or next to right.
    pub within_one: Fraction,
    /// Mean error in levels.
    pub mean_error: f64,
    /// Mean ranked probability score: 0 is perfect.
    pub ranked_probability_score: f64,
}

/// What is known of a surface's profile level.
#[derive(Debug, Clone, PartialEq)]
pub enum Level {
    /// Chances of each level.
    Graded(Grade),
    /// No chips were scanned.
    NotCalibrated,
    /// Why the scan carries no grade, and the chances where there are some.
    NotGradable(Said, Option<Grade>),
}

impl Level {
    /// The level of a scan.
    #[must_use]
    pub fn of(
        calibration: Option<&Calibration>,
        map: &HeightMap,
        noise: Option<Length>,
        workers: &dyn Workers,
    ) -> Self {
        let Some(calibration) = calibration else { return Self::NotCalibrated };
        match calibration.bandwidth.figures(map, noise, workers) {
            Err(why) => Self::NotGradable(why.said(), None),
            Ok(patches) => {
                let grade = calibration.grade(&patches);
                match grade.doubt() {
                    // Chances of what no chip is like say nothing.
                    Some(why) if grade.is_outside() => Self::NotGradable(why, None),
                    Some(why) => Self::NotGradable(why, Some(grade)),
                    None => Self::Graded(grade),
                }
            }
        }
    }

    /// Its chances, where there are some.
    #[must_use]
    pub fn grade(&self) -> Option<&Grade> {
        match self {
            Self::Graded(grade) | Self::NotGradable(_, Some(grade)) => Some(grade),
            _ => None,
        }
    }
}

/// Why a calibration cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Uncalibrated {
    /// Fewer than three chips.
    FewChips,
    /// A chip that was placed once only: how scans of it differ is not known.
    PlacedOnce(ProfileLevel),
    /// A tenth chip in a set of nine.
    TenthOfNine,
}

impl Uncalibrated {
    /// What was found instead of chips that a level can be learnt on.
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::FewChips => said!("fewer-than-three-chips-were-scanned"),
            Self::PlacedOnce(level) => said!("the-chip-was-scanned-once", chip = level),
            Self::TenthOfNine => said!("a-tenth-chip-in-a-set-of-nine"),
        }
    }
}

/// What is known of a surface's level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// Chances of CSP 1 to 10.
    pub probability: [Fraction; 10],
    /// The shortest run of levels that holds nine tenths.
    pub shortest_90: [ProfileLevel; 2],
    /// How far the surface lies from the nearest level, as a share of how far one may.
    pub strangeness: Fraction,
    /// Chance that it is smoother than every chip that was scanned, and rougher than every one.
    pub beyond: [Fraction; 2],
}

impl Grade {
    /// Chance that the level lies in a range, both ends included.
    #[must_use]
    pub fn chance_in(&self, least: ProfileLevel, most: ProfileLevel) -> Fraction {
        let levels = usize::from(least.chip()) - 1..usize::from(most.chip());
        Fraction::new(
            self.probability.get(levels).unwrap_or_default().iter().map(|p| p.ratio()).sum(),
        )
    }

    /// The likeliest level.
    #[must_use]
    pub fn likeliest(&self) -> ProfileLevel {
        let mut best = 0;
        for k in 1..10 {
            if self.probability[k] > self.probability[best] {
                best = k;
            }
        }
        ProfileLevel::clamped(best as u8 + 1)
    }

    /// Whether it lies off or beyond all chips.
    fn is_outside(&self) -> bool {
        self.strangeness.ratio() > 1.0 || self.beyond.iter().any(|chance| chance.ratio() > 0.5)
    }

    /// Why it is no grade, where it is none.
    #[must_use]
    pub fn doubt(&self) -> Option<Said> {
        let [least, most] = self.shortest_90;
        if self.strangeness.ratio() > 1.0 {
            return Some(said!("a-surface-unlike-every-chip"));
        }
        let [smoother, rougher] = self.beyond;
        if smoother.ratio() > 0.5 {
            return Some(said!("likely-smoother-than-every-chip"));
        }
        if rougher.ratio() > 0.5 {
            return Some(said!("likely-rougher-than-every-chip"));
        }
        (most.chip() - least.chip() >= WIDEST)
            .then(|| said!("chances-spread-from-to", least = least, most = most))
    }
}

impl Calibration {
    /// Learns from chips and, where there are, from rated surfaces. `between` is the assumed
    /// deviation between surfaces.
    ///
    /// # Errors
    ///
    /// [`Uncalibrated`].
    pub fn new(
        edition: Edition,
        bandwidth: Bandwidth,
        placements: &[Placement],
        surfaces: &[RatedSurface],
        between: f64,
    ) -> Result<Self, Uncalibrated> {
        let tenth = placements.iter().any(|p| p.level == ProfileLevel::ROUGHEST);
        if edition == Edition::Nine && tenth {
            return Err(Uncalibrated::TenthOfNine);
        }
        let mut counts: BTreeMap<u8, usize> = BTreeMap::new();
        for placement in placements.iter().filter(|p| !p.patches.is_empty()) {
            *counts.entry(placement.level.chip()).or_default() += 1;
        }
        if counts.len() < 3 {
            return Err(Uncalibrated::FewChips);
        }
        if let Some((level, _)) = counts.iter().find(|(_, count)| **count < 2) {
            return Err(Uncalibrated::PlacedOnce(ProfileLevel::clamped(*level)));
        }
        let mut made = Self {
            edition,
            bandwidth,
            chips: means(placements, None),
            placements: counts.values().sum(),
            within: Matrix::zeros(),
            between,
            shift: 0.0,
            surfaces: 0,
            check: Check {
                placements: 0,
                right: Fraction::new(0.0),
                within_one: Fraction::new(0.0),
                mean_error: 0.0,
                ranked_probability_score: 0.0,
            },
        };
        made.within = pooled(placements, &made.chips);
        made.check = made.checked(placements);
        made.learn(surfaces);
        Ok(made)
    }

    /// Shift and deviation of concrete from rated surfaces: each counts as one, what was
    /// assumed as five.
    fn learn(&mut self, surfaces: &[RatedSurface]) {
        let offsets: Vec<f64> = surfaces
            .iter()
            .filter(|surface| surface.ratings.len() >= 2 && !surface.patches.is_empty())
            .filter_map(|surface| {
                let rated: f64 = surface.ratings.iter().map(|r| f64::from(r.chip())).sum();
                let level = rated / surface.ratings.len() as f64;
                let offset = mean(&surface.patches) - self.between_chips(level)?;
                // Of the three figures of height.
                Some((offset[0] + offset[1] + offset[2]) / 3.0)
            })
            .collect();
        let n = offsets.len() as f64;
        self.shift = offsets.iter().sum::<f64>() / (n + WEIGHT_OF_ASSUMED);
        let squares: f64 = offsets.iter().map(|d| (d - self.shift).powi(2)).sum();
        let assumed = WEIGHT_OF_ASSUMED * self.between * self.between;
        self.between = ((assumed + squares) / (WEIGHT_OF_ASSUMED + n)).sqrt();
        self.surfaces = offsets.len();
    }

    /// Figures between two chips; none outside.
    fn between_chips(&self, level: f64) -> Option<Vector> {
        let (below, low) = self.chips.range(..=level.floor() as u8).next_back()?;
        let (above, high) = self.chips.range(level.ceil() as u8..).next()?;
        let span = f64::from(above - below);
        let share = if span > 0.0 { (level - f64::from(*below)) / span } else { 0.0 };
        Some(low + (high - low) * share)
    }

    /// Figures of a level: between chips, and beyond the last as the last two go on.
    fn expected(&self, level: i32) -> Option<Vector> {
        let going_on = |(end, at): (&u8, &Vector), (inner, before): (&u8, &Vector)| {
            let step = (at - before) / (f64::from(*end) - f64::from(*inner));
            at + step * (f64::from(level) - f64::from(*end))
        };
        let mut chips = self.chips.iter();
        let (first, second) = (chips.next()?, chips.next()?);
        let mut chips = self.chips.iter().rev();
        let (last, before) = (chips.next()?, chips.next()?);
        if level < i32::from(*first.0) {
            Some(going_on(first, second))
        } else if level > i32::from(*last.0) {
            Some(going_on(last, before))
        } else {
            self.between_chips(f64::from(level))
        }
    }

    /// Covariance of the mean of so many patches of a new surface.
    fn spread(&self, patches: usize) -> Matrix {
        let mut spread = self.within / patches.max(1) as f64;
        let square = self.between * self.between;
        for i in 0..FIGURES {
            for j in 0..FIGURES {
                let heights = i < 3 && j < 3;
                spread[(i, j)] += match (i == j, heights) {
                    (true, _) => square,
                    (false, true) => ALIKE * square,
                    (false, false) => 0.0,
                };
            }
        }
        spread
    }

    /// Chances of each level of a surface with these patches.
    #[must_use]
    pub fn grade(&self, patches: &[Figures]) -> Grade {
        let mut figures = mean(patches);
        for k in 0..3 {
            figures[k] -= self.shift;
        }
        self.told(&figures, &self.spread(patches.len()))
    }

    fn told(&self, figures: &Vector, spread: &Matrix) -> Grade {
        let inverse = spread.try_inverse().unwrap_or_else(Matrix::identity);
        let ends = (
            self.chips.keys().next().map_or(1, |chip| i32::from(*chip)),
            self.chips.keys().next_back().map_or(10, |chip| i32::from(*chip)),
        );
        // Some levels beyond both ends, so that what lies there is not taken for the end.
        let levels: Vec<(i32, f64)> = (ends.0 - BEYOND..=ends.1 + BEYOND)
            .filter_map(|level| {
                let off = figures - self.expected(level)?;
                Some((level, (off.transpose() * inverse * off)[0]))
            })
            .collect();
        let nearest = levels.iter().map(|(_, d)| *d).fold(f64::INFINITY, f64::min);
        let weights: Vec<(i32, f64)> =
            levels.iter().map(|(level, d)| (*level, (-(d - nearest) / 2.0).exp())).collect();
        let sum: f64 = weights.iter().map(|(_, w)| w).sum();
        let (mut probability, mut beyond) = ([0.0; 10], [0.0; 2]);
        for (level, weight) in weights {
            // Smoother than CSP 1 is CSP 1, rougher than CSP 10 is CSP 10.
            probability[(level.clamp(1, 10) - 1) as usize] += weight / sum;
            beyond[0] += if level < ends.0 { weight / sum } else { 0.0 };
            beyond[1] += if level > ends.1 { weight / sum } else { 0.0 };
        }
        let far = ChiSquared::new(FIGURES as f64).map_or(f64::INFINITY, |c| c.inverse_cdf(FAR));
        Grade {
            probability: probability.map(Fraction::new),
            shortest_90: shortest(&probability, 0.9),
            strangeness: Fraction::new(nearest / far),
            beyond: beyond.map(Fraction::new),
        }
    }

    /// Each placement told by all others.
    fn checked(&self, placements: &[Placement]) -> Check {
        let (mut right, mut near, mut error, mut score, mut count) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (index, placement) in placements.iter().enumerate() {
            if placement.patches.is_empty() {
                continue;
            }
            let chips = means(placements, Some(index));
            let others =
                Self { within: pooled(placements, &chips), chips, shift: 0.0, ..self.clone() };
            let grade = others.grade(&placement.patches);
            let (said, truth) = (grade.likeliest().chip(), placement.level.chip());
            let off = f64::from(said.abs_diff(truth));
            count += 1.0;
            right += f64::from(u8::from(said == truth));
            near += f64::from(u8::from(off <= 1.0));
            error += off;
            let mut below = 0.0;
            for (k, p) in grade.probability.iter().enumerate().take(9) {
                below += p.ratio();
                let is_below = f64::from(u8::from(usize::from(truth) <= k + 1));
                score += (below - is_below).powi(2);
            }
        }
        let share = |sum: f64| if count > 0.0 { sum / count } else { 0.0 };
        Check {
            placements: count as usize,
            right: Fraction::new(share(right)),
            within_one: Fraction::new(share(near)),
            mean_error: share(error),
            ranked_probability_score: share(score),
        }
    }

    /// The chips' edition.
    #[must_use]
    pub fn edition(&self) -> Edition {
        self.edition
    }

    /// The bandwidth of all its scans.
    #[must_use]
    pub fn bandwidth(&self) -> Bandwidth {
        self.bandwidth
    }

    /// Levels with a chip.
    #[must_use]
    pub fn chips(&self) -> Vec<ProfileLevel> {
        self.chips.keys().map(|chip| ProfileLevel::clamped(*chip)).collect()
    }

    /// Scans of chips.
    #[must_use]
    pub fn placements(&self) -> usize {
        self.placements
    }

    /// Rated surfaces of concrete that it learnt from.
    #[must_use]
    pub fn surfaces(&self) -> usize {
        self.surfaces
    }

    /// Deviation between surfaces of one level, in logarithms.
    #[must_use]
    pub fn between_surfaces(&self) -> f64 {
        self.between
    }

    /// How it did on its own chips.
    #[must_use]
    pub fn check(&self) -> Check {
        self.check
    }
}

/// Mean figures of each chip, each placement counting alike, one left out.
fn means(placements: &[Placement], without: Option<usize>) -> BTreeMap<u8, Vector> {
    let mut sums: BTreeMap<u8, (Vector, f64)> = BTreeMap::new();
    for (index, placement) in placements.iter().enumerate() {
        if Some(index) == without || placement.patches.is_empty() {
            continue;
        }
        let entry = sums.entry(placement.level.chip()).or_insert_with(|| (Vector::zeros(), 0.0));
        entry.0 += mean(&placement.patches);
        entry.1 += 1.0;
    }
    sums.into_iter().map(|(level, (sum, count))| (level, sum / count)).collect()
}

/// Covariance of patches about their chip's mean, over all chips.
fn pooled(placements: &[Placement], chips: &BTreeMap<u8, Vector>) -> Matrix {
    let mut sum = Matrix::zeros();
    let mut count = 0.0;
    for placement in placements {
        let Some(chip) = chips.get(&placement.level.chip()) else { continue };
        for patch in &placement.patches {
            let off = Vector::from(patch.0) - chip;
            sum += off * off.transpose();
            count += 1.0;
        }
    }
    let freedom: f64 = count - chips.len() as f64;
    sum / freedom.max(1.0) + Matrix::identity() * LEAST_DEVIATION.powi(2)
}

/// The shortest run of levels that holds a share; of several the likeliest.
fn shortest(probability: &[f64; 10], share: f64) -> [ProfileLevel; 2] {
    let level = |k: usize| ProfileLevel::clamped(k as u8 + 1);
    for width in 1..=10 {
        let runs = (0..=10 - width).map(|k| (k, probability[k..k + width].iter().sum::<f64>()));
        let best = runs.fold((0, 0.0), |best, run| if run.1 > best.1 { run } else { best });
        if best.1 >= share {
            return [level(best.0), level(best.0 + width - 1)];
        }
    }
    [level(0), level(9)]
}
