//! The condition of a zone's surface, where it starts, and what a surface work does
//! to it.

use tooth_measure::{Area, Length, ProfileLevel, ProfileRange, Region};
use tooth_texture::calibration::Level;

use crate::assessment::{FieldTest, Look, pull_off_fails};
use crate::extent::{is_oil, is_thick_layer, is_weak_layer, oil_came_back};
use crate::methods::{FilmReach, OilReach, Residue, SurfaceWork};
use crate::survey::{
    FailureMode, FilmKind, Fizz, Hollow, HollowKind, Measured, Reaction, Seen, SurfaceState,
    SystemClass,
};

/// What the surface is like, as far as methods can change it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Condition {
    /// Film on it.
    pub film: FilmReach,
    /// Oil in it.
    pub oil: OilReach,
    /// Tenths of a millimetre of weak layer still on it.
    pub weak_tenths: u16,
    /// Burnished: closed to what should soak in.
    pub closed: bool,
    /// Its profile.
    pub profile: ProfileLevel,
    /// A cracked skin from impact.
    pub bruised: bool,
    /// Loose places not repaired.
    pub loose: bool,
    /// What lies on it.
    pub residue: Residue,
    /// Tenths of a millimetre taken off so far, where a see-through finish counts them.
    pub taken_tenths: u16,
    /// Where water or acid lies: bits of film, oil and weak layer; nothing set is everywhere.
    pub residue_on: u8,
}

impl Condition {
    /// Bare, sound, clean, with the profile asked for.
    #[must_use]
    pub fn is_ready(&self, target: ProfileRange) -> bool {
        self.film == FilmReach::None
            && self.oil == OilReach::None
            && self.weak_tenths == 0
            && !self.closed
            && target.holds(self.profile)
            && !self.bruised
            && !self.loose
            && self.residue == Residue::Clean
    }
}

/// Where a zone starts, how much of it each trouble covers, and what was assumed.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The condition.
    pub condition: Condition,
    /// Where the film, the oil and the weak layer lie; all of the zone where no outline
    /// says so.
    pub troubled: [Region; 3],
    /// What was assumed for want of evidence, always the unfavourable.
    pub assumptions: Vec<String>,
}

/// A film thicker than this comes off slowly (a high-build coating or adhesive).
const THIN_FILM: Length = Length::from_mils(10.0);
/// Weak layer assumed where pull-off failed in the slab and nobody measured a depth.
const ASSUMED_WEAK: Length = Length::from_millimetres(2.0);
/// Oil is lifted from this depth by a scrub; below it needs drawing out.
const SURFACE_OIL: Length = Length::from_millimetres(1.0);

/// The start of a zone, from what was seen and read.
#[must_use]
pub fn start_of(look: &Look<'_>) -> Start {
    let mut assumptions = Vec::new();
    let film = film_of(look, &mut assumptions);
    let oil = oil_of(look, &mut assumptions);
    let weak = weak_of(look, &mut assumptions);
    let ratings = look.readings(|m| match m {
        Measured::ChipRating(level) => Some(*level),
        _ => None,
    });
    let rated = crate::assessment::median_rating(ratings.iter().map(|(_, l)| *l).collect());
    let scans = look.survey.scans_of(look.zone).filter_map(|scan| match &scan.level {
        Level::Graded(grade) => Some(grade.likeliest()),
        _ => None,
    });
    let profile = rated.or_else(|| {
        let profile = crate::assessment::median_rating(scans.collect());
        if let Some(level) = profile {
            assumptions.push(format!("No chip rating: taken as {level}, the likeliest by scan."));
        }
        profile
    });
    if profile.is_none() {
        assumptions.push("No chip rating: taken as smooth, CSP 1.".to_owned());
    }
    let seen_dense = look
        .features()
        .any(|f| matches!(f.seen, Seen::Surface { state: SurfaceState::DenseTrowelled, .. }));
    let closed_panel = look
        .features()
        .any(|f| matches!(f.seen, Seen::SamplePanel { reaction: Some(Reaction::None), .. }));
    let dense = seen_dense || closed_panel || (film == FilmReach::None && drops_bead(look));
    // Trouble without an outline may be anywhere.
    let place = |region: Region, there: bool| {
        if there && region.area() <= Area::ZERO { look.extent.net_region().clone() } else { region }
    };
    let debonded = |seen: &Seen| {
        matches!(seen, Seen::Hollow { kind: HollowKind::DebondedLayer, .. })
            && !is_thick_layer(seen)
    };
    // Oil that comes back is cut out with its patch.
    let cut_out = look.features().any(|f| oil_came_back(look.survey, look.zone, f));
    let patches: Vec<Region> = look
        .extent
        .patches
        .iter()
        .filter_map(|patch| Some(patch.rectangle.outline()?.region()))
        .collect();
    let oily = look.extent.region_of(is_oil);
    let oily = if cut_out { oily.difference(&Region::union_of(&patches)) } else { oily };
    // A failed or missing pull-off speaks for all of the area, not for a marked spot.
    let weak_anywhere = weak_pull(look) || no_pull(look);
    let all = || look.extent.net_region().clone();
    let troubled = [
        if layer_let_go(look) {
            all()
        } else {
            place(
                look.extent.region_of(|seen| matches!(seen, Seen::Film { .. }) || debonded(seen)),
                film != FilmReach::None,
            )
        },
        place(oily, oil != OilReach::None),
        if weak_anywhere { all() } else { place(look.extent.region_of(is_weak_layer), weak > 0) },
    ];
    for feature in look.features() {
        match feature.seen {
            Seen::Hollow { sure: Hollow::Doubtful, .. } => assumptions.push(format!(
                "{}: doubtful, priced as sound: its repair comes on top if it is hollow.",
                feature.id
            )),
            Seen::Hollow { depth: None, sure: Hollow::Sure, .. } => assumptions.push(format!(
                "{}: depth of the loose layer not known, priced at the rule's least depth.",
                feature.id
            )),
            _ => {}
        }
    }
    let sounded = look.extent.area_of(|seen| matches!(seen, Seen::Sounded { .. }));
    if sounded < look.extent.net * 0.95 {
        assumptions.push("Not all of the area was sounded: the rest is priced as sound, and hollow places in it come on top.".to_owned());
    }
    let acid = left_acid(look);
    if acid {
        assumptions.push(
            "The surface is more acid than the sheet allows: rinsed and neutralised first."
                .to_owned(),
        );
    }
    Start {
        condition: Condition {
            film,
            oil,
            weak_tenths: weak,
            closed: dense,
            profile: profile.unwrap_or(ProfileLevel::SMOOTHEST),
            bruised: false,
            loose: !look.extent.patches.is_empty(),
            residue: if acid { Residue::Acid } else { Residue::Dust },
            residue_on: 0,
            taken_tenths: 0,
        },
        troubled,
        assumptions,
    }
}

