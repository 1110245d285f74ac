//! Where a zone starts: the distinct places that its marks make, each in a condition of its
//! own, and what was assumed where evidence is missing.
//!
//! A mark is where it is. Marks that overlap make a place of what they share; places in the
//! same condition are one. A test speaks for the ground that it stands on.

use tooth_measure::say::{Said, names, said};
use tooth_measure::{Area, Length, ProfileLevel, Quantity as _, Region};
use tooth_texture::calibration::Level;

use super::condition::Condition;
use crate::assessment::{
    BetweenMarks, CrackVerdict, Look, crack_verdict, median_rating, pull_off_fails,
};
use crate::extent::{is_oil, is_thick_layer, is_weak_layer, oil_came_back};
use crate::methods::{FilmReach, OilReach, Residue, SoilReach};
use crate::survey::{
    ABOUT_A_SPOT, Answer, Asked, Contaminant, FailureMode, Feature, FeatureId, FilmKind, GhostKind,
    Hollow, HollowKind, KeptTexture, Matter, Measured, Place, Reaction, Seen, SurfaceState,
    SystemClass,
};

/// A part of a zone in one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// Where.
    pub region: Region,
    /// What it is like.
    pub condition: Condition,
    /// The marks that make it so; none for what is not marked.
    pub marks: Vec<FeatureId>,
}

/// Where a zone starts.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// Its places, largest first; together they are the zone less obstacles.
    pub places: Vec<Ground>,
    /// The same places at their best, where so many marks were told apart that some were taken
    /// for the worst of their neighbours.
    pub at_best: Option<Vec<Condition>>,
    /// Loose places not repaired.
    pub loose: bool,
    /// What was assumed for want of evidence.
    pub assumptions: Vec<Said>,
}

impl Start {
    /// The same with fewer places told apart; none where there are but two.
    pub(super) fn coarser(&self) -> Option<Self> {
        let most = match self.places.len() {
            0..=2 => return None,
            3..=4 => 2,
            _ => 4,
        };
        let (places, at_best) = told_apart(self.places.clone(), most);
        Some(Self { places, at_best, ..self.clone() })
    }

    /// The deepest oil anywhere in it.
    #[must_use]
    pub fn worst_oil(&self) -> OilReach {
        self.places.iter().map(|place| place.condition.oil).max().unwrap_or(OilReach::None)
    }
}

/// Places that are told apart at most: all unions of theirs are looked at.
pub(super) const MOST_PLACES: usize = 6;
/// Weak depths that are told apart at most.
const MOST_DEPTHS: usize = 4;
/// Less than this is the width of a pencil line, not a place.
const LEAST_PLACE: Area = Area::from_square_millimetres(10_000.0);

/// One thing that is wrong, and where.
struct Patchwork {
    region: Region,
    marks: Vec<FeatureId>,
    makes: fn(&mut Condition, u16),
    depth: u16,
}

