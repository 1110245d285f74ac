//! One zone with all that is known of it, as the rules look at it.

use tooth_measure::say::{Said, said};
use tooth_measure::{
    Area, Fraction, Length, Point, ProfileRange, Quantity as _, Region, Stress, UnitSystem,
    WorkTime,
};

use super::counts::{FieldTest, test_count};
use super::finding::Evidence;
use super::spread::{Spread, apart};
use crate::extent::{Extent, drawn_ground, is_weak_layer, net_area};
use crate::survey::{
    Answer, Asked, Contaminant, DampOrDry, FailureMode, Feature, FilmCondition, FilmDecided,
    FilmWay, GhostKind, KeptTexture, KnifeTest, LaboratoryQuestion, Limits, Measured, Place,
    Reading, Seen, SolventRub, SurfaceState, Survey, System, Zone,
};

/// How a film that is to stay has shown itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeptState {
    /// It holds, and softens where it is to be re-wetted.
    Holds,
    /// Nobody tried.
    NotTried,
    /// It comes off.
    LetsGo,
    /// It comes off at some cuts and holds at others, and everybody wrote down where.
    LetsGoInPart,
    /// It came off at some cut, and nobody can tell where.
    LetsGoSomewhere,
    /// Its solvent does nothing to it: it is scuffed and coated over instead.
    DoesNotSoften,
    /// Water or salts under it: coated again it seals them in.
    OverWater,
}

/// Places at which a film that stays is cut. Common practice: three, one where it is worn.
pub const PLACES_OF_THE_KNIFE: u32 = 3;

/// A film that somebody decided to keep.
#[derive(Debug, Clone)]
pub struct KeptFilm<'a> {
    /// The decision.
    pub decided: &'a FilmDecided,
    /// What is done with it: as decided, unless its solvent does nothing to it.
    pub way: FilmWay,
    /// What tests say.
    pub state: KeptState,
    /// The ground on which it comes off.
    pub loose: Region,
    /// Cuts and rubs that are still asked for.
    pub missing: u32,
    /// The tests.
    pub readings: Vec<&'a Reading>,
}

/// A zone under assessment.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    /// The whole survey.
    pub survey: &'a Survey,
    /// The zone.
    pub zone: &'a Zone,
    /// Its system.
    pub system: &'a System,
    /// What there is in it.
    pub extent: &'a Extent<'a>,
}

impl<'a> Look<'a> {
    /// Its features.
    pub fn features(&self) -> impl Iterator<Item = &'a Feature> + Clone + use<'a> {
        self.extent.features()
    }

    /// Its readings for which `pick` gives a value; tests of a lot from all of it.
    pub fn readings<T>(&self, pick: impl Fn(&Measured) -> Option<T>) -> Vec<(&'a Reading, T)> {
        let survey = self.survey;
        let zones = survey.lot_of(self.zone).map(|zone| (zone, zone.id == self.zone.id));
        zones
            .flat_map(|(zone, own)| survey.readings_of(zone).map(move |reading| (reading, own)))
            .filter(|(reading, own)| *own || reading.measured.is_of_the_lot())
            .filter_map(|(reading, _)| pick(&reading.measured).map(|value| (reading, value)))
            .collect()
    }

