//! The answers that a question can have, how likely each is, and the survey as it would be.

use tooth_measure::say::Said;
use tooth_measure::{Fraction, Length, Money, ProfileLevel, Region, WorkTime};

use crate::assessment::{Ask, median_rating};
use crate::survey::{
    ANY_PROFILE, Answer, Chances, CrackMovement, Feature, FeatureId, Fizz, Hollow, HollowKind,
    LaboratoryMethod, LaboratoryQuestion, Measured, Place, Reading, ReadingId, Seen,
    SoundingMethod, Survey, Word, Zone,
};

/// One answer.
#[derive(Debug, Clone)]
pub(super) struct Answered {
    pub(super) chance: Fraction,
    pub(super) survey: Survey,
    /// It only shows when the system is down.
    pub(super) shows_late: bool,
    /// It takes the area out of the bid, whatever the plan says.
    pub(super) falls_out: bool,
    /// Cost besides the plan's own.
    pub(super) besides: Money,
}

/// The answers to a question, the better one first; none where they cannot be reckoned.
pub(super) fn answers(
    survey: &Survey,
    zone: &Zone,
    ask: &Ask,
    chances: &Chances,
) -> Option<Vec<Answered>> {
    let base = Telling { survey, zone };
    Some(match ask {
        Ask::Film => base.two(
            after(chances.film, base.read(|m| matches!(m, Measured::WaterDrop(_)))),
            |told| told.drops(20.0, Fizz::Strong),
            |told| told.drops(600.0, Fizz::None),
        ),
        Ask::FilmOrDense => base.two(
            Fraction::new(0.5),
            |told| told.fizz(Fizz::Strong),
            |told| told.fizz(Fizz::None),
        ),
        Ask::OilDepth(id) => base.two(
            chances.deep_oil,
            |told| told.stain_depth(id, Length::from_millimetres(0.5)),
            |told| told.stain_depth(id, Length::from_millimetres(6.0)),
        ),
        Ask::OilBleedBack(id) => base.two(
            chances.oil_back,
            |told| told.bleeds(id, Answer::No),
            |told| told.bleeds(id, Answer::Yes),
        ),
        Ask::WeakDepth(id) => base.two(
            chances.deep_weak_layer,
            |told| told.weak_depth(id, Length::from_millimetres(1.0)),
            |told| told.weak_depth(id, Length::from_millimetres(5.0)),
        ),
        Ask::PullOff => {
            let read = base.read(|m| matches!(m, Measured::PullOff { .. }));
            let weak = after(chances.weak_slab, read);
            late(base.two(weak, |told| told.pulls(1.5), |told| told.pulls(0.7)))
        }
        Ask::CracksMove(ids) => base.two(
            chances.moving_crack,
            |told| told.cracks(ids, CrackMovement::Dormant),
            |told| told.cracks(ids, CrackMovement::Active),
        ),
        Ask::CracksLeak(ids) => base.two(
            chances.leaking_crack,
            |told| told.crack_answers(ids, Answer::No, None),
            |told| told.crack_answers(ids, Answer::Yes, None),
        ),
        Ask::CracksDisplaced(ids) => base.two(
            chances.displaced_crack,
            |told| told.crack_answers(ids, Answer::Unknown, Some(Answer::No)),
            |told| told.crack_answers(ids, Answer::Unknown, Some(Answer::Yes)),
        ),
        Ask::JointsWork(ids) => base.two(
            chances.working_joint,
            |told| told.joints(ids, Some(Answer::No), None),
            |told| told.joints(ids, Some(Answer::Yes), None),
        ),
        Ask::OldFiller(ids) => base.two(
            chances.old_filler,
            |told| told.joints(ids, None, Some(Answer::No)),
            |told| told.joints(ids, None, Some(Answer::Yes)),
        ),
        Ask::Unsounded => base.two(
            Fraction::new(chances.hollow.ratio() * base.unsounded()),
            Told::sounded,
            Told::found_hollow,
        ),
        Ask::Doubtful(id) => base.two(
            chances.doubtful,
            |told| told.remove(id),
            |told| told.hollow(id, HollowKind::LooseSkin, Some(Length::from_millimetres(20.0))),
        ),
        Ask::HollowKind(id) | Ask::HollowDepth(id) => base.two(
            chances.grave_hollow,
            |told| told.hollow(id, HollowKind::LooseSkin, Some(Length::from_millimetres(25.0))),
            |told| told.hollow(id, HollowKind::LostSupport, None),
        ),
        Ask::SpallBars(id) => base.two(
            chances.bars,
            |told| told.bars(id, Answer::No),
            |told| told.bars(id, Answer::Yes),
        ),
        Ask::OldCoating => base.two(
            chances.hazardous_film,
            |told| told.laboratory(Answer::No),
            |told| told.laboratory(Answer::Yes),
        ),
        Ask::Deterioration => base.two(
            chances.deterioration,
            |told| told.petrography(Answer::No),
            |told| told.petrography(Answer::Yes),
        ),
        Ask::Profile => {
            let rated = base.rated();
            let chance = after(chances.rough, rated.len());
            let usual = median_rating(rated, ANY_PROFILE).unwrap_or(ProfileLevel::clamped(2));
            base.two(chance, |told| told.rated(usual), |told| told.rated(ProfileLevel::clamped(8)))
        }
        Ask::Moisture => {
            let mut told = base.two(chances.wet, |_| {}, |_| {});
            if let Some(wet) = told.get_mut(1) {
                // A coat against moisture, where the finish bears one; else the area falls out.
                match coat(survey, zone) {
                    Some(cost) => wet.besides = cost,
                    None => wet.falls_out = true,
                }
            }
            late(told)
        }
        Ask::Structure => falls_out(base.two(chances.structure, |_| {}, |_| {})),
        Ask::Locate => falls_out(base.two(chances.item_in_the_way, |_| {}, |_| {})),
        Ask::Due => return None,
    })
}