/// The start of a zone, from what was seen and read.
#[must_use]
pub fn start_of(look: &Look<'_>) -> Start {
    let mut assumptions = Vec::new();
    let net = look.extent.net_region();
    let profile = profile_of(look, &mut assumptions);
    if look.target().1 == Asked::ByGuide {
        let range = look.system.profile_range().0;
        assumptions.push(said!("profile-of-the-guide-from-memory", range = range));
        if look.is_gentle_first() {
            assumptions.push(said!("gentle-first-on-a-decorative-slab"));
        }
    }
    let acid = left_acid(look);
    let base = Condition {
        film: FilmReach::None,
        oil: OilReach::None,
        soil: SoilReach::Dirt,
        weak_tenths: 0,
        // What has no tool prescribed is opened by pads or a stone.
        closed: look.is_gentle_first(),
        unopened: look.opened_by_tool(),
        profile: profile.unwrap_or(ProfileLevel::SMOOTHEST),
        bruised: false,
        residue: if acid { Residue::Acid } else { Residue::Dust },
        taken_tenths: 0,
    };
    let mut layers = film_layers(look, &mut assumptions);
    layers.extend(oil_layers(look, &mut assumptions));
    if look.zone.kept.is_some() {
        assumptions.extend(left_as_it_is(look));
        layers.extend(rubbed_off(look));
    } else {
        layers.extend(weak_layers(look, &mut assumptions));
        layers.extend(dense_layers(look));
    }
    layers.extend(soil_layers(look));
    layers.extend(kept_films(look));
    let whole = Ground { region: net.clone(), condition: base, marks: Vec::new() };
    let mut places = layers.iter().fold(vec![whole], overlaid);
    for place in &mut places {
        rated_here(look, place);
        // Opening takes dirt off with the skin: no wash is asked for besides.
        if place.condition.unopened && place.condition.soil == SoilReach::Dirt {
            place.condition.soil = SoilReach::None;
        }
    }
    let (places, at_best) = told_apart(united(places), MOST_PLACES);
    hollow_assumptions(look, &mut assumptions);
    if acid {
        assumptions.push(said!("the-surface-is-more-acid-than"));
    }
    Start { places, at_best, loose: !look.extent.patches.is_empty(), assumptions }
}

/// Lays one more trouble over the places.
fn overlaid(places: Vec<Ground>, layer: &Patchwork) -> Vec<Ground> {
    let mut made = Vec::with_capacity(places.len() + 1);
    for place in places {
        let shared = place.region.intersection(&layer.region);
        if shared.area() < LEAST_PLACE {
            made.push(place);
            continue;
        }
        let rest = place.region.difference(&layer.region);
        let mut condition = place.condition;
        (layer.makes)(&mut condition, layer.depth);
        let mut marks = place.marks.clone();
        marks.extend(layer.marks.iter().cloned());
        if rest.area() >= LEAST_PLACE {
            made.push(Ground { region: rest, ..place });
        }
        made.push(Ground { region: shared, condition, marks });
    }
    united(made)
}

/// Places in the same condition are one.
fn united(places: Vec<Ground>) -> Vec<Ground> {
    let mut made: Vec<Ground> = Vec::with_capacity(places.len());
    for place in places {
        match made.iter_mut().find(|held| held.condition == place.condition) {
            Some(held) => {
                held.region = Region::union_of(&[held.region.clone(), place.region]);
                held.marks.extend(place.marks);
                held.marks.sort();
                held.marks.dedup();
            }
            None => made.push(place),
        }
    }
    made.sort_by_key(|place| {
        std::cmp::Reverse((place.region.area().square_metres() * 1e6).round() as i64)
    });
    made
}

/// As many places as can be told apart: the smallest are taken for the worst of themselves and
/// the place that they cost least to be taken with.
fn told_apart(mut places: Vec<Ground>, most: usize) -> (Vec<Ground>, Option<Vec<Condition>>) {
    let mut best: Vec<Condition> = places.iter().map(|place| place.condition).collect();
    let apart = places.len() > most;
    while places.len() > most {
        let Some(small) = places.pop() else { break };
        let small_best = best.pop().unwrap_or(small.condition);
        let far = |other: &Ground| {
            let (a, b) = (other.condition, small.condition);
            let grown = a.worse(b);
            let more = |one: Condition| {
                u32::from(grown.film != one.film) * 40
                    + u32::from(grown.oil != one.oil) * 60
                    + u32::from(grown.soil != one.soil) * 10
                    + u32::from(grown.closed != one.closed) * 10
                    + u32::from(grown.weak_tenths - one.weak_tenths)
            };
            let area = |place: &Ground| place.region.area().square_metres();
            f64::from(more(a)) * area(other) + f64::from(more(b)) * area(&small)
        };
        let near = (0..places.len()).min_by(|a, b| far(&places[*a]).total_cmp(&far(&places[*b])));
        let Some(at) = near else { break };
        let held = &mut places[at];
        held.condition = held.condition.worse(small.condition);
        held.region = Region::union_of(&[held.region.clone(), small.region]);
        held.marks.extend(small.marks);
        held.marks.sort();
        held.marks.dedup();
        best[at] = best[at].better(small_best);
    }
    (places, apart.then_some(best))
}

