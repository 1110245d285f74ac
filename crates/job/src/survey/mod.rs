//! What is known of the slab now: the facts of the job, its zones and their
//! systems, what was seen and where, every reading, and the forecast.

mod belonging;
mod decided;
mod feature;
mod id;
mod limits;
mod matter;
mod plausible;
mod priors;
mod reading;
mod scan;
mod slab;
mod sounding;
mod system;

pub use belonging::{ABOUT_A_SPOT, About, Astray, Belonging};
pub use decided::{Contradiction, Decision, DecisionKind};
pub use feature::{
    Contaminant, CrackMovement, Embedded, Feature, FilmCondition, FilmKind, FilmMaterial,
    GhostKind, Hollow, HollowKind, JointKind, KeptTexture, LineTreatment, Place, Reaction, Seen,
    SmallDamage, SoundingMethod, SurfaceState, Word,
};
pub use id::{FeatureId, MethodId, ReadingId, SystemId, ZoneId};
pub use limits::{Limit, Limits};
pub use matter::Matter;
pub use plausible::{Doubt, doubt};
pub use priors::{Chances, TestCosts};
pub use reading::{
    Answer, ClothWipe, DampOrDry, FailureMode, Fizz, KnifeTest, LaboratoryMethod,
    LaboratoryQuestion, Measured, Reading, RepairSound, SolventRub,
};
pub use scan::{ChipCalibration, SurfaceScan};
pub use slab::{
    Abatement, AcceptanceRules, Binding, Building, ChangeOrder, Client, Confirmed, Consent,
    Constraints, Currency, DecidedTreatment, Drainage, Dust, FilmDecided, FilmWay, JobFacts,
    Locate, MoistureDecided, MoistureWay, MoneyRules, Overrule, Power, Prepared, Presence,
    PricedAmount, PullOffAcceptance, Rates, ReleaseCondition, Setting, SignOff, SiteItem, SiteWork,
    Slab, Support, USUAL_AREA_PER_TEST, Uncertainty, Weights,
};
pub use sounding::TapSurvey;
pub use system::{
    ANY_PROFILE, Asked, Exposure, Material, PullOffRule, System, SystemClass, ThicknessFrom,
};

use jiff::civil::DateTime;
use tooth_measure::say::Said;
use tooth_measure::{Angle, Fraction, Length, Outline, Point, Speed, Temperature};

/// One part of the slab that gets one system.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Unique in the job.
    pub id: ZoneId,
    /// The name that people use on site.
    pub name: String,
    /// Its border.
    pub outline: Outline,
    /// The system chosen for it.
    pub system: SystemId,
    /// The texture that stays, where the customer keeps it: nothing that takes concrete off or
    /// roughens it comes near.
    pub kept: Option<KeptTexture>,
    /// The lot that it belongs to: areas of one lot and system are tested together, as one.
    pub lot: Option<String>,
}

/// An hour of the forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastHour {
    /// Local time at its start.
    pub time: DateTime,
    /// Air temperature.
    pub air: Temperature,
    /// Relative humidity.
    pub humidity: Fraction,
    /// Surface temperature of the slab, where somebody forecasts it; the air's
    /// temperature does not stand in for it.
    pub surface: Option<Temperature>,
    /// Wind.
    pub wind: Speed,
    /// Chance of rain.
    pub rain: Fraction,
}

/// The survey of one job.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// What and where, rates, rules.
    pub facts: JobFacts,
    /// The zones, in the plan's order. Their outlines do not overlap.
    pub zones: Vec<Zone>,
    /// What was seen on the plan.
    pub features: Vec<Feature>,
    /// The systems that zones name.
    pub systems: Vec<System>,
    /// Field tests, in the file's order.
    pub readings: Vec<Reading>,
    /// Field tests that look so unlikely that they count for nothing until a person stands by
    /// them.
    pub questioned: Vec<(Reading, Doubt)>,
    /// Recordings of taps, by name. The hollow places heard are among the features.
    pub soundings: Vec<TapSurvey>,
    /// Scans of the surface, by name.
    pub scans: Vec<SurfaceScan>,
    /// What they are compared with; none without scanned chips.
    pub chips: Option<ChipCalibration>,
    /// The hourly forecast, in time order.
    pub forecast: Vec<ForecastHour>,
    /// What people say differently and nobody has settled.
    pub clashes: Vec<Clash>,
    /// Direction of north on the plan, clockwise from the plan's y axis.
    pub north: North,
}