fn drops_bead(look: &Look<'_>) -> bool {
    let limit = look.system.absorbs_within.unwrap_or(tooth_measure::WorkTime::from_seconds(60.0));
    !look
        .readings(|m| matches!(m, Measured::WaterDrop(time) if *time > limit).then_some(()))
        .is_empty()
}

fn film_of(look: &Look<'_>, assumptions: &mut Vec<String>) -> FilmReach {
    let measured = look.readings(|m| match m {
        Measured::FilmThickness(thickness) => Some(*thickness),
        _ => None,
    });
    let mut worst = FilmReach::None;
    for feature in look.features() {
        let Seen::Film { kind, thickness } = feature.seen else {
            continue;
        };
        let gauge = measured
            .iter()
            .map(|(_, t)| *t)
            .fold(None, |held: Option<Length>, t| Some(held.map_or(t, |h| h.max(t))));
        let thickness = thickness.or(gauge);
        let reach = match (kind, thickness) {
            (FilmKind::Adhesive, _) => FilmReach::Thick,
            (_, Some(t)) if t <= THIN_FILM => FilmReach::Thin,
            (FilmKind::Sealer | FilmKind::CuringCompound, None) => FilmReach::Thin,
            (_, Some(_)) => FilmReach::Thick,
            (FilmKind::Coating | FilmKind::Unknown, None) => {
                assumptions
                    .push(format!("{}: film of unknown thickness, taken as thick.", feature.id));
                FilmReach::Thick
            }
        };
        worst = worst.max(reach);
    }
    if look.features().any(|f| {
        matches!(f.seen, Seen::Hollow { kind: HollowKind::DebondedLayer, .. })
            && !is_thick_layer(&f.seen)
    }) {
        worst = FilmReach::Thick;
    }
    if layer_let_go(look) && worst < FilmReach::Thick {
        assumptions.push(
            "An old layer let go below the limit: taken as a thick film that comes off.".to_owned(),
        );
        worst = FilmReach::Thick;
    }
    if worst == FilmReach::None && !measured.is_empty() {
        assumptions.push(
            "A film was measured and not drawn: taken as a thick film over all of the area."
                .to_owned(),
        );
        worst = FilmReach::Thick;
    }
    if worst != FilmReach::None {
        return worst;
    }
    let beads = drops_bead(look);
    let fizz = look.readings(|m| match m {
        Measured::AcidDrop(fizz) => Some(*fizz),
        _ => None,
    });
    let bare = fizz.iter().filter(|(_, f)| *f == Fizz::Strong).count() >= 3
        && fizz.iter().all(|(_, f)| *f != Fizz::None);
    let drops = look.readings(|m| matches!(m, Measured::WaterDrop(_)).then_some(()));
    if (drops.len() as u32) < look.needed(FieldTest::WaterDrop) {
        assumptions.push("Too few water drops: taken as sealed with a thin film.".to_owned());
        return FilmReach::Thin;
    }
    if beads && !bare {
        if fizz.is_empty() {
            assumptions.push(
                "Water beads and no acid drop was tried: taken as sealed with a thin film."
                    .to_owned(),
            );
        }
        return FilmReach::Thin;
    }
    FilmReach::None
}