/// The ground of a mark within a zone: its outline, or what lies about a spot or line.
fn ground_of(look: &Look<'_>, feature: &Feature) -> Region {
    let marked = match &feature.place {
        Place::Patch(outline) => outline.region(),
        Place::Line(path) => Region::along(path, ABOUT_A_SPOT),
        Place::Spot(at) => {
            let corner = |sign: f64| {
                tooth_measure::Point::new(at.x + ABOUT_A_SPOT * sign, at.y + ABOUT_A_SPOT * sign)
            };
            tooth_measure::Outline::rectangle(corner(-1.0), corner(1.0))
                .map_or_else(|_| Region::empty(), |square| square.region())
        }
    };
    marked.intersection(look.extent.net_region())
}

/// Marks of a kind as one trouble.
fn marked(
    look: &Look<'_>,
    features: &[&Feature],
    makes: fn(&mut Condition, u16),
    depth: u16,
) -> Option<Patchwork> {
    if features.is_empty() {
        return None;
    }
    let regions: Vec<Region> = features.iter().map(|feature| ground_of(look, feature)).collect();
    let marks = features.iter().map(|feature| feature.id.clone()).collect();
    Some(Patchwork { region: Region::union_of(&regions), marks, makes, depth })
}

fn everywhere(look: &Look<'_>, makes: fn(&mut Condition, u16), depth: u16) -> Patchwork {
    Patchwork { region: look.extent.net_region().clone(), marks: Vec::new(), makes, depth }
}

fn profile_of(look: &Look<'_>, assumptions: &mut Vec<Said>) -> Option<ProfileLevel> {
    let ratings = look.readings(|m| match m {
        Measured::ChipRating(level) => Some(*level),
        _ => None,
    });
    let bare = ratings.iter().filter(|(reading, _)| !look.on_a_mark(reading));
    let bare: Vec<ProfileLevel> = bare.map(|(_, level)| *level).collect();
    if look.target().1 == Asked::ByNobody {
        return median_rating(bare, look.target().0);
    }
    let rated = median_rating(bare, look.target().0);
    let scans = look.survey.scans_of(look.zone).filter_map(|scan| match &scan.level {
        Level::Graded(grade) => Some(grade.likeliest()),
        _ => None,
    });
    let scanned = || median_rating(scans.collect(), look.target().0);
    if rated.is_none() {
        if let Some(level) = scanned() {
            assumptions.push(said!("no-chip-rating-taken-as-the-likeliest", level = level));
            return Some(level);
        }
        assumptions.push(said!("no-chip-rating-of-the-bare-slab"));
    }
    rated
}

/// Where the texture stays, no skin comes off: what is weak or closed is left, and told.
fn left_as_it_is(look: &Look<'_>) -> Option<Said> {
    let skin = |mark: &&Feature| {
        is_weak_layer(&mark.seen) && !look.is_rubbed_off(mark)
            || look.zone.kept != Some(KeptTexture::Cream)
                && matches!(mark.seen, Seen::Surface { state: SurfaceState::DenseTrowelled, .. })
    };
    let marks: Vec<&FeatureId> = look.features().filter(skin).map(|mark| &mark.id).collect();
    (!marks.is_empty())
        .then(|| said!("weak-or-closed-is-left-the-texture-stays", marks = names(marks)))
}

