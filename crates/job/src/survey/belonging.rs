//! Which area and mark a reading speaks of: one answer for rules, plan, documents, page and
//! `check`.
//!
//! A reading belongs to the area that it names, else to the one that it lies in, else to those of
//! the mark that it names. A kind that is about a mark (a crack's gauge, a look at oil) speaks of
//! the mark that it names; else of those of that kind at its place; else, where it names an area
//! alone, of the only one in it. What belongs to nothing is told with the reason.

use tooth_measure::Length;

use super::{
    Abatement, Answer, Contaminant, Feature, LaboratoryQuestion, Measured, Place, Reading, Seen,
    Survey, Zone,
};

/// A reading at a spot speaks of a line or spot this near to it. Assumption.
pub const ABOUT_A_SPOT: Length = Length::from_millimetres(250.0);

/// What a kind of reading is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// The area, or what it stands on.
    Area,
    /// A crack.
    Crack,
    /// Oil in the slab.
    Oil,
    /// A place that holds water.
    LowSpot,
    /// A place that is repaired.
    Repair,
    /// A film.
    Film,
    /// A work of the firm, wherever it was.
    Work,
    /// The surface, as a figure that is kept and decides nothing.
    Record,
}

impl Measured {
    /// What the kind is about.
    #[must_use]
    pub fn about(self) -> About {
        match self {
            Self::CrackGauge(_) => About::Crack,
            Self::OilBleedBack(_) => About::Oil,
            Self::StraightedgeDepth(_) => About::LowSpot,
            Self::RepairSounding(_) => About::Repair,
            Self::FilmThickness(_) => About::Film,
            Self::ProductionRate(_) => About::Work,
            Self::ReplicaPutty(_) | Self::ProfileProbe(_) => About::Record,
            Self::WaterDrop(_)
            | Self::AcidDrop(_)
            | Self::StainDrop(_)
            | Self::PullOff { .. }
            | Self::InSlabHumidity(_)
            | Self::MoistureEmission(_)
            | Self::PlasticSheet(_)
            | Self::SurfacePh(_)
            | Self::ChipRating(_)
            | Self::SandPatch { .. }
            | Self::AirTemperature(_)
            | Self::AirHumidity(_)
            | Self::SurfaceTemperature(_)
            | Self::ScratchHardness(_)
            | Self::Laboratory(..)
            | Self::Carbonation(_)
            | Self::SolventRub(_)
            | Self::Knife(_)
            | Self::DarkCloth(_)
            | Self::Chloride(_)
            | Self::Elevation(_) => About::Area,
        }
    }
}

impl About {
    /// Whether a mark is of the kind that readings of this kind are about.
    #[must_use]
    pub fn is_about(self, seen: &Seen) -> bool {
        match self {
            Self::Crack => matches!(seen, Seen::Crack { .. }),
            Self::Oil => matches!(seen, Seen::Stain { kind: Contaminant::Oil, .. }),
            Self::LowSpot => matches!(seen, Seen::LowSpot { .. }),
            Self::Repair => matches!(seen, Seen::Hollow { .. } | Seen::Spall { .. }),
            Self::Film => matches!(seen, Seen::Film { .. }),
            Self::Area | Self::Work | Self::Record => false,
        }
    }

    /// Whether a reading of an area alone speaks of all its marks of the kind: somebody looked
    /// at the oil, or gauged the film, of the area. A gauge stands on one crack.
    const fn of_all(self) -> bool {
        matches!(self, Self::Oil | Self::Film | Self::Repair)
    }
}

/// Why a reading counts for nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Astray {
    /// It names no area, no place and no mark.
    NoArea,
    /// It lies outside all areas.
    OutsideAreas,
    /// The mark that it names lies outside all areas.
    MarkOutsideAreas,
    /// It is about a mark of a kind of which none is there.
    NoSuchMark(About),
    /// It names a mark of another kind than it is about.
    OtherMark(About),
    /// It is about one of several marks and does not say which.
    WhichMark(About),
    /// No rule weighs its kind: it is kept and printed.
    NotWeighed,
}

/// What a reading speaks of.
#[derive(Debug, Clone, PartialEq)]
pub struct Belonging<'a> {
    /// The areas that it counts for; more than one where its mark lies in more.
    pub zones: Vec<&'a Zone>,
    /// The marks that it speaks of; none where it is about the area.
    pub marks: Vec<&'a Feature>,
}