fn oil_of(look: &Look<'_>, assumptions: &mut Vec<String>) -> OilReach {
    let mut worst = OilReach::None;
    for feature in look.features() {
        if let Seen::Stain { depth, .. } = feature.seen
            && is_oil(&feature.seen)
            && !oil_came_back(look.survey, look.zone, feature)
        {
            let reach = match depth {
                Some(depth) if depth <= SURFACE_OIL => OilReach::Surface,
                Some(_) => OilReach::Deep,
                None => {
                    assumptions
                        .push(format!("{}: oil of unknown depth, taken as soaked in.", feature.id));
                    OilReach::Deep
                }
            };
            worst = worst.max(reach);
        }
    }
    worst
}

/// Whether a pull-off below the limit broke where `mode` says.
fn pull_failed(look: &Look<'_>, broke: impl Fn(FailureMode) -> bool) -> bool {
    let least = look.system.least_pull_off_strength;
    pull_off_fails(look)
        && look.pull_offs().iter().any(|(_, (strength, mode))| {
            broke(*mode) && least.is_some_and(|least| *strength < least)
        })
}

fn weak_pull(look: &Look<'_>) -> bool {
    pull_failed(look, |mode| mode == FailureMode::Substrate)
}

fn layer_let_go(look: &Look<'_>) -> bool {
    pull_failed(look, |mode| mode != FailureMode::Substrate)
}

fn no_pull(look: &Look<'_>) -> bool {
    let thin = matches!(
        look.system.class,
        SystemClass::Stain | SystemClass::Sealer | SystemClass::ThinFilm
    );
    !thin && never_pulled(look)
}

fn never_pulled(look: &Look<'_>) -> bool {
    look.system.least_pull_off_strength.is_some() && look.pull_offs().is_empty()
}

fn weak_of(look: &Look<'_>, assumptions: &mut Vec<String>) -> u16 {
    let mut deepest = Length::ZERO;
    for feature in look.features().filter(|f| is_weak_layer(&f.seen)) {
        let Seen::Surface { state, depth } = feature.seen else { continue };
        // What has scaled off is gone: the weak layer is what is left below it.
        let known = if state == SurfaceState::Scaling { None } else { depth };
        deepest = deepest.max(known.unwrap_or_else(|| {
            assumptions.push(format!(
                "{}: depth of what is still weak not known, taken as {} mm.",
                feature.id,
                ASSUMED_WEAK.millimetres()
            ));
            ASSUMED_WEAK
        }));
    }
    if weak_pull(look) {
        assumptions.push(format!(
            "Pull-off failed in the slab: at least {} mm is taken off all of the area, then tested again.",
            ASSUMED_WEAK.millimetres()
        ));
        deepest = deepest.max(ASSUMED_WEAK);
    }
    if never_pulled(look) && !no_pull(look) {
        assumptions.push(
            "No pull-off result: priced as strong enough for a thin finish; more comes off if it fails."
                .to_owned(),
        );
    }
    if no_pull(look) {
        assumptions.push(format!(
            "No pull-off result: at least {} mm is taken off all of the area.",
            ASSUMED_WEAK.millimetres()
        ));
        deepest = deepest.max(ASSUMED_WEAK);
    }
    (deepest.millimetres() * 10.0 - 1e-9).ceil().clamp(0.0, f64::from(u16::MAX)) as u16
}

/// How a surface work is used: over all of the zone or on some of its troubles, and how far
/// into a weak layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Use {
    /// The troubles that it is done on, as bits; none for the whole zone.
    pub(super) on: Option<u8>,
    /// Passes that the weak layer is given, at most.
    pub(super) passes: u8,
}

impl Use {
    fn takes(self, trouble: u8) -> bool {
        self.on.is_none_or(|bits| bits & trouble != 0)
    }
}

/// Bits of the troubles.
const FILM: u8 = 1;
const OIL: u8 = 2;
const WEAK: u8 = 4;
/// Places that troubles can have: every union of theirs.
pub(super) const MARKS: std::ops::Range<u8> = 1..8;

/// Passes that a weak layer asks of a work, at most its own; 1 where there is nothing to take.
pub(super) fn weak_passes(work: &SurfaceWork, from: Condition) -> u8 {
    let tenths = tenths(work);
    if tenths == 0 || from.weak_tenths == 0 {
        return 1;
    }
    from.weak_tenths.div_ceil(tenths).min(u16::from(work.most_passes)) as u8
}