/// The worse answer only shows when the system is down.
fn late(mut told: Vec<Answered>) -> Vec<Answered> {
    if let Some(worse) = told.get_mut(1) {
        worse.shows_late = true;
    }
    told
}

/// The worse answer takes the area out of the bid.
fn falls_out(mut told: Vec<Answered>) -> Vec<Answered> {
    if let Some(worse) = told.get_mut(1) {
        worse.falls_out = true;
    }
    told
}

/// A moisture-mitigating coat over the zone, at the built-in planning price. Assumption.
fn coat(survey: &Survey, zone: &Zone) -> Option<Money> {
    let system = survey.system_of(zone)?;
    let price = tooth_measure::MoneyPerArea::from_per_square_foot(2.2);
    (!system.see_through).then(|| price * zone.outline.area())
}

struct Telling<'a> {
    survey: &'a Survey,
    zone: &'a Zone,
}

/// The chance of the worse answer once so many readings did not show it: the prior weighs as much
/// as one of them. Assumption.
fn after(prior: Fraction, read: usize) -> Fraction {
    Fraction::new(prior.ratio() / (1 + read) as f64)
}

impl Telling<'_> {
    /// How many readings of a kind the area has.
    fn read(&self, wanted: impl Fn(&Measured) -> bool) -> usize {
        self.survey.readings_of(self.zone).filter(|reading| wanted(&reading.measured)).count()
    }

    fn rated(&self) -> Vec<ProfileLevel> {
        let readings = self.survey.readings_of(self.zone);
        let rated = readings.filter_map(|reading| match reading.measured {
            Measured::ChipRating(level) => Some(level),
            _ => None,
        });
        rated.collect()
    }

    /// The share of the area that nobody sounded.
    fn unsounded(&self) -> f64 {
        let sounded = self.survey.features_of(self.zone).filter_map(|feature| match feature {
            Feature { seen: Seen::Sounded { .. }, place: Place::Patch(outline), .. } => {
                Some(outline.region())
            }
            _ => None,
        });
        let sounded = Region::union_of(&sounded.collect::<Vec<_>>());
        let zone = self.zone.outline.region();
        1.0 - sounded.intersection(&zone).area() / zone.area()
    }

    /// The better answer and the worse, with the chance of the worse.
    fn two(
        &self,
        worse: Fraction,
        good: impl Fn(&mut Told),
        bad: impl Fn(&mut Told),
    ) -> Vec<Answered> {
        let answered = |chance: Fraction, change: &dyn Fn(&mut Told)| {
            let mut told = Told { survey: self.survey.clone(), zone: self.zone.clone(), count: 0 };
            change(&mut told);
            Answered {
                chance,
                survey: told.survey,
                shows_late: false,
                falls_out: false,
                besides: Money::ZERO,
            }
        };
        vec![answered(worse.complement(), &good), answered(worse, &bad)]
    }
}