/// Two or more versions of one thing that nobody has settled yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// What it is about, for a person: "reading R001".
    pub about: Said,
    /// Who says what; the last is the one that the survey shows.
    pub versions: Vec<Said>,
    /// The zones that it touches; none named means all.
    pub zones: Vec<ZoneId>,
}

impl Clash {
    /// Whether it touches a zone.
    #[must_use]
    pub fn touches(&self, zone: &ZoneId) -> bool {
        self.zones.is_empty() || self.zones.contains(zone)
    }
}

/// Where north points on the plan: clockwise from up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct North(pub Angle);

impl Survey {
    /// As it was known before areas were prepared: what has been read on a prepared surface says
    /// nothing of what had to be prepared.
    #[must_use]
    pub fn before_work(&self) -> Self {
        let done = |reading: &Reading| {
            self.facts.prepared.iter().any(|prepared| {
                let here = self.zones.iter().find(|zone| zone.id == prepared.zone);
                here.is_some_and(|zone| self.is_of(reading, zone)) && reading.time >= prepared.time
            })
        };
        let mut before = self.clone();
        before.readings.retain(|reading| !done(reading));
        before
    }

    /// Puts aside the readings that are unlikely and that nobody has confirmed by name.
    #[must_use]
    pub fn with_doubts(mut self) -> Self {
        let confirmed =
            |reading: &Reading| self.facts.confirmed.iter().any(|held| held.reading == reading.id);
        let setting = self.facts.slab.setting;
        let doubted = |reading: &Reading| doubt(reading, setting).filter(|_| !confirmed(reading));
        let (doubtful, good): (Vec<Reading>, Vec<Reading>) =
            self.readings.into_iter().partition(|reading| doubted(reading).is_some());
        let doubts = doubtful.into_iter().filter_map(|reading| {
            let doubt = doubt(&reading, setting)?;
            Some((reading, doubt))
        });
        self.questioned.extend(doubts);
        self.readings = good;
        self
    }

    /// The system of a zone. Readers make sure that it exists.
    #[must_use]
    pub fn system_of(&self, zone: &Zone) -> Option<&System> {
        self.systems.iter().find(|system| system.id == zone.system)
    }

    /// The zone at a place.
    #[must_use]
    pub fn zone_at(&self, place: Point) -> Option<&Zone> {
        self.zones.iter().find(|zone| zone.outline.holds(place))
    }

    /// The readings that belong to a zone: those that name it, that lie in it, or that name a
    /// feature that does.
    pub fn readings_of<'a>(&'a self, zone: &'a Zone) -> impl Iterator<Item = &'a Reading> + Clone {
        let prepared = self.prepared_at(zone);
        self.readings.iter().filter(move |reading| {
            self.is_of(reading, zone)
                && prepared.is_none_or(|time| !self.is_superseded(reading, zone, time))
                && !self.was_on_what_is_gone(reading, zone)
        })
    }

    /// The zones that are tested together with one, itself among them, in the plan's order.
    pub fn lot_of<'a>(&'a self, zone: &'a Zone) -> impl Iterator<Item = &'a Zone> + Clone {
        self.zones.iter().filter(move |other| {
            other.id == zone.id
                || zone.lot.is_some() && other.lot == zone.lot && other.system == zone.system
        })
    }

    /// Whether somebody with a name decided that nothing is done about a matter at a mark, or at
    /// none.
    #[must_use]
    pub fn is_left(&self, zone: &ZoneId, matter: Matter, mark: Option<&FeatureId>) -> bool {
        self.facts.overrules.iter().any(|overrule| {
            overrule.zone == *zone
                && overrule.finding == matter
                && overrule.leaves()
                && (overrule.feature.is_none() || overrule.feature.as_ref() == mark)
        })
    }

    /// Who signed a condition of a release, if somebody did.
    #[must_use]
    pub fn signed_off(&self, zone: &ZoneId, condition: &ReleaseCondition) -> Option<&SignOff> {
        let mut sign_offs = self.facts.sign_offs.iter().filter(|held| held.zone == *zone);
        sign_offs.find(|held| held.condition == condition.text)
    }

    /// Conditions of releases of a zone that wait for a signature.
    #[must_use]
    pub fn unsigned(&self, zone: &ZoneId) -> usize {
        let here = self.facts.overrules.iter().filter(|overrule| overrule.zone == *zone);
        here.flat_map(|overrule| &overrule.conditions)
            .filter(|held| {
                held.binding == Binding::SignFirst && self.signed_off(zone, held).is_none()
            })
            .count()
    }

