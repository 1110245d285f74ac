//! The condition of one place of a zone, and what a surface work does to it.

use std::cmp::Ordering;

use tooth_measure::{ProfileLevel, ProfileRange};

use crate::methods::{FilmReach, OilReach, Residue, SoilReach, SurfaceWork};

/// What the surface of a place is like, as far as methods can change it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Condition {
    /// Film on it.
    pub film: FilmReach,
    /// Oil in it.
    pub oil: OilReach,
    /// Dirt, salts or rust on it.
    pub soil: SoilReach,
    /// Tenths of a millimetre of weak layer still on it.
    pub weak_tenths: u16,
    /// Burnished: closed to what should soak in.
    pub closed: bool,
    /// Not yet opened by a tool, where the system asks for that.
    pub unopened: bool,
    /// Its profile.
    pub profile: ProfileLevel,
    /// A cracked skin from impact.
    pub bruised: bool,
    /// What lies on it.
    pub residue: Residue,
    /// Tenths of a millimetre taken off so far, where a see-through finish counts them.
    pub taken_tenths: u16,
}

impl Condition {
    /// Bare, sound, clean, opened where that is asked for, with the profile asked for.
    #[must_use]
    pub fn is_ready(&self, target: ProfileRange) -> bool {
        self.is_prepared(target) && self.residue == Residue::Clean
    }

    /// The same, whatever lies on it.
    pub(super) fn is_prepared(&self, target: ProfileRange) -> bool {
        self.film == FilmReach::None
            && self.oil == OilReach::None
            && self.soil == SoilReach::None
            && self.weak_tenths == 0
            && !self.closed
            && !self.unopened
            && target.holds(self.profile)
            && !self.bruised
    }

    /// The worse of two in everything; the profile is that of the first.
    pub(super) fn worse(self, other: Self) -> Self {
        Self {
            film: self.film.max(other.film),
            oil: self.oil.max(other.oil),
            soil: self.soil.max(other.soil),
            weak_tenths: self.weak_tenths.max(other.weak_tenths),
            closed: self.closed || other.closed,
            unopened: self.unopened || other.unopened,
            bruised: self.bruised || other.bruised,
            residue: self.residue.max(other.residue),
            taken_tenths: self.taken_tenths.max(other.taken_tenths),
            profile: self.profile,
        }
    }

    /// The better of two in everything; the profile is that of the first.
    pub(super) fn better(self, other: Self) -> Self {
        Self {
            film: self.film.min(other.film),
            oil: self.oil.min(other.oil),
            soil: self.soil.min(other.soil),
            weak_tenths: self.weak_tenths.min(other.weak_tenths),
            closed: self.closed && other.closed,
            unopened: self.unopened && other.unopened,
            bruised: self.bruised && other.bruised,
            residue: self.residue.min(other.residue),
            taken_tenths: self.taken_tenths.min(other.taken_tenths),
            profile: self.profile,
        }
    }
}

/// What a surface work makes of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Worked {
    /// The condition after it.
    pub(super) to: Condition,
    /// Passes that this place asks for, at least.
    pub(super) least: u8,
    /// Passes beyond which nothing more comes of it here.
    pub(super) most: u8,
    /// Whether it changes anything but what lies there.
    pub(super) changes: bool,
}

/// Passes that a weak layer asks of a work, at most its own; 1 where there is nothing to take.
pub(super) fn weak_passes(work: &SurfaceWork, weak_tenths: u16) -> u8 {
    let tenths = tenths(work);
    if tenths == 0 || weak_tenths == 0 {
        return 1;
    }
    weak_tenths.div_ceil(tenths).min(u16::from(work.most_passes)) as u8
}

pub(super) fn tenths(work: &SurfaceWork) -> u16 {
    (work.depth_per_pass.millimetres() * 10.0 + 1e-6).floor() as u16
}

/// Whether it opens the surface by a tool: acid does not count as that.
pub(super) fn opens(work: &SurfaceWork) -> bool {
    work.leaves.is_some() && work.residue != Residue::Acid
}

