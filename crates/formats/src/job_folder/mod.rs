//! The job folder: plain files that a person can read, edit and keep in version
//! control.
//!
//! `job.toml`, `plan.geojson` and `systems.toml` must be there; `readings.csv`,
//! `methods.toml`, `forecast.csv`, `photos/`, `sounding/` and
//! `texture/` may be.

mod astray;
mod begin;
mod clashes;
mod coverage;
mod described;
mod facts;
mod files;
mod methods;
mod photo;
mod plan;
mod readings;
mod reference;
mod scans;
mod soundings;
mod systems;
mod view;

use std::path::Path;

use tooth_job::extent::PatchRule;
use tooth_job::methods::{Catalogue, built_in};
use tooth_job::survey::{
    Decision, Feature, Measured, Place, Reading, Seen, Setting, Survey, TapSurvey, Zone, ZoneId,
    doubt,
};
use tooth_measure::say::{Said, decimal, said};
use tooth_measure::{Area, Point};

pub use self::begin::begun;
pub use self::described::{ThingAsked, described};
use self::files::{Files, OnDisk, Refused};
pub use self::files::{Recorded, is_evidence};
pub use self::photo::refused as refused_photo;
pub use self::plan::Shape;
pub use self::reference::reference;
pub use self::view::{Places, View, shown, view};
use crate::limits;
use crate::text::{Fault, Faults};

/// A job folder that can be worked with.
#[derive(Debug, Clone)]
pub struct JobFolder {
    /// What it says.
    pub survey: Survey,
    /// Built-in methods with the folder's own changes.
    pub catalogue: Catalogue,
    /// The rule that squares patches up.
    pub patch_rule: PatchRule,
    /// What to look at, though it was read.
    pub warnings: Vec<Fault>,
    /// Names and bytes of the files that were read, in order: for a digest.
    pub read: Vec<(String, Vec<u8>)>,
}

/// Reads a folder.
///
/// # Errors
/// Every fault of every file at once; warnings come after them.
pub fn read(path: &Path) -> Result<JobFolder, Vec<Fault>> {
    if !path.is_dir() {
        let faults = Faults::default();
        faults.refuse(
            &path.display().to_string(),
            None,
            "",
            said!("a-job-folder"),
            if path.exists() { said!("a-file") } else { said!("nothing-there") },
        );
        return Err(faults.sorted().0);
    }
    read_files(&OnDisk(path.to_owned()))
}

/// Reads the record's view of a job.
///
/// # Errors
/// Every fault of every file at once; warnings come after them.
pub fn read_recorded(files: &Recorded) -> Result<JobFolder, Vec<Fault>> {
    read_files(files)
}