    /// The decision by which a film of a zone stays, if one was made; the latest counts, of one
    /// day the last.
    #[must_use]
    pub fn film_decided(&self, zone: &Zone, mark: &Feature) -> Option<&FilmDecided> {
        let film = matches!(mark.seen, Seen::Film { .. });
        let here = self.facts.film_decided.iter().filter(|held| film && held.zone == zone.id);
        here.filter(|held| held.features.is_empty() || held.features.contains(&mark.id))
            .max_by_key(|held| held.on)
    }

    /// What was decided about a zone's moisture, if anything; the latest counts, of one day the
    /// last.
    #[must_use]
    pub fn moisture_decided(&self, zone: &ZoneId) -> Option<&MoistureDecided> {
        let here = self.facts.moisture_decided.iter().filter(|held| held.zone == *zone);
        here.max_by_key(|held| held.on)
    }

    /// When a zone was last prepared, if it was.
    #[must_use]
    pub fn prepared_at(&self, zone: &Zone) -> Option<DateTime> {
        let prepared = self.facts.prepared.iter().filter(|held| held.zone == zone.id);
        prepared.map(|held| held.time).max()
    }

    /// Whether a reading speaks of a surface from which a film was taken away since.
    fn was_on_what_is_gone(&self, reading: &Reading, zone: &Zone) -> bool {
        reading.measured.is_of_the_surface()
            && !self.facts.abatements.is_empty()
            && self.features_of(zone).any(|mark| {
                self.abatement_of(zone, mark).is_some_and(|held| reading.time.date() < held.date)
                    && self.speaks_of(reading, mark)
            })
    }

    /// Whether a reading speaks of a surface that is no more: preparation made it new, and the
    /// new one was read in the same way.
    fn is_superseded(&self, reading: &Reading, zone: &Zone, prepared: DateTime) -> bool {
        reading.measured.is_of_the_surface()
            && reading.time < prepared
            && self.readings.iter().any(|later| {
                later.time >= prepared
                    && later.measured.kind() == reading.measured.kind()
                    && self.is_of(later, zone)
                    && (!reading.measured.is_of_its_place() || is_near(reading, later))
            })
    }

    /// The readings of a zone that were put aside, each with the reason.
    pub fn questioned_of<'a>(
        &'a self,
        zone: &'a Zone,
    ) -> impl Iterator<Item = &'a (Reading, Doubt)> + Clone {
        self.questioned.iter().filter(move |(reading, _)| self.is_of(reading, zone))
    }

    /// Whether a reading belongs to a zone: it names it, or lies in it, or names a feature that
    /// does.
    #[must_use]
    pub fn is_of(&self, reading: &Reading, zone: &Zone) -> bool {
        match (&reading.zone, reading.place, &reading.subject) {
            (Some(id), ..) => *id == zone.id,
            (None, Some(place), _) => self.zone_at(place).is_some_and(|at| at.id == zone.id),
            (None, None, Some(subject)) => self
                .features
                .iter()
                .find(|feature| feature.id == *subject)
                .is_some_and(|feature| feature.place.meets(&zone.outline)),
            (None, None, None) => false,
        }
    }

    /// The scans that lie in a zone.
    pub fn scans_of<'a>(&'a self, zone: &'a Zone) -> impl Iterator<Item = &'a SurfaceScan> + Clone {
        self.scans.iter().filter(|scan| zone.outline.holds(scan.place))
    }

    /// The features that lie in a zone, wholly or in part.
    pub fn features_of<'a>(&'a self, zone: &'a Zone) -> impl Iterator<Item = &'a Feature> + Clone {
        self.features.iter().filter(move |feature| feature.place.meets(&zone.outline))
    }

    /// The date of the newest reading: the date of a document that names none.
    #[must_use]
    pub fn newest_date(&self) -> Option<jiff::civil::Date> {
        self.readings.iter().map(|reading| reading.time.date()).max()
    }
}

/// Whether a spot was gone back to: within a metre, or nobody wrote where it was.
fn is_near(earlier: &Reading, later: &Reading) -> bool {
    match (earlier.place, later.place) {
        (Some(one), Some(other)) => one.distance(other) <= Length::from_metres(1.0),
        _ => true,
    }
}