/// Where cream stays, thin dust and a burnished skin are rubbed.
fn rubbed_off(look: &Look<'_>) -> Vec<Patchwork> {
    let dust: Vec<&Feature> = look.features().filter(|f| look.is_rubbed_off(f)).collect();
    let mut layers: Vec<Patchwork> = marked(look, &dust, weaken, 3).into_iter().collect();
    if look.zone.kept == Some(KeptTexture::Cream) {
        layers.extend(dense_layers(look));
    }
    layers
}

/// Films that stay: nothing is taken off or opened there.
fn kept_films(look: &Look<'_>) -> Option<Patchwork> {
    let kept: Vec<&Feature> = look.features().filter(|mark| look.stays(mark)).collect();
    let profile = u16::from(look.target().0.least().chip());
    let grounds: Vec<Region> = kept.iter().map(|film| look.kept_ground(film)).collect();
    marked(look, &kept, stay, profile)
        .map(|layer| Patchwork { region: Region::union_of(&grounds), ..layer })
}

fn stay(condition: &mut Condition, profile: u16) {
    condition.film = FilmReach::None;
    // A remover works on bare concrete; on a film that stays it spoils the film.
    if condition.soil == SoilReach::Rust {
        condition.soil = SoilReach::Dirt;
    }
    condition.weak_tenths = 0;
    condition.closed = false;
    condition.unopened = false;
    condition.profile = ProfileLevel::clamped(profile as u8);
}

/// Chips that stand on a bare mark rate that mark.
fn rated_here(look: &Look<'_>, place: &mut Ground) {
    if place.marks.is_empty() || place.condition.film != FilmReach::None {
        return;
    }
    let here = look.readings(|m| match m {
        Measured::ChipRating(level) => Some(*level),
        _ => None,
    });
    let here = here.iter().filter(|(reading, _)| {
        reading.place.is_some_and(|at| look.on_a_mark(reading) && place.region.holds(at))
    });
    if let Some(level) = median_rating(here.map(|(_, level)| *level).collect(), look.target().0) {
        place.condition.profile = level;
    }
}

fn thin(condition: &mut Condition, _: u16) {
    condition.film = condition.film.max(FilmReach::Thin);
}

fn thick(condition: &mut Condition, _: u16) {
    condition.film = FilmReach::Thick;
}

fn is_thin_debonded(seen: &Seen) -> bool {
    matches!(seen, Seen::Hollow { kind: HollowKind::DebondedLayer, .. }) && !is_thick_layer(seen)
}

/// Films where they are drawn, each as thick as it is; what drops and gauges say of the rest.
fn film_layers(look: &Look<'_>, assumptions: &mut Vec<Said>) -> Vec<Patchwork> {
    let gauges = look.readings(|m| match m {
        Measured::FilmThickness(thickness) => Some(*thickness),
        _ => None,
    });
    let films: Vec<&Feature> =
        look.features().filter(|f| matches!(f.seen, Seen::Film { .. })).collect();
    let (mut thin_marks, mut thick_marks) = (Vec::new(), Vec::new());
    let left = |film: &&&Feature| look.survey.is_left(&look.zone.id, Matter::Film, Some(&film.id));
    let off = |film: &&&Feature| look.stripped_ground(film).area() > Area::ZERO;
    for film in films.iter().filter(|film| (!look.stays(film) || off(film)) && !left(film)) {
        let Seen::Film { kind, thickness, .. } = film.seen else { continue };
        let about = gauges.iter().filter(|(reading, _)| look.survey.speaks_of(reading, film));
        let gauge = about.map(|(_, t)| *t);
        // What was measured outranks what was drawn.
        let thickness = gauge.reduce(Length::max).or(thickness);
        match (kind, thickness) {
            (FilmKind::Adhesive, _) => thick_marks.push(*film),
            (_, Some(t)) if !t.exceeds(look.limits().thin_film.value) => thin_marks.push(*film),
            (FilmKind::Sealer | FilmKind::CuringCompound, None) => {
                assumptions.push(said!("film-of-unknown-thickness-taken-2", mark = &film.id));
                thin_marks.push(*film);
            }
            (_, Some(_)) => thick_marks.push(*film),
            (FilmKind::Coating | FilmKind::Unknown, None) => {
                assumptions.push(said!("film-of-unknown-thickness-taken", mark = &film.id));
                thick_marks.push(*film);
            }
        }
    }
    // Under what shows it, paint, marker and tyre marks are lifted like a thin film.
    let lifted = |mark: &&Feature| {
        let kinds = [GhostKind::PaintSpots, GhostKind::Marker, GhostKind::TyreMarks];
        let shown = matches!(&mark.seen, Seen::Ghost { kind, .. } if kinds.contains(kind));
        look.system.see_through && shown
    };
    thin_marks.extend(look.features().filter(lifted));
    thick_marks.extend(look.features().filter(|f| is_thin_debonded(&f.seen)));
    let mut layers: Vec<Patchwork> = marked(look, &thin_marks, thin, 0)
        .into_iter()
        .chain(marked(look, &thick_marks, thick, 0))
        .collect();
    if layer_let_go(look) {
        assumptions.push(said!("an-old-layer-let-go-below"));
        layers.push(everywhere(look, thick, 0));
    }
    if !look.measured_and_not_drawn().is_empty() {
        assumptions.push(said!("a-film-was-measured-and-not-drawn-2"));
        layers.push(everywhere(look, thick, 0));
    }
    layers.extend(film_by_drops(look, assumptions));
    layers
}