fn read_files(files: &dyn Files) -> Result<JobFolder, Vec<Fault>> {
    let faults = Faults::default();
    let mut folder = Folder { files, faults: &faults, read: Vec::new() };
    let job = folder.required("job.toml");
    let plan = folder.required("plan.geojson");
    let systems = folder.required("systems.toml");
    let methods = folder.optional("methods.toml");
    let readings = folder.optional("readings.csv");
    let forecast = folder.optional("forecast.csv");
    if readings.is_none() && files.text("readings.csv").is_none() {
        faults.warn(
            "readings.csv",
            None,
            "",
            said!("the-field-tests"),
            said!("no-such-file-every-test-counts-as-missing"),
        );
    }
    let facts = job.as_deref().map(|text| facts::read(text, &faults));
    let plan = plan.as_deref().and_then(|text| plan::read(text, &faults));
    let currency = facts.as_ref().and_then(|read| read.currency.as_ref());
    let systems = systems.map(|text| systems::read(&text, currency, &faults)).unwrap_or_default();
    let catalogue = methods.map_or_else(built_in, |text| methods::read(&text, currency, &faults));
    let readings = readings
        .map(|text| readings::read(&text, plan.as_ref().map(|p| p.unit), &faults))
        .unwrap_or_default();
    let forecast = forecast.map(|text| readings::forecast(&text, &faults)).unwrap_or_default();
    let Folder { mut read, .. } = folder;
    let soundings = soundings::read(files, &faults, &mut read);
    let unit = plan.as_ref().map(|plan| plan.unit);
    let (scans, chips) = scans::read(files, unit, &faults, &mut read);
    let (reading_lines, readings): (Vec<u32>, Vec<_>) = readings.into_iter().unzip();
    if let Some(plan) = &plan {
        let whole = Whole { plan, systems: &systems, readings: &readings, faults: &faults };
        whole.zones();
        whole.features(files);
        whole.readings(&reading_lines);
        coverage::ask(plan, &faults);
        if let Some(facts) = &facts {
            whole.names(facts, &catalogue);
            whole.doubts(facts, &reading_lines);
        }
    }
    let plan_lines = plan.as_ref().map(|plan| plan.lines.clone()).unwrap_or_default();
    let patch_rule = facts.as_ref().map(|read| read.patch_rule).unwrap_or(PatchRule::PartialDepth);
    let (facts, named) = facts.map(|read| (read.facts, read.named)).unzip();
    let survey = facts.flatten().zip(plan).map(|(facts, plan)| Survey {
        facts,
        zones: plan.zones,
        features: with_heard(plan.features, &soundings),
        soundings,
        scans,
        chips,
        systems: systems.systems,
        readings,
        questioned: Vec::new(),
        forecast,
        clashes: Vec::new(),
        north: plan.north,
    });
    if let Some(survey) = &survey {
        astray::warn(survey, &plan_lines, &reading_lines, &faults);
        decisions(survey, &named.unwrap_or_default(), &faults);
    }
    let survey = survey.map(|survey| catalogue.with_coats(survey.with_doubts()));
    let (refused, warnings) = faults.sorted();
    match survey {
        Some(survey) if refused.is_empty() => {
            Ok(JobFolder { survey, catalogue, patch_rule, warnings, read })
        }
        _ => Err(refused.into_iter().chain(warnings).collect()),
    }
}

/// Warns of decisions that stand against each other, and of those dated far ahead.
fn decisions(survey: &Survey, named: &facts::Named, faults: &Faults) {
    let warn = |decision: &Decision, expected: Said, found: Said| {
        let line = named.line_of(decision);
        faults.warn("job.toml", line, decision.kind.table(), expected, found);
    };
    for held in survey.contradictions() {
        let (one, other) = (&held.earlier.said, &held.later.said);
        let found = match held.is_settled() {
            true => said!("two-decisions-the-later-counts", one = one, other = other),
            false => said!("two-decisions-and-none-counts", one = one, other = other),
        };
        warn(&held.later, said!("one-decision-on-one-thing"), found);
    }
    for (decision, last) in survey.dated_ahead() {
        let expected = said!("a-day-near-the-rest-of-the-job", last = last.to_string());
        warn(&decision, expected, decision.said.clone());
    }
}

/// What people saw, and what recordings say where nobody traced it.
fn with_heard(seen: Vec<Feature>, soundings: &[TapSurvey]) -> Vec<Feature> {
    let heard: Vec<Feature> = soundings
        .iter()
        .flat_map(|survey| survey.features(&seen))
        .filter(|feature| seen.iter().all(|other| other.id != feature.id))
        .collect();
    seen.into_iter().chain(heard).collect()
}

struct Folder<'a> {
    files: &'a dyn Files,
    faults: &'a Faults,
    read: Vec<(String, Vec<u8>)>,
}