    /// The zone in which tests of its lot are asked for, where that is another.
    #[must_use]
    pub fn asked_under(&self) -> Option<&'a Zone> {
        self.survey.lot_of(self.zone).next().filter(|first| first.id != self.zone.id)
    }

    /// Water drops, with the time in which each darkened the surface.
    #[must_use]
    pub fn water_drops(&self) -> Vec<(&'a Reading, WorkTime)> {
        self.readings(|measured| match measured {
            Measured::WaterDrop(time) => Some(*time),
            _ => None,
        })
    }

    /// How films took a knife.
    #[must_use]
    pub fn knives(&self) -> Vec<(&'a Reading, KnifeTest)> {
        self.readings(|measured| match measured {
            Measured::Knife(seen) => Some(*seen),
            _ => None,
        })
    }

    /// What a rag with solvent did to films.
    #[must_use]
    pub fn rubs(&self) -> Vec<(&'a Reading, SolventRub)> {
        self.readings(|measured| match measured {
            Measured::SolventRub(seen) => Some(*seen),
            _ => None,
        })
    }

    /// So much of the area counts as all of it.
    #[must_use]
    pub fn nearly_all(&self) -> Area {
        self.extent.net * self.limits().sounded_share.value.ratio()
    }

    /// The ground of the area on which some marks are drawn as patches.
    pub fn drawn(&self, marks: impl IntoIterator<Item = &'a Feature>) -> Region {
        drawn_ground(marks).intersection(self.extent.net_region())
    }

    /// How many more tests of a kind are asked for: those in one corner say nothing of the rest.
    pub(crate) fn missing<T>(&self, test: FieldTest, read: &[(&Reading, T)]) -> u32 {
        let needed = self.needed(test);
        let readings = read.iter().map(|(reading, _)| *reading);
        let spread = Spread::of(readings, apart(self.lot_area(), needed));
        needed.saturating_sub(spread.places + spread.unplaced)
    }

    /// The time within which a drop must have soaked in: the sheet's, else the job's limit.
    #[must_use]
    pub fn absorbed_within(&self) -> WorkTime {
        self.system.absorbs_within.unwrap_or(self.limits().absorbed_within.value)
    }

    /// The profile that the area is prepared to, and who asks for it.
    #[must_use]
    pub fn target(&self) -> (ProfileRange, Asked) {
        self.system.target_in(self.zone)
    }

    /// Whether gentle methods come first: on stamped or exposed concrete for which no sheet has
    /// asked for a profile or a tool, and which is not weak.
    #[must_use]
    pub fn is_gentle_first(&self) -> bool {
        let decorative = |mark: &Feature| {
            let states = [SurfaceState::Stamped, SurfaceState::ExposedAggregate];
            matches!(mark.seen, Seen::Surface { state, .. } if states.contains(&state))
        };
        self.target().1 == Asked::ByGuide
            && self.system.mechanical_preparation != Answer::Yes
            && self.features().any(decorative)
            && !self.features().any(|mark| is_weak_layer(&mark.seen))
    }

    /// Whether the surface is opened by a tool: never where its texture stays.
    #[must_use]
    pub fn opened_by_tool(&self) -> bool {
        self.zone.kept.is_none() && self.system.mechanical() && !self.is_gentle_first()
    }

    /// Whether the finish shows where the slab drinks more and where less.
    #[must_use]
    pub fn shows_unevenness(&self) -> bool {
        self.system.see_through || self.system.soaks_in()
    }

    /// What is known of a film that somebody decided to keep; none where nobody did.
    #[must_use]
    pub fn kept_film(&self, mark: &Feature) -> Option<KeptFilm<'a>> {
        let decided = self.survey.film_decided(self.zone, mark)?;
        let Seen::Film { condition, .. } = mark.seen else { return None };
        let about = |reading: &Reading| {
            self.survey.speaks_of(reading, mark)
                || (reading.subject.is_none() && reading.place.is_none())
        };
        let (mut knives, mut rubs) = (self.knives(), self.rubs());
        knives.retain(|(held, _)| about(held));
        rubs.retain(|(held, _)| about(held));
        let rewets = decided.way == FilmWay::RewetAndRecoat;
        let hardened = rewets && rubs.iter().any(|(_, seen)| *seen == SolventRub::NoEffect);
        let missing = PLACES_OF_THE_KNIFE.saturating_sub(knives.len() as u32);
        let asked = missing > 0 || (rewets && rubs.is_empty());
        let whole = drawn_ground([mark]);
        let (state, loose) = match self.lets_go(&whole, &knives) {
            _ if self.is_over_water(mark, condition) => (KeptState::OverWater, whole),
            _ if !condition.holds() => (KeptState::LetsGo, whole),
            Some((KeptState::LetsGo, _)) => (KeptState::LetsGo, whole),
            Some(part) => part,
            None if hardened => (KeptState::DoesNotSoften, Region::empty()),
            None if asked => (KeptState::NotTried, Region::empty()),
            None => (KeptState::Holds, Region::empty()),
        };
        let readings =
            knives.iter().map(|(held, _)| *held).chain(rubs.iter().map(|(held, _)| *held));
        Some(KeptFilm {
            decided,
            way: if hardened { FilmWay::RecoatOver } else { decided.way },
            state,
            loose,
            missing: missing.max(u32::from(asked)),
            readings: readings.collect(),
        })
    }

    /// Where cuts say that a film comes off: nearer to a cut at which it did than to any at which
    /// it held. None where it held at every cut; all of it where it did not hold at most, and
    /// nobody wrote down where they were.
    fn lets_go(
        &self,
        film: &Region,
        cuts: &[(&Reading, KnifeTest)],
    ) -> Option<(KeptState, Region)> {
        let (held, off): (Vec<_>, Vec<_>) =
            cuts.iter().partition(|(_, seen)| *seen == KnifeTest::Holds);
        if off.is_empty() {
            return None;
        }
        let places = |cuts: &[&(&Reading, KnifeTest)]| -> Option<Vec<Point>> {
            cuts.iter().map(|(cut, _)| cut.place).collect()
        };
        if held.is_empty() {
            return Some((KeptState::LetsGo, film.clone()));
        }
        match (places(&off), places(&held)) {
            (Some(off), Some(held)) => {
                let ground = film.intersection(self.extent.net_region());
                Some((KeptState::LetsGoInPart, ground.nearer_to(&off, &held)))
            }
            _ if off.len() > held.len() => Some((KeptState::LetsGo, film.clone())),
            _ => Some((KeptState::LetsGoSomewhere, Region::empty())),
        }
    }

    /// Whether a mark is dust that pads or a stone rub off without harm to cream that stays.
    /// Assumption: three tenths of a millimetre.
    #[must_use]
    pub fn is_rubbed_off(&self, mark: &Feature) -> bool {
        let skin = [SurfaceState::Dusting, SurfaceState::Laitance];
        let thin = matches!(
            mark.seen,
            Seen::Surface { state, depth: Some(depth) }
                if skin.contains(&state) && depth <= Length::from_millimetres(0.3)
        );
        self.zone.kept == Some(KeptTexture::Cream) && thin
    }

    /// Whether salts lie where a film does, or it has gone white over a slab that nobody has
    /// shown to be dry.
    fn is_over_water(&self, film: &Feature, condition: FilmCondition) -> bool {
        let Place::Patch(ground) = &film.place else { return false };
        let salts = |mark: &Feature| {
            matches!(mark.seen, Seen::Stain { kind: Contaminant::Efflorescence, .. })
                && match &mark.place {
                    Place::Patch(outline) => outline.shared_area(ground) > Area::ZERO,
                    Place::Spot(spot) => ground.holds(*spot),
                    Place::Line(path) => {
                        let (inside, _) = path.length_in_and_on(ground);
                        inside > Length::ZERO
                    }
                }
        };
        let white = matches!(condition, FilmCondition::White | FilmCondition::Blistered);
        self.features().any(salts) || white && !self.is_shown_dry()
    }

    /// Whether somebody measured that the slab is dry: humidity within the sheet's limit, else
    /// where no salts move; or taped sheets that all came up dry.
    fn is_shown_dry(&self) -> bool {
        let humidity = self.readings(|m| match m {
            Measured::InSlabHumidity(share) => Some(*share),
            _ => None,
        });
        let most =
            self.system.most_in_slab_humidity.unwrap_or(self.limits().swelling_humidity.value);
        let sheets = self.readings(|m| match m {
            Measured::PlasticSheet(state) => Some(*state),
            _ => None,
        });
        let measured = !humidity.is_empty() || !sheets.is_empty();
        measured
            && humidity.iter().all(|(_, share)| !share.exceeds(most))
            && sheets.iter().all(|(_, state)| *state == DampOrDry::Dry)
    }

    /// Whether a film stays, on all of its ground or on a part: somebody decided so, and nothing
    /// that was tried speaks against it.
    #[must_use]
    pub fn stays(&self, mark: &Feature) -> bool {
        self.kept_film(mark)
            .is_some_and(|held| !matches!(held.state, KeptState::LetsGo | KeptState::OverWater))
    }

    /// The ground on which a film comes off: all of it, unless it stays.
    #[must_use]
    pub fn stripped_ground(&self, mark: &Feature) -> Region {
        match self.kept_film(mark) {
            Some(held) => held.loose.intersection(self.extent.net_region()),
            None => self.drawn([mark]),
        }
    }

    /// The ground on which a film stays.
    #[must_use]
    pub fn kept_ground(&self, mark: &Feature) -> Region {
        self.drawn([mark]).difference(&self.stripped_ground(mark))
    }

    /// Whether a mark lies where a film stays.
    #[must_use]
    pub fn lies_on_a_kept_film(&self, mark: &Feature) -> bool {
        let mut films = self.features().filter(|film| self.stays(film));
        films.any(|film| {
            let ground = self.kept_ground(film);
            match &mark.place {
                Place::Patch(outline) => ground.intersection(&outline.region()).area() > Area::ZERO,
                place => ground.holds(place.label_place()),
            }
        })
    }

    /// Films that come off, at least on a part of their ground.
    #[must_use]
    pub fn stripped_films(&self) -> Vec<&'a Feature> {
        let films = self.features().filter(|mark| matches!(mark.seen, Seen::Film { .. }));
        let off =
            |film: &&Feature| !self.stays(film) || self.stripped_ground(film).area() > Area::ZERO;
        films.filter(off).collect()
    }

    /// Whether films come off a part of what shows the concrete: the edge of it will show.
    #[must_use]
    pub fn leaves_an_edge(&self) -> bool {
        let area = self.all_stripped_ground().area();
        self.system.see_through && area > Area::ZERO && area < self.nearly_all()
    }

    /// The ground on which films come off.
    #[must_use]
    pub fn all_stripped_ground(&self) -> Region {
        let films = self.features().filter(|mark| matches!(mark.seen, Seen::Film { .. }));
        Region::union_of(&films.map(|film| self.stripped_ground(film)).collect::<Vec<_>>())
    }

    /// Whether films that stay lie on nearly all of the area.
    #[must_use]
    pub fn kept_all_over(&self) -> bool {
        let films = self.features().filter(|mark| self.stays(mark));
        let grounds: Vec<Region> = films.map(|film| self.kept_ground(film)).collect();
        let kept = Region::union_of(&grounds).area();
        kept > Area::ZERO && kept >= self.nearly_all()
    }

    /// Whether a test speaks of a mark with a surface of its own and not of the bare slab: it
    /// names the mark, or stands on it.
    #[must_use]
    pub fn on_a_mark(&self, reading: &Reading) -> bool {
        let whole = self.nearly_all();
        // What lies on all of it is the area's own state; but a film is not the slab.
        let apart = |feature: &&Feature| match (&feature.seen, &feature.place) {
            (Seen::Film { .. }, _) => true,
            (seen, Place::Patch(outline)) => has_surface(seen) && outline.area() < whole,
            (seen, _) => has_surface(seen),
        };
        self.marks_of_the_lot().filter(apart).any(|mark| self.survey.speaks_of(reading, mark))
    }

    /// The marks of its lot, without films that were taken away.
    fn marks_of_the_lot(&self) -> impl Iterator<Item = &'a Feature> {
        let survey = self.survey;
        let zones = survey.lot_of(self.zone);
        zones.flat_map(move |zone| {
            let marks = survey.features_of(zone);
            marks.filter(move |mark| survey.abatement_of(zone, mark).is_none())
        })
    }

    /// Whether a test was taken on a film.
    #[must_use]
    pub fn on_a_film(&self, reading: &Reading) -> bool {
        let mut films = self.marks_of_the_lot().filter(|f| matches!(f.seen, Seen::Film { .. }));
        films.any(|film| self.survey.speaks_of(reading, film))
    }

    /// The share of the zone on which no film is drawn.
    #[must_use]
    pub fn unmarked_share(&self) -> Fraction {
        let drawn = self.extent.area_of(|seen| matches!(seen, Seen::Film { .. }));
        let share = 1.0 - drawn / self.extent.net;
        Fraction::new(if share < 1e-6 { 0.0 } else { share })
    }

    /// Pull-off results that count: the glue of the disk did not give way. What broke in the slab
    /// speaks of the slab, through a film as well.
    #[must_use]
    pub fn pull_offs(&self) -> Vec<(&'a Reading, (Stress, FailureMode))> {
        self.readings(|measured| match measured {
            Measured::PullOff { strength, failure } if *failure != FailureMode::Adhesive => {
                Some((*strength, *failure))
            }
            _ => None,
        })
        .into_iter()
        .filter(|(reading, (_, failure))| {
            !self.on_a_mark(reading)
                || (*failure == FailureMode::Substrate && self.on_a_film(reading))
        })
        .collect()
    }

    /// A laboratory's answers for this zone.
    #[must_use]
    pub fn laboratory(&self, question: LaboratoryQuestion) -> Vec<(&'a Reading, Answer)> {
        self.readings(|measured| match measured {
            Measured::Laboratory(asked, answer, _) if *asked == question => Some(*answer),
            _ => None,
        })
    }

    /// Films that were taken away with a remover.
    #[must_use]
    pub fn removed_by_remover(&self) -> Vec<&'a Feature> {
        let marks = self.survey.features_of(self.zone);
        let by_remover = marks.filter(|mark| {
            let held = self.survey.abatement_of(self.zone, mark);
            held.is_some_and(|held| held.remover.is_some())
        });
        by_remover.collect()
    }

    /// Whether a signed locate covers the zone.
    #[must_use]
    pub fn located(&self) -> bool {
        self.survey.facts.locates.iter().any(|locate| locate.zones.contains(&self.zone.id))
    }

    /// Whether nothing may be cut yet: no signed locate covers the zone, or an item in it
    /// has no known place. Nobody's word stands in for a locate.
    #[must_use]
    pub fn cutting_is_blocked(&self) -> bool {
        let open = |f: &Feature| matches!(f.seen, Seen::Embedded { located, .. } if located != Answer::Yes);
        !self.located() || self.features().any(open)
    }

    /// What is added to a test that drills.
    #[must_use]
    pub fn locate_first(&self) -> Said {
        if self.cutting_is_blocked() { said!("after-a-signed-locate") } else { Said::nothing() }
    }

    /// Whether the owner agreed to marking tests in the zone.
    #[must_use]
    pub fn marking_agreed(&self) -> bool {
        self.survey.facts.consents.iter().any(|consent| consent.zones.contains(&self.zone.id))
    }

    /// The area of its lot, less obstacles.
    #[must_use]
    pub fn lot_area(&self) -> Area {
        let zones = self.survey.lot_of(self.zone);
        let net = |zone: &Zone| match zone.id == self.zone.id {
            true => self.extent.net,
            false => net_area(self.survey, zone),
        };
        zones.map(net).sum()
    }

    /// Tests of a kind that the zone needs, together with the others of its lot.
    #[must_use]
    pub fn needed(&self, test: FieldTest) -> u32 {
        test_count(test, self.lot_area(), self.survey.facts.acceptance.area_per_test)
    }

    /// The job's limits.
    #[must_use]
    pub fn limits(&self) -> &'a Limits {
        &self.survey.facts.limits
    }

    /// The units that the job's people read first.
    #[must_use]
    pub fn units(&self) -> UnitSystem {
        self.survey.facts.units
    }
}

/// Marks whose surface is another than that of the slab about them.
fn has_surface(seen: &Seen) -> bool {
    match seen {
        Seen::Film { .. } | Seen::Stain { .. } => true,
        Seen::Surface { state, .. } => {
            !matches!(state, SurfaceState::Crazing | SurfaceState::Stamped)
        }
        // A patch, or what paint and tyres left, drinks in its own way.
        Seen::Ghost { kind, .. } => matches!(
            kind,
            GhostKind::OldPatch
                | GhostKind::PaintSpots
                | GhostKind::TyreMarks
                | GhostKind::GlueRows
        ),
        _ => false,
    }
}

/// Names the readings as evidence.
pub(crate) fn of_readings<T>(readings: &[(&Reading, T)]) -> Vec<Evidence> {
    readings.iter().map(|(reading, _)| of_reading(reading)).collect()
}

/// Names a reading as evidence.
pub(crate) fn of_reading(reading: &Reading) -> Evidence {
    Evidence::Reading(reading.id.clone())
}

/// Names a feature as evidence.
pub(crate) fn of_feature(feature: &Feature) -> Evidence {
    Evidence::Feature(feature.id.clone())
}