/// A survey as it would be with an answer.
struct Told {
    survey: Survey,
    zone: Zone,
    count: u32,
}

/// As many tests as any area of usual size needs.
const ENOUGH: u32 = 12;

impl Told {
    fn read(&mut self, measured: Measured, subject: Option<FeatureId>) {
        self.count += 1;
        let time = self.survey.readings.iter().map(|reading| reading.time).max();
        let Some(id) = ReadingId::new(&format!("told-{}", self.count)) else { return };
        self.survey.readings.push(Reading {
            id,
            measured,
            zone: Some(self.zone.id.clone()),
            place: None,
            subject,
            instrument: String::new(),
            time: time.unwrap_or(jiff::civil::DateTime::ZERO),
            by: if self.count.is_multiple_of(2) { "one" } else { "another" }.to_owned(),
            note: String::new(),
        });
    }

    fn without(&mut self, gone: impl Fn(&Measured) -> bool) {
        self.survey.readings.retain(|reading| !gone(&reading.measured));
    }

    fn seen(&mut self, ids: &[FeatureId], change: impl Fn(&mut Seen)) {
        let features = self.survey.features.iter_mut();
        for feature in features.filter(|feature| ids.contains(&feature.id)) {
            change(&mut feature.seen);
        }
    }

    fn drops(&mut self, seconds: f64, fizz: Fizz) {
        self.without(|m| matches!(m, Measured::WaterDrop(_)));
        for _ in 0..ENOUGH {
            self.read(Measured::WaterDrop(WorkTime::from_seconds(seconds)), None);
        }
        self.fizz(fizz);
    }

    fn fizz(&mut self, fizz: Fizz) {
        self.without(|m| matches!(m, Measured::AcidDrop(_)));
        for _ in 0..3 {
            self.read(Measured::AcidDrop(fizz), None);
        }
    }

    fn stain_depth(&mut self, id: &FeatureId, told: Length) {
        self.seen(std::slice::from_ref(id), |seen| {
            if let Seen::Stain { depth, .. } = seen {
                *depth = Some(told);
            }
        });
    }

    fn bleeds(&mut self, id: &FeatureId, answer: Answer) {
        self.read(Measured::OilBleedBack(answer), Some(id.clone()));
    }

    fn weak_depth(&mut self, id: &FeatureId, told: Length) {
        self.seen(std::slice::from_ref(id), |seen| {
            if let Seen::Surface { depth, .. } = seen {
                *depth = Some(told);
            }
        });
    }

    /// Three results at so many times the limit.
    fn pulls(&mut self, times: f64) {
        let least = self.survey.system_of(&self.zone).and_then(|s| s.least_pull_off_strength);
        let Some(least) = least else { return };
        self.without(|m| matches!(m, Measured::PullOff { .. }));
        for _ in 0..3 {
            let failure = crate::survey::FailureMode::Substrate;
            self.read(Measured::PullOff { strength: least * times, failure }, None);
        }
    }