/// What drops on the bare slab say: a film that nobody drew, or none.
fn film_by_drops(look: &Look<'_>, assumptions: &mut Vec<Said>) -> Option<Patchwork> {
    if look.unmarked_share().ratio() <= 0.0 {
        return None;
    }
    let drops = look.drops();
    match drops.verdict {
        BetweenMarks::Film | BetweenMarks::FilmOrDense => {
            if drops.acid.is_empty() {
                assumptions.push(said!("water-beads-and-no-acid-drop-was"));
            }
            let region = look.beading_ground();
            Some(Patchwork { region, marks: Vec::new(), makes: thin, depth: 0 })
        }
        BetweenMarks::Bare | BetweenMarks::Untested | BetweenMarks::WithoutLime => {
            if drops.missing > 0 {
                assumptions.push(said!("too-few-water-drops-priced-as-bare"));
            }
            None
        }
        BetweenMarks::Dense => None,
    }
}

fn oil_layers(look: &Look<'_>, assumptions: &mut Vec<Said>) -> Vec<Patchwork> {
    let (mut surface, mut deep) = (Vec::new(), Vec::new());
    for feature in look.features().filter(|f| is_oil(&f.seen)) {
        // What comes back is cut out with its patch.
        if oil_came_back(look.survey, look.zone, feature)
            || look.survey.is_left(&look.zone.id, Matter::Oil, Some(&feature.id))
        {
            continue;
        }
        let Seen::Stain { depth, .. } = feature.seen else { continue };
        match depth {
            Some(depth) if !depth.exceeds(look.limits().surface_oil.value) => surface.push(feature),
            Some(_) => deep.push(feature),
            None => {
                assumptions.push(said!("oil-of-unknown-depth-taken-as-soaked", mark = &feature.id));
                deep.push(feature);
            }
        }
    }
    let shallow = |condition: &mut Condition, _| {
        condition.oil = condition.oil.max(OilReach::Surface);
    };
    let soaked = |condition: &mut Condition, _| condition.oil = OilReach::Deep;
    marked(look, &surface, shallow, 0)
        .into_iter()
        .chain(marked(look, &deep, soaked, 0))
        .map(|layer| without_patches(look, layer))
        .collect()
}

/// What is cut out with a patch needs no cleaning.
fn without_patches(look: &Look<'_>, layer: Patchwork) -> Patchwork {
    if !look.features().any(|f| oil_came_back(look.survey, look.zone, f)) {
        return layer;
    }
    let outlines = look.extent.patches.iter().filter_map(|patch| patch.rectangle.outline());
    let patches: Vec<Region> = outlines.map(|outline| outline.region()).collect();
    Patchwork { region: layer.region.difference(&Region::union_of(&patches)), ..layer }
}

