//! Loose places squared up into patches that a saw can cut.
//!
//! Agencies disagree on the rule, so it is a choice: extension beyond the damage,
//! least size, depth, and the gap below which neighbours become one patch.

use tooth_measure::choice::choices;
use tooth_measure::geometry::{Direction, Rectangle};
use tooth_measure::{Certainty, Length, Source};

use crate::survey::{Feature, FeatureId, Place};

choices! {
    /// Which published rule squares patches up.
    PatchRule {
        /// Partial-depth repair, Federal Highway Administration.
        PartialDepth = "partial_depth";
        /// Spall repair, Unified Facilities Criteria 3-270-03.
        Facilities = "facilities";
    }
}

impl PatchRule {
    /// Beyond the damage on every side.
    #[must_use]
    pub fn extension(self) -> Length {
        match self {
            Self::PartialDepth => Length::from_inches(3.0),
            Self::Facilities => Length::from_inches(2.5),
        }
    }

    /// Least length and width.
    #[must_use]
    pub fn least_size(self) -> (Length, Length) {
        match self {
            Self::PartialDepth => (Length::from_inches(12.0), Length::from_inches(4.0)),
            Self::Facilities => (Length::from_inches(6.0), Length::from_inches(6.0)),
        }
    }

    /// Least depth.
    #[must_use]
    pub fn least_depth(self) -> Length {
        Length::from_inches(2.0)
    }

    /// Neighbours closer than this become one patch.
    #[must_use]
    pub fn joining_gap(self) -> Length {
        match self {
            Self::PartialDepth => Length::from_inches(12.0),
            Self::Facilities => Length::ZERO,
        }
    }

    /// Where the rule stands.
    #[must_use]
    pub fn source(self) -> Source {
        match self {
            Self::PartialDepth => {
                Source::new("title-fhwa-patch-rule-at-least-12-4-in-3-in-beyond", Certainty::Memory)
            }
            Self::Facilities => Source::new(
                "title-ufc-3-270-03-2001-cancelled-straight-right-angled",
                Certainty::Seen,
            ),
        }
    }
}

/// A rectangle to saw, break out and fill.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// Its outline.
    pub rectangle: Rectangle,
    /// Depth to fill.
    pub depth: Length,
    /// The features that it holds.
    pub holds: Vec<FeatureId>,
}

/// Squares loose places up along a direction and joins near neighbours until no two
/// are closer than the rule's gap. A place on a line or spot is skipped: it has no
/// size yet.
#[must_use]
pub fn square_up(
    loose: &[(&Feature, Length)],
    direction: Direction,
    rule: PatchRule,
) -> Vec<Patch> {
    let (length, width) = rule.least_size();
    let damaged = loose.iter().filter_map(|(feature, depth)| match &feature.place {
        Place::Patch(outline) => Some(Patch {
            rectangle: outline.squared_up(direction).grown(rule.extension(), length, width),
            depth: depth.max(rule.least_depth()),
            holds: vec![feature.id.clone()],
        }),
        Place::Line(_) | Place::Spot(_) => None,
    });
    let mut open: Vec<Patch> = damaged.collect();
    let mut patches: Vec<Patch> = Vec::new();
    // A joined rectangle holds both, so whatever is near one of them is near it: the
    // result does not depend on the order.
    while let Some(mut patch) = open.pop() {
        let near = patches.iter().position(|other| {
            let gap = patch.rectangle.gap(&other.rectangle);
            gap < rule.joining_gap() || gap == Length::ZERO
        });
        match near.map(|at| patches.swap_remove(at)) {
            Some(other) => {
                patch.rectangle = patch.rectangle.joined(&other.rectangle);
                patch.depth = patch.depth.max(other.depth);
                patch.holds.extend(other.holds);
                patch.holds.sort();
                open.push(patch);
            }
            None => patches.push(patch),
        }
    }
    patches.sort_by(|a, b| a.holds.cmp(&b.holds));
    patches
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{Hollow, HollowKind, Seen};
    use tooth_measure::{Outline, Point};

    fn loose(id: &str, x: f64, y: f64, length: f64, width: f64) -> Feature {
        let at = |x, y| Point::new(Length::from_inches(x), Length::from_inches(y));
        #[expect(clippy::unwrap_used, reason = "fixed test shapes")]
        Feature {
            id: FeatureId::new(id).unwrap(),
            place: Place::Patch(Outline::rectangle(at(x, y), at(x + length, y + width)).unwrap()),
            seen: Seen::Hollow { sure: Hollow::Sure, kind: HollowKind::LooseSkin, depth: None },
            note: tooth_measure::say::Said::nothing(),
        }
    }

    /// Source: arithmetic of the FHWA rule (extension 3 in, at least 12 × 4 in):
    /// 14 × 5 becomes 20 × 11, 22 × 9 becomes 28 × 15 in.
    #[test]
    fn patches_have_the_sizes_worked_by_hand() {
        for (size, expected) in
            [((14., 5.), (20., 11.)), ((22., 9.), (28., 15.)), ((4., 1.), (12., 7.))]
        {
            let place = loose("h", 0., 0., size.0, size.1);
            let patches =
                square_up(&[(&place, Length::ZERO)], Direction::EAST, PatchRule::PartialDepth);
            let sides =
                (patches[0].rectangle.length().inches(), patches[0].rectangle.width().inches());
            assert!(
                (sides.0 - expected.0).abs() < 1e-9 && (sides.1 - expected.1).abs() < 1e-9,
                "{sides:?}"
            );
        }
    }

    /// Source: arithmetic: 20 × 11 and 28 × 15 in line with a gap of 10 in join to
    /// 58 × 15 in, 6.0417 ft², saw cut 12.167 ft.
    #[test]
    fn neighbours_closer_than_the_gap_become_one_patch() {
        let one = loose("a", 3., 3., 14., 5.);
        let other = loose("b", 33., 3., 22., 9.);
        let both = [(&one, Length::ZERO), (&other, Length::ZERO)];
        let patches = square_up(&both, Direction::EAST, PatchRule::PartialDepth);
        assert_eq!(patches.len(), 1);
        assert!((patches[0].rectangle.area().square_feet() - 6.0417).abs() < 1e-4);
        assert!((patches[0].rectangle.perimeter().feet() - 12.1667).abs() < 1e-4);
        assert_eq!(square_up(&both, Direction::EAST, PatchRule::Facilities).len(), 2);
    }
}