impl Folder<'_> {
    fn required(&mut self, name: &str) -> Option<String> {
        match self.files.text(name) {
            None => {
                self.faults.refuse(
                    name,
                    None,
                    "",
                    said!("this-file-in-the-job-folder"),
                    said!("nothing"),
                );
                None
            }
            Some(read) => self.taken(name, read),
        }
    }

    /// A text file, if it is there, of bearable size, and UTF-8.
    fn optional(&mut self, name: &str) -> Option<String> {
        let read = self.files.text(name)?;
        self.taken(name, read)
    }

    fn taken(&mut self, name: &str, read: Result<Vec<u8>, Refused>) -> Option<String> {
        let bytes = match read {
            Ok(bytes) => bytes,
            Err((expected, found)) => {
                self.faults.refuse(name, None, "", expected, found);
                return None;
            }
        };
        match String::from_utf8(bytes) {
            Ok(text) => {
                self.read.push((name.to_owned(), text.clone().into_bytes()));
                Some(text)
            }
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let before = error.as_bytes().get(..at).unwrap_or_default();
                let line = before.iter().filter(|byte| **byte == b'\n').count() as u32 + 1;
                let byte = error.as_bytes().get(at).copied().unwrap_or_default();
                self.faults.refuse(
                    name,
                    Some(line),
                    "",
                    said!("text-in-utf-8"),
                    said!("the-byte", byte = format!("{byte:#04x}")),
                );
                None
            }
        }
    }
}

/// Zones that share more than this overlap; less is the drawing's rounding.
const SLIVER: Area = Area::from_square_millimetres(10_000.0);

/// What only the whole folder can tell: names that point nowhere, overlaps, places
/// outside.
struct Whole<'a> {
    plan: &'a plan::Plan,
    systems: &'a systems::Systems,
    readings: &'a [Reading],
    faults: &'a Faults,
}

const PLAN: &str = "plan.geojson";
const READINGS: &str = "readings.csv";