impl Survey {
    /// What a reading speaks of, or why it counts for nothing.
    ///
    /// # Errors
    ///
    /// The reason why it counts for nothing.
    pub fn belonging(&self, reading: &Reading) -> Result<Belonging<'_>, Astray> {
        let about = reading.measured.about();
        let zones: Vec<&Zone> =
            self.zones.iter().filter(|zone| self.is_of(reading, zone)).collect();
        match about {
            About::Work => return Ok(Belonging { zones, marks: Vec::new() }),
            About::Record => return Err(Astray::NotWeighed),
            _ => {}
        }
        if zones.is_empty() {
            return Err(match (&reading.zone, reading.place, &reading.subject) {
                (None, None, None) => Astray::NoArea,
                (None, None, Some(_)) => Astray::MarkOutsideAreas,
                _ => Astray::OutsideAreas,
            });
        }
        let marks: Vec<&Feature> =
            self.features.iter().filter(|mark| self.speaks_of(reading, mark)).collect();
        // A sample of one of several films says which, or says nothing of any.
        let sampled = matches!(
            reading.measured,
            Measured::Laboratory(LaboratoryQuestion::Asbestos | LaboratoryQuestion::Lead, answer, _)
                if answer != Answer::Yes
        );
        let films = |zone: &Zone| {
            self.marks_in(zone, About::Film).filter(|mark| mark.is_old_film()).count()
        };
        if sampled
            && marks.is_empty()
            && reading.place.is_none()
            && zones.iter().any(|zone| films(zone) > 1)
        {
            return Err(Astray::WhichMark(About::Film));
        }
        // A film may be gauged that nobody drew: the rules then take the area as coated.
        if marks.is_empty() && !matches!(about, About::Area | About::Film) {
            return Err(self.without_mark(reading, about, &zones));
        }
        Ok(Belonging { zones, marks })
    }

    fn without_mark(&self, reading: &Reading, about: About, zones: &[&Zone]) -> Astray {
        if reading.subject.is_some() {
            return Astray::OtherMark(about);
        }
        let several = zones.iter().any(|zone| self.marks_in(zone, about).count() > 1);
        if reading.place.is_none() && several {
            Astray::WhichMark(about)
        } else {
            Astray::NoSuchMark(about)
        }
    }

    fn marks_in<'a>(&'a self, zone: &'a Zone, about: About) -> impl Iterator<Item = &'a Feature> {
        let marks = self.features.iter().filter(move |mark| about.is_about(&mark.seen));
        marks.filter(move |mark| mark.place.meets(&zone.outline))
    }

    /// Whether a reading speaks of a mark: it names it; or, naming none, is taken at it; or is
    /// about a mark of its kind and names an area in which there is no other.
    #[must_use]
    pub fn speaks_of(&self, reading: &Reading, mark: &Feature) -> bool {
        let about = reading.measured.about();
        let asks_for_a_mark = !matches!(about, About::Area | About::Work | About::Record);
        if asks_for_a_mark && !about.is_about(&mark.seen) {
            return false;
        }
        match (&reading.subject, reading.place, &reading.zone) {
            (Some(subject), ..) => *subject == mark.id,
            (None, Some(at), _) => match &mark.place {
                Place::Patch(outline) => outline.holds(at),
                // What is about the area stands beside a crack or spot, not on it.
                Place::Line(path) => asks_for_a_mark && path.distance(at) <= ABOUT_A_SPOT,
                Place::Spot(spot) => asks_for_a_mark && spot.distance(at) <= ABOUT_A_SPOT,
            },
            (None, None, Some(named)) if asks_for_a_mark => {
                self.zones.iter().find(|zone| zone.id == *named).is_some_and(|zone| {
                    let only = || self.marks_in(zone, about).all(|other| other.id == mark.id);
                    mark.place.meets(&zone.outline) && (about.of_all() || only())
                })
            }
            (None, None, _) => false,
        }
    }

    /// By which abatement a film of a zone is gone, if it is.
    #[must_use]
    pub fn abatement_of(&self, zone: &Zone, mark: &Feature) -> Option<&Abatement> {
        let film = matches!(mark.seen, Seen::Film { .. });
        let mut here = self.facts.abatements.iter().filter(|held| held.zone == zone.id);
        here.find(|held| film && (held.features.is_empty() || held.features.contains(&mark.id)))
    }

    /// The readings that speak of a mark.
    pub fn readings_about<'a>(
        &'a self,
        mark: &'a Feature,
    ) -> impl Iterator<Item = &'a Reading> + Clone {
        self.readings.iter().filter(move |reading| self.speaks_of(reading, mark))
    }
}