/// What a surface work makes of a place in so many passes; `None` where it may not be used
/// there. What clears water, acid or dust is no matter of a single place.
pub(super) fn worked(
    work: &SurfaceWork,
    from: Condition,
    target: ProfileRange,
    loose: bool,
    passes: u8,
) -> Option<Worked> {
    // Acid is rinsed before anything else; dry tools do not run over water.
    let dry = work.residue == Residue::Dust;
    if from.residue == Residue::Acid || (dry && from.residue == Residue::Wet) {
        return None;
    }
    let mut to = from;
    let mut least = 1;
    // Over oil a tool may take the film off, and prepares nothing.
    let baring = from.oil != OilReach::None && from.film != FilmReach::None;
    if let Some(leaves) = work.leaves.filter(|_| !baring) {
        // Abrading over loose concrete or oil, or through a film that the tool only
        // skates on, prepares nothing.
        if loose || from.oil != OilReach::None || work.film < from.film {
            return None;
        }
        let chosen = setting(leaves, target, from.profile);
        let lowered = from.profile.chip().saturating_sub(chosen.chip());
        let levels = if work.smooths { lowered.min(work.most_passes) } else { 0 };
        // Each level takes a pass of its own. Assumption.
        least = levels.max(1);
        to.profile = if work.smooths && lowered > 0 {
            ProfileLevel::clamped(from.profile.chip() - levels)
        } else if work.smooths {
            chosen
        } else {
            from.profile.max(chosen)
        };
        to.closed = false;
        if opens(work) {
            to.unopened = false;
            // What lies loose comes off with the skin; salts and rust have a step of their own.
            if to.soil == SoilReach::Dirt {
                to.soil = SoilReach::None;
            }
        }
    }
    if let Some(leaves) = work.leaves.filter(|_| baring) {
        // Blasting and hammering drive oil about.
        if loose || work.film < from.film || passes > 1 || !work.smooths {
            return None;
        }
        // Its profile is no credit there, and may be harm.
        let left = setting(leaves, target, from.profile);
        let left = match left.chip().cmp(&from.profile.chip()) {
            // Taken as ground all the way down, as it is where nothing lies under the film.
            Ordering::Less if work.smooths => {
                let levels = (from.profile.chip() - left.chip()).min(work.most_passes);
                ProfileLevel::clamped(from.profile.chip() - levels)
            }
            Ordering::Less | Ordering::Equal => from.profile,
            Ordering::Greater => left,
        };
        if target.levels_off(left) > target.levels_off(from.profile) {
            to.profile = left;
        }
    }
    if work.opens_skin && work.film >= from.film && from.oil == OilReach::None {
        to.closed = false;
    }
    // Oil is neither drawn nor scrubbed through a film, and nothing is washed from below one.
    let covered = work.film < from.film;
    if work.oil == OilReach::Deep && covered {
        return None;
    }
    if work.soil > SoilReach::Dirt && from.soil > SoilReach::Dirt && covered {
        return None;
    }
    if work.film >= from.film {
        to.film = work.film_left.min(from.film);
    }
    if work.oil >= from.oil && !covered {
        to.oil = OilReach::None;
    }
    if work.soil >= from.soil {
        to.soil = SoilReach::None;
    }
    if tenths(work) > 0 && !(work.leaves.is_some() && baring) {
        to.weak_tenths = from.weak_tenths.saturating_sub(tenths(work) * u16::from(passes));
    }
    // Acid dissolves a skin; under it a weak layer stays weak.
    if work.residue == Residue::Acid && to.weak_tenths > 0 {
        return None;
    }
    if work.clears_bruising {
        to.bruised = false;
    }
    if work.bruises {
        to.bruised = true;
    }
    let changes = to != from;
    to.residue = work.residue;
    (least <= passes).then_some(Worked {
        to,
        least,
        most: least.max(weak_passes(work, from.weak_tenths)),
        changes,
    })
}

/// The level that a tool is set to: that of the range which lies nearest to what is there, as
/// near to it as the tool can.
pub(super) fn setting(
    leaves: ProfileRange,
    target: ProfileRange,
    from: ProfileLevel,
) -> ProfileLevel {
    from.clamp(target.least(), target.most()).clamp(leaves.least(), leaves.most())
}