impl Whole<'_> {
    fn line(&self, id: &str) -> Option<u32> {
        self.plan.lines.of(id)
    }

    fn zones(&self) {
        for (at, zone) in self.plan.zones.iter().enumerate() {
            let refuse = |field: &str, expected: Said, found: Said| {
                self.faults.refuse(
                    PLAN,
                    self.line(zone.id.as_str()),
                    &format!("{}.{field}", zone.id),
                    expected,
                    found,
                );
            };
            // A system that could not be read has a fault of its own already.
            if self.systems.read && !self.systems.named.contains(zone.system.as_str()) {
                let known: Vec<&str> = self.systems.named.iter().map(String::as_str).collect();
                refuse(
                    "system",
                    said!("a-system-of-systems-toml", known = known.join(", ")),
                    format!("`{}`", zone.system).into(),
                );
            }
            if self.free_area(zone) < SLIVER {
                refuse(
                    "geometry",
                    said!("an-area-that-obstacles-leave-free"),
                    said!("a-zone-covered-by-obstacles"),
                );
            }
            for other in self.plan.zones.iter().take(at) {
                let shared = zone.outline.shared_area(&other.outline);
                if shared > SLIVER {
                    refuse(
                        "geometry",
                        said!("no-overlap-with-zone", zone = other.id.to_string()),
                        said!("square-metres-shared", area = decimal(shared.square_metres(), 3)),
                    );
                }
            }
        }
    }

    fn free_area(&self, zone: &Zone) -> Area {
        let mut free = zone.outline.region();
        for feature in self.plan.features.iter().filter(|f| f.seen == Seen::Obstacle) {
            if let Place::Patch(outline) = &feature.place {
                free = free.difference(&outline.region());
            }
        }
        free.area()
    }

    /// Whether the plan names it, even where its outline could not be read.
    fn knows(&self, id: &ZoneId) -> bool {
        self.line(id.as_str()).is_some()
    }

    fn names(&self, facts: &facts::FactsRead, catalogue: &Catalogue) {
        for (line, field, zone) in facts.named.zones.iter().filter(|(_, _, zone)| !self.knows(zone))
        {
            self.faults.refuse(
                "job.toml",
                Some(*line),
                field,
                said!("a-zone-of-the-plan"),
                format!("`{zone}`"),
            );
        }
        for named in &facts.named.features {
            let expected = match &named.must_be {
                facts::MustBe::FilmOf(Some(zone)) => {
                    said!("a-film-of-this-zone", zone = zone.to_string())
                }
                facts::MustBe::FilmOf(None) => said!("a-film"),
                facts::MustBe::CrackOrJoint => said!("a-crack-or-joint-of-the-plan"),
                facts::MustBe::Obstacle => said!("an-obstacle-of-the-plan-the-drain"),
                facts::MustBe::Anything => said!("a-feature-of-the-plan"),
            };
            let id = named.feature.as_str();
            let known = self.line(id).is_some()
                && !self.plan.zones.iter().any(|zone| zone.id.as_str() == id);
            let found = self.plan.features.iter().find(|feature| feature.id == named.feature);
            let wrong = found.filter(|feature| match &named.must_be {
                facts::MustBe::FilmOf(zone) => {
                    let mut zones = self.plan.zones.iter();
                    let zone = zone.as_ref().and_then(|id| zones.find(|zone| zone.id == *id));
                    let here = zone.is_none_or(|zone| feature.place.meets(&zone.outline));
                    !here || !matches!(feature.seen, Seen::Film { .. })
                }
                facts::MustBe::CrackOrJoint => {
                    !matches!(feature.seen, Seen::Crack { .. } | Seen::Joint { .. })
                }
                facts::MustBe::Obstacle => feature.seen != Seen::Obstacle,
                facts::MustBe::Anything => false,
            });
            if !known || wrong.is_some() {
                let name = named.feature.to_string();
                let found = match wrong {
                    Some(Feature { seen: Seen::Film { .. }, .. }) => {
                        said!("a-film-of-another-zone", name = name)
                    }
                    Some(other) => {
                        said!("named-of-the-kind", name = name, kind = other.seen.kind())
                    }
                    None => format!("`{name}`").into(),
                };
                self.faults.refuse("job.toml", Some(named.line), &named.field, expected, found);
            }
        }
        for feature in &self.plan.features {
            if let Seen::SamplePanel { method: Some(method), .. } = &feature.seen
                && catalogue.method(method.as_str()).is_none()
            {
                self.faults.refuse(
                    PLAN,
                    self.line(feature.id.as_str()),
                    &format!("{}.method", feature.id),
                    said!("a-method-of-the-catalogue"),
                    format!("`{method}`"),
                );
            }
        }
        for reading in self.readings {
            let timed = matches!(reading.measured, Measured::ProductionRate(_));
            let method = catalogue.method(&reading.instrument);
            if timed && method.and_then(|method| method.surface()).is_none() {
                self.faults.refuse(
                    READINGS,
                    None,
                    "instrument",
                    said!("a-method-of-the-catalogue-that-works-on-surfaces"),
                    said!(
                        "at-reading",
                        name = &reading.instrument,
                        reading = reading.id.to_string()
                    ),
                );
            }
        }
        let (line, owned) = &facts.machines_owned;
        for machine in owned.iter().filter(|id| catalogue.machine(id).is_none()) {
            let known: Vec<&str> = catalogue.machines.iter().map(|m| m.id.as_str()).collect();
            self.faults.refuse(
                "job.toml",
                Some(*line),
                "machines_owned",
                said!("machines-of-the-catalogue", known = known.join(", ")),
                format!("`{machine}`"),
            );
        }
    }

    /// Readings that are put aside until a person stands by them.
    fn doubts(&self, facts: &facts::FactsRead, lines: &[u32]) {
        for (line, field, reading) in &facts.named.readings {
            if !self.readings.iter().any(|known| known.id == *reading) {
                self.faults.refuse(
                    "job.toml",
                    Some(*line),
                    field,
                    said!("a-reading-of-readings-csv"),
                    format!("`{reading}`"),
                );
            }
        }
        let confirmed =
            |reading: &Reading| facts.named.readings.iter().any(|(.., known)| *known == reading.id);
        for (reading, line) in self.readings.iter().zip(lines) {
            let setting = facts.facts.as_ref().map_or(Setting::Outdoor, |facts| facts.slab.setting);
            let Some(doubt) = doubt(reading, setting).filter(|_| !confirmed(reading)) else {
                continue;
            };
            let slip = match doubt.slip {
                Some(slip) => said!("mixed-up", slip = slip),
                None => Said::nothing(),
            };
            self.faults.warn(
                READINGS,
                Some(*line),
                &format!("{}.value", reading.id),
                said!("usual-or-confirmed", low = doubt.usual.0, high = doubt.usual.1),
                said!("read-and-slip", value = doubt.value, slip = slip),
            );
        }
    }

    fn features(&self, files: &dyn Files) {
        let mut bytes = 0;
        for feature in &self.plan.features {
            let inside = self.plan.zones.iter().any(|zone| feature.place.meets(&zone.outline));
            let line = self.line(feature.id.as_str());
            if !inside && !matches!(feature.seen, Seen::Wall | Seen::Obstacle) {
                let field = format!("{}.geometry", feature.id);
                self.faults.warn(
                    PLAN,
                    line,
                    &field,
                    said!("a-place-in-a-zone"),
                    said!("a-place-outside-all-zones"),
                );
            }
            let Seen::Photo { file, .. } = &feature.seen else { continue };
            match files.photo(file) {
                Ok(size) => bytes += size,
                Err((expected, found)) => {
                    self.faults.refuse(
                        PLAN,
                        line,
                        &format!("{}.file", feature.id),
                        expected,
                        found,
                    );
                }
            }
        }
        if bytes > limits::PHOTOS_BYTES {
            let most =
                said!("at-most-mib-of-photographs", most = limits::PHOTOS_BYTES / 1024 / 1024);
            self.faults.refuse(PLAN, None, "", most, said!("mib", size = bytes / 1024 / 1024));
        }
    }

    fn zone_at(&self, place: Point) -> Option<&Zone> {
        self.plan.zones.iter().find(|zone| zone.outline.holds(place))
    }

    fn readings(&self, lines: &[u32]) {
        for (reading, line) in self.readings.iter().zip(lines) {
            let field = |name: &str| format!("{}.{name}", reading.id);
            let refuse = |name: &str, expected: Said, found: Said| {
                self.faults.refuse(READINGS, Some(*line), &field(name), expected, found);
            };
            let warn = |name: &str, expected: Said, found: Said| {
                self.faults.warn(READINGS, Some(*line), &field(name), expected, found);
            };
            if let Some(zone) = reading.zone.as_ref().filter(|zone| !self.knows(zone)) {
                refuse("zone", said!("a-zone-of-the-plan"), format!("`{zone}`").into());
            }
            if let Some(subject) = &reading.subject {
                let area = self.plan.zones.iter().any(|zone| zone.id.as_str() == subject.as_str());
                if area {
                    let expected = said!("a-mark-an-area-is-named-under-zone");
                    refuse("subject", expected, said!("the-area", subject = subject));
                } else if self.line(subject.as_str()).is_none() {
                    refuse(
                        "subject",
                        said!("a-feature-of-the-plan"),
                        format!("`{subject}`").into(),
                    );
                }
            }
            match (&reading.zone, reading.place.map(|place| self.zone_at(place))) {
                (Some(named), Some(Some(at))) if at.id != *named && self.knows(named) => {
                    warn(
                        "zone",
                        said!("zone-where-it-lies", zone = at.id.to_string()),
                        format!("`{named}`").into(),
                    );
                }
                (_, Some(None)) => {
                    warn("x", said!("a-place-in-a-zone"), said!("a-place-outside-all-zones"))
                }
                _ => {}
            }
        }
    }
}

impl JobFolder {
    /// The photographs that the plan names, in the plan's order: files in `photos/`.
    pub fn photos(&self) -> impl Iterator<Item = &str> {
        self.survey.features.iter().filter_map(|feature| match &feature.seen {
            Seen::Photo { file, .. } => Some(file.as_str()),
            _ => None,
        })
    }
}
