//! Readings, places and certainties in words, for tables of documents.

use tooth_job::assessment::{Evidence, Setting};
use tooth_job::survey::{Answer, CrackMovement, Feature, Measured, Reading, Seen, Survey, Zone};
use tooth_measure::choice::Choice as _;
use tooth_measure::show::Show as _;
use tooth_measure::{Length, UnitSystem};

/// The letter of a zone on plans and cards: A, B, … Z, AA, AB …
#[must_use]
pub fn letter(index: usize) -> String {
    let mut index = index;
    let mut letters = String::new();
    loop {
        letters.insert(0, char::from(b'A' + (index % 26) as u8));
        if index < 26 {
            return letters;
        }
        index = index / 26 - 1;
    }
}

/// What was measured, its value in both units.
#[must_use]
pub fn reading(measured: Measured, units: UnitSystem) -> (&'static str, String) {
    match measured {
        Measured::WaterDrop(time) => {
            ("water drop", format!("darkened after {:.0} s", time.seconds()))
        }
        Measured::AcidDrop(fizz) => ("acid drop", fizz.words().to_owned()),
        Measured::PullOff { strength, failure } => {
            ("pull-off", format!("{}, broke {}", strength.show_both(units), failure_words(failure)))
        }
        Measured::InSlabHumidity(share) => ("in-slab humidity", share.show_percent()),
        Measured::MoistureEmission(rate) => ("moisture emission", rate.show_both(units)),
        Measured::PlasticSheet(state) => ("plastic sheet", state.words().to_owned()),
        Measured::SurfacePh(ph) => ("surface pH", format!("pH {}", ph.ph())),
        Measured::ChipRating(level) => ("chip rating", level.to_string()),
        Measured::SandPatch { volume, diameter } => (
            "sand patch",
            match tooth_texture::sand_patch_depth(volume, &[diameter]) {
                Some(depth) => format!("mean texture depth {}", depth.show_fine_both(units)),
                None => "no depth".to_owned(),
            },
        ),
        Measured::ReplicaPutty(height) => {
            ("replica putty", format!("peak to valley {}", height.show_fine_both(units)))
        }
        Measured::ProfileProbe(height) => {
            ("profile probe", format!("peak to valley {}", height.show_fine_both(units)))
        }
        Measured::AirTemperature(t) => ("air temperature", t.show_both(units)),
        Measured::AirHumidity(share) => ("air humidity", share.show_percent()),
        Measured::SurfaceTemperature(t) => ("surface temperature", t.show_both(units)),
        Measured::CrackGauge(width) => ("crack gauge", width.show_detail_both(units)),
        Measured::ScratchHardness(mohs) => ("scratch hardness", format!("Mohs {mohs}")),
        Measured::FilmThickness(thickness) => ("film thickness", thickness.show_film_both(units)),
        Measured::OilBleedBack(answer) => {
            ("oil after 24 h", format!("came back: {}", answer.words()))
        }
        Measured::Laboratory(question, answer) => {
            ("laboratory", format!("{}: {}", question.words(), answer.words()))
        }
        Measured::Carbonation(depth) => ("carbonation", depth.show_detail_both(units)),
        Measured::SolventRub(seen) => ("solvent rub", seen.words().to_owned()),
        Measured::DarkCloth(seen) => ("dark cloth", seen.words().to_owned()),
        Measured::Knife(seen) => ("knife", seen.words().to_owned()),
        Measured::Chloride(share) => ("chloride", share.show_percent()),
        Measured::StraightedgeDepth(depth) => {
            ("below a straightedge", depth.show_detail_both(units))
        }
        Measured::Elevation(height) => ("height", height.show_detail_both(units)),
        Measured::ProductionRate(rate) => ("rate of work", rate.show_both(units)),
    }
}

fn failure_words(mode: tooth_job::survey::FailureMode) -> &'static str {
    mode.words()
}