fn weaken(condition: &mut Condition, tenths: u16) {
    condition.weak_tenths = condition.weak_tenths.max(tenths);
}

fn in_tenths(depth: Length) -> u16 {
    (depth.millimetres() * 10.0 - 1e-9).ceil().clamp(0.0, f64::from(u16::MAX)) as u16
}

fn weak_layers(look: &Look<'_>, assumptions: &mut Vec<Said>) -> Vec<Patchwork> {
    let assumed = look.limits().unmeasured_weak_layer.value;
    let mut marks: Vec<(u16, &Feature)> = Vec::new();
    let left = |mark: &Feature| {
        let matter = match mark.seen {
            Seen::Surface { state: SurfaceState::Scaling, .. } => Matter::Scaling,
            _ => Matter::WeakLayer,
        };
        look.survey.is_left(&look.zone.id, matter, Some(&mark.id))
    };
    for feature in look.features().filter(|f| is_weak_layer(&f.seen) && !left(f)) {
        let Seen::Surface { state, depth } = feature.seen else { continue };
        // What has scaled off is gone: the weak layer is what is left below it.
        let known = if state == SurfaceState::Scaling { None } else { depth };
        let depth = known.unwrap_or_else(|| {
            assumptions.push(said!(
                "depth-of-what-is-still-weak-not",
                mark = &feature.id,
                millimetres = assumed.millimetres()
            ));
            assumed
        });
        marks.push((in_tenths(depth), feature));
    }
    marks.sort_by_key(|(tenths, feature)| (*tenths, feature.id.clone()));
    let mut depths: Vec<u16> = marks.iter().map(|(tenths, _)| *tenths).collect();
    depths.dedup();
    // Many depths are worked as few: each as the deepest of its neighbours.
    let each = depths.len().div_ceil(MOST_DEPTHS).max(1);
    let deepest: Vec<u16> = depths.chunks(each).filter_map(|near| near.last().copied()).collect();
    let mut layers: Vec<Patchwork> = Vec::new();
    let mut above = None;
    for &most in &deepest {
        let here: Vec<&Feature> = marks
            .iter()
            .filter(|(tenths, _)| *tenths <= most && above.is_none_or(|above| *tenths > above))
            .map(|(_, feature)| *feature)
            .collect();
        layers.extend(marked(look, &here, weaken, most));
        above = Some(most);
    }
    if weak_pull(look) && !look.survey.is_left(&look.zone.id, Matter::PullOffStrength, None) {
        assumptions.push(said!("pull-off-failed-in-the-slab", millimetres = assumed.millimetres()));
        layers.push(everywhere(look, weaken, in_tenths(assumed)));
    }
    let never = look.system.least_pull_off_strength.is_some() && look.pull_offs().is_empty();
    let thin_finish = matches!(
        look.system.class,
        SystemClass::Stain | SystemClass::Sealer | SystemClass::ThinFilm
    );
    if never && thin_finish {
        assumptions.push(said!("no-pull-off-result-priced-as-strong"));
    } else if never {
        assumptions
            .push(said!("no-pull-off-result-at-least-mm", millimetres = assumed.millimetres()));
        layers.push(everywhere(look, weaken, in_tenths(assumed)));
    }
    layers
}