fn tenths(work: &SurfaceWork) -> u16 {
    (work.depth_per_pass.millimetres() * 10.0 + 1e-6).floor() as u16
}

/// What a surface work makes of a condition: the new one and the passes it takes.
/// `None` where it may not be used on this condition or would change nothing.
#[must_use]
pub(super) fn applied(
    work: &SurfaceWork,
    from: Condition,
    target: ProfileRange,
    used: Use,
) -> Option<(Condition, u8)> {
    let whole = used.on.is_none();
    let mut to = from;
    let mut passes = 1;
    if let Some(cleared) = work.clears {
        let there = used.on.is_none_or(|bits| bits == from.residue_on);
        if from.residue != cleared || !there || used.passes != 1 {
            return None;
        }
        to.residue = work.residue;
        if whole || !to.residue.is_wet() {
            to.residue_on = 0;
        }
        // The rest of the area was never wet, and is as dusty as before.
        if !whole && to.residue == Residue::Clean {
            to.residue = Residue::Dust;
        }
        return Some((to, 1));
    }
    // Acid is rinsed before anything else; dry tools do not run over water.
    let dry = work.residue == Residue::Dust;
    if from.residue == Residue::Acid || (dry && from.residue == Residue::Wet) {
        return None;
    }
    if let Some(leaves) = work.leaves {
        // Abrading over loose concrete or oil, or through a film that the tool only
        // skates on, prepares nothing.
        if from.loose || from.oil != OilReach::None || work.film < from.film {
            return None;
        }
        let chosen = setting(leaves, target, from.profile);
        let lowered = from.profile.chip().saturating_sub(chosen.chip());
        let levels = if work.smooths { lowered.min(work.most_passes) } else { 0 };
        // Each level takes a pass of its own. Assumption.
        passes = passes.max(levels);
        let reached = if work.smooths && lowered > 0 {
            ProfileLevel::clamped(from.profile.chip() - levels)
        } else if work.smooths {
            chosen
        } else {
            from.profile.max(chosen)
        };
        if whole {
            to.profile = reached;
            to.closed = false;
        } else if !target.holds(reached) {
            // What comes out beside the range is roughened with all the rest.
            if reached > target.most() || from.profile > target.most() {
                return None;
            }
            to.profile = from.profile.min(reached);
        }
    }
    // A poultice draws nothing through a film.
    if work.oil == OilReach::Deep && work.film < from.film {
        return None;
    }
    if used.takes(FILM) && work.film >= from.film {
        to.film = work.film_left.min(from.film);
    }
    if used.takes(OIL) && work.oil >= from.oil {
        to.oil = OilReach::None;
    }
    let most = if used.takes(WEAK) { weak_passes(work, from) } else { 1 };
    if used.passes > most {
        return None;
    }
    if used.takes(WEAK) && tenths(work) > 0 {
        passes = passes.max(used.passes);
        to.weak_tenths = from.weak_tenths.saturating_sub(tenths(work) * u16::from(passes));
    }
    // Acid dissolves a skin; under it a weak layer stays weak.
    if work.residue == Residue::Acid && to.weak_tenths > 0 {
        return None;
    }
    if from.bruised && work.clears_bruising && whole {
        to.bruised = false;
    }
    if work.bruises {
        to.bruised = true;
    }
    to.residue = work.residue;
    let cleared = troubles_cleared(from, to);
    if used.on.is_some_and(|bits| bits != cleared) {
        return None;
    }
    let changed = Condition { residue: from.residue, ..to } != from;
    to.residue_on = match (to.residue.is_wet(), from.residue.is_wet()) {
        (false, _) => 0,
        // What is wet already stays so.
        (true, true) if whole || from.residue_on == 0 => 0,
        (true, true) => from.residue_on | cleared,
        (true, false) if whole => 0,
        (true, false) => cleared,
    };
    changed.then_some((to, passes))
}

/// The troubles that a step has cleared or thinned: film, oil and weak layer as bits.
fn troubles_cleared(from: Condition, to: Condition) -> u8 {
    let bit = |cleared: bool, bit: u8| if cleared { bit } else { 0 };
    bit(to.film < from.film, FILM)
        | bit(to.oil < from.oil, OIL)
        | bit(to.weak_tenths < from.weak_tenths, WEAK)
}

/// Whether the lowest pH of the surface lies below what the sheet allows.
fn left_acid(look: &Look<'_>) -> bool {
    let readings = look.readings(|m| match m {
        Measured::SurfacePh(ph) => Some(*ph),
        _ => None,
    });
    look.system.ph.is_some_and(|(low, _)| readings.iter().any(|(_, ph)| ph.ph() < low.ph() - 1e-9))
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