/// What a feature is, in a few words.
#[must_use]
pub fn feature(feature: &Feature, units: UnitSystem) -> String {
    let deep = |depth: Option<Length>| {
        depth.map_or_else(String::new, |d| format!(", {} deep", d.show_detail_both(units)))
    };
    match &feature.seen {
        Seen::Obstacle => "obstacle".to_owned(),
        Seen::Wall => "wall".to_owned(),
        Seen::Joint { kind, working, .. } => format!(
            "{}, {}",
            kind.words(),
            match working {
                Answer::Yes => "works",
                Answer::No => "does not work any more",
                Answer::Unknown => "not known whether it works",
            }
        ),
        Seen::Crack { width, movement, .. } => {
            format!(
                "crack, {}, {}",
                width.show_detail_both(units),
                if *movement == CrackMovement::Dormant {
                    "called dormant"
                } else {
                    movement.words()
                }
            )
        }
        Seen::PatternCracking { moist_aggregate, deposit } => {
            format!(
                "pattern cracking; moist aggregate: {}, deposit: {}",
                moist_aggregate.words(),
                deposit.words()
            )
        }
        Seen::Settlement { offset } => format!("settlement, {}", offset.show_detail_both(units)),
        Seen::Spall { depth, .. } => format!("spall{}", deep(Some(*depth))),
        Seen::Hollow { sure, kind, depth } => {
            format!("{}: {}{}", sure.words(), kind.words(), deep(*depth))
        }
        Seen::Sounded { method } => format!("sounded: {}", method.words()),
        Seen::Film { kind, thickness } => {
            let thick =
                thickness.map_or_else(String::new, |t| format!(", {}", t.show_film_both(units)));
            format!("{}{thick}", kind.words())
        }
        Seen::Stain { kind, depth } => format!("{}{}", kind.words(), deep(*depth)),
        Seen::Surface { state, depth } => format!("{}{}", state.words(), deep(*depth)),
        Seen::LowSpot { depth } => format!("low spot{}", deep(Some(*depth))),
        Seen::Ghost { of } => format!("ghost: {of}"),
        Seen::Embedded { item, located } => {
            format!("{}, located: {}", item.words(), located.words())
        }
        Seen::SamplePanel { approved_by, profile, reaction, .. } => {
            let mut said = vec![match approved_by {
                Some(signer) => format!("sample panel, approved by {signer}"),
                None => "sample panel, not approved yet".to_owned(),
            }];
            said.extend(profile.map(|profile| profile.to_string()));
            said.extend(reaction.map(|reaction| format!("the finish {}", reaction.words())));
            said.join(", ")
        }
        Seen::Photo { light, .. } => format!("photograph, {light}"),
    }
}

/// The letter of the zone that a reading belongs to; a dash where none.
pub(crate) fn reading_zone(survey: &Survey, reading: &Reading) -> String {
    let owns = |zone: &Zone| match (&reading.zone, reading.place) {
        (Some(id), _) => *id == zone.id,
        (None, Some(place)) => zone.outline.holds(place),
        (None, None) => false,
    };
    survey.zones.iter().position(owns).map_or_else(|| "–".to_owned(), letter)
}

/// A place on the plan in the person's units.
pub(crate) fn place(reading: &Reading, units: UnitSystem) -> String {
    let Some(point) = reading.place else {
        return "–".to_owned();
    };
    match units {
        UnitSystem::Si => format!("{:.2}, {:.2} m", point.x.metres(), point.y.metres()),
        UnitSystem::UsCustomary => format!("{:.1}, {:.1} ft", point.x.feet(), point.y.feet()),
    }
}

/// What a finding rests on: ids of readings and features, words for the job's own facts.
pub(crate) fn evidence(of: &Evidence) -> String {
    match of {
        Evidence::Reading(id) => id.to_string(),
        Evidence::Feature(id) => id.to_string(),
        Evidence::Scan(name) => name.clone(),
        Evidence::System(id) => format!("sheet of {id}"),
        Evidence::Job(fact) => format!("the job: {}", fact.words()),
        Evidence::ChangeOrder(id) => format!("the job: {id}"),
    }
}

/// The limit that a finding used.
pub(crate) fn setting(of: &Setting) -> String {
    format!("{}: {}, {}", of.name.replace('_', " "), of.value, of.of.words())
}

pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