/// Salts and rust where they are marked.
fn soil_layers(look: &Look<'_>) -> Vec<Patchwork> {
    let of = |wanted: Contaminant, matter: Matter| -> Vec<&Feature> {
        let is = |f: &&Feature| matches!(f.seen, Seen::Stain { kind, .. } if kind == wanted);
        let left = |f: &&Feature| look.survey.is_left(&look.zone.id, matter, Some(&f.id));
        look.features().filter(is).filter(|f| !left(f)).collect()
    };
    let salted =
        |condition: &mut Condition, _| condition.soil = condition.soil.max(SoilReach::Salts);
    let rusty = |condition: &mut Condition, _| condition.soil = SoilReach::Rust;
    // What comes from within is not washed away.
    let mut rust = of(Contaminant::Rust, Matter::Rust);
    rust.extend(of(Contaminant::RustLeftOn, Matter::Rust));
    marked(look, &of(Contaminant::Efflorescence, Matter::Efflorescence), salted, 0)
        .into_iter()
        .chain(marked(look, &rust, rusty, 0))
        .collect()
}

fn close(condition: &mut Condition, _: u16) {
    condition.closed = true;
}

/// Burnished where it is marked; all over where drops or a panel show it.
fn dense_layers(look: &Look<'_>) -> Vec<Patchwork> {
    let dense: Vec<&Feature> = look
        .features()
        .filter(|f| matches!(f.seen, Seen::Surface { state: SurfaceState::DenseTrowelled, .. }))
        .filter(|f| !look.survey.is_left(&look.zone.id, Matter::DenseSurface, Some(&f.id)))
        .collect();
    let closed_panel = look
        .features()
        .any(|f| matches!(f.seen, Seen::SamplePanel { reaction: Some(Reaction::None), .. }));
    let mut layers: Vec<Patchwork> = marked(look, &dense, close, 0).into_iter().collect();
    if closed_panel {
        layers.push(everywhere(look, close, 0));
    } else if look.drops().verdict == BetweenMarks::Dense {
        let region = look.beading_ground();
        layers.push(Patchwork { region, marks: Vec::new(), makes: close, depth: 0 });
    }
    layers
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

fn hollow_assumptions(look: &Look<'_>, assumptions: &mut Vec<Said>) {
    for feature in look.features() {
        match feature.seen {
            Seen::Hollow { sure: Hollow::Doubtful, .. } => {
                assumptions.push(said!("doubtful-priced-as-sound-its-repair", mark = &feature.id))
            }
            // Only what is cut out is priced by its depth.
            Seen::Hollow { depth: None, sure: Hollow::Sure, .. }
                if look.extent.patches.iter().any(|patch| patch.holds.contains(&feature.id)) =>
            {
                assumptions.push(said!("depth-of-the-loose-layer-not-known", mark = &feature.id))
            }
            _ => {}
        }
    }
    let replaced: Vec<&FeatureId> = look
        .features()
        .filter(|crack| {
            crack_verdict(look.survey, look.system, crack) == Some(CrackVerdict::Replaced)
        })
        .map(|crack| &crack.id)
        .collect();
    if !replaced.is_empty() {
        assumptions.push(said!("replacing-that-part-of-the-slab", marks = names(replaced)));
    }
    let unsure: Vec<&FeatureId> = look
        .features()
        .filter(|f| matches!(f.seen, Seen::Joint { old_filler: Answer::Unknown, .. }))
        .filter(|joint| super::fixed::has_old_filler(look, joint))
        .map(|joint| &joint.id)
        .collect();
    if !unsure.is_empty() {
        assumptions.push(said!("whether-old-filler-sits-in-is-not", joints = names(unsure)));
    }
    let sounded = look.extent.area_of(|seen| matches!(seen, Seen::Sounded { .. }));
    if sounded < look.nearly_all() {
        assumptions.push(said!("not-all-of-the-area-was-sounded"));
    }
}

/// Whether the lowest pH of the surface lies below what the sheet allows.
fn left_acid(look: &Look<'_>) -> bool {
    let readings = look.readings(|m| match m {
        Measured::SurfacePh(ph) => Some(*ph),
        _ => None,
    });
    look.system.ph.is_some_and(|(low, _)| readings.iter().any(|(_, ph)| ph.ph() < low.ph() - 1e-9))
}