    fn cracks(&mut self, ids: &[FeatureId], told: CrackMovement) {
        let on = jiff::civil::Date::ZERO;
        self.seen(ids, |seen| {
            if let Seen::Crack { movement, said, .. } = seen {
                *movement = told;
                *said = Some(Word { by: "told".to_owned(), on });
            }
        });
    }

    fn crack_answers(&mut self, ids: &[FeatureId], leaks: Answer, stands: Option<Answer>) {
        self.seen(ids, |seen| {
            if let Seen::Crack { leaking, displaced, .. } = seen {
                match stands {
                    Some(stands) => *displaced = stands,
                    None => *leaking = leaks,
                }
            }
        });
    }

    fn joints(&mut self, ids: &[FeatureId], works: Option<Answer>, filler: Option<Answer>) {
        self.seen(ids, |seen| {
            if let Seen::Joint { working, old_filler, .. } = seen {
                *working = works.unwrap_or(*working);
                *old_filler = filler.unwrap_or(*old_filler);
            }
        });
    }

    fn add(&mut self, name: &str, place: Place, seen: Seen) {
        if let Some(id) = FeatureId::new(name) {
            self.survey.features.push(Feature { id, place, seen, note: Said::nothing() });
        }
    }

    fn sounded(&mut self) {
        let place = Place::Patch(self.zone.outline.clone());
        self.add("told-sounded", place, Seen::Sounded { method: SoundingMethod::Chain });
    }

    /// A twentieth of the area, as a square about a place well inside.
    fn found_hollow(&mut self) {
        self.sounded();
        let side = (self.zone.outline.area().square_metres() / 20.0).sqrt() / 2.0;
        let middle = self.zone.outline.label_place();
        let corner = |sign: f64| {
            tooth_measure::Point::new(
                middle.x + Length::from_metres(side * sign),
                middle.y + Length::from_metres(side * sign),
            )
        };
        let square = tooth_measure::Outline::rectangle(corner(-1.0), corner(1.0));
        if let Ok(square) = square {
            let seen = Seen::Hollow {
                sure: Hollow::Sure,
                kind: HollowKind::LooseSkin,
                depth: Some(Length::from_millimetres(20.0)),
            };
            self.add("told-hollow", Place::Patch(square), seen);
        }
    }

    fn remove(&mut self, id: &FeatureId) {
        self.survey.features.retain(|feature| feature.id != *id);
    }

    fn hollow(&mut self, id: &FeatureId, told: HollowKind, deep: Option<Length>) {
        self.seen(std::slice::from_ref(id), |seen| {
            if let Seen::Hollow { sure, kind, depth } = seen {
                (*sure, *kind, *depth) = (Hollow::Sure, told, deep);
            }
        });
    }

    fn bars(&mut self, id: &FeatureId, told: Answer) {
        self.seen(std::slice::from_ref(id), |seen| {
            if let Seen::Spall { bars_exposed, .. } = seen {
                *bars_exposed = told;
            }
        });
    }

    fn laboratory(&mut self, told: Answer) {
        for question in [LaboratoryQuestion::Asbestos, LaboratoryQuestion::Lead] {
            let films = self.survey.features_of(&self.zone).filter(|mark| mark.is_old_film());
            let mut films: Vec<_> = films.map(|mark| Some(mark.id.clone())).collect();
            if films.is_empty() {
                films.push(None);
            }
            let answer = Measured::Laboratory(question, told, Some(LaboratoryMethod::Electron));
            for film in films.into_iter().flat_map(|film| vec![film; 3]) {
                self.read(answer, film);
            }
        }
    }

    fn petrography(&mut self, told: Answer) {
        self.read(Measured::Laboratory(LaboratoryQuestion::Deterioration, told, None), None);
    }

    fn rated(&mut self, level: ProfileLevel) {
        self.without(|m| matches!(m, Measured::ChipRating(_)));
        for _ in 0..3 {
            self.read(Measured::ChipRating(level), None);
        }
    }
}
