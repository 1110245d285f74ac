//! Readings, marks, evidence and places, as tables and sheets tell them.

use tooth_job::assessment::{Evidence, Overruled, Setting};
use tooth_job::plan::Step;
use tooth_job::survey::{
    Answer, Asked, CrackMovement, Feature, FilmCondition, Measured, Reading, Seen, Survey, System,
    Zone,
};
use tooth_measure::Length;
use tooth_measure::say::{
    Joint, Said, acidity, both, decimal, detail, film_thickness, fine, listed, percent, said, word,
};

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

/// What a kind of reading is called.
#[must_use]
pub fn kind(measured: Measured) -> Said {
    Said::listed("Measured", measured.kind())
}

/// What was measured, its value in both units.
#[must_use]
pub fn value(measured: Measured) -> Said {
    let alone = |of| said!("value", of = of);
    match measured {
        Measured::WaterDrop(time) => {
            said!("darkened-after", seconds = decimal(time.seconds(), 0))
        }
        Measured::AcidDrop(fizz) => word(fizz),
        Measured::StainDrop(took) => word(took),
        Measured::PullOff { strength, failure } => {
            said!("pulled-and-broke", strength = both(strength), failure = failure)
        }
        Measured::InSlabHumidity(share) | Measured::AirHumidity(share) => alone(percent(share)),
        Measured::MoistureEmission(rate) => alone(both(rate)),
        Measured::PlasticSheet(state) => word(state),
        Measured::SurfacePh(ph) => alone(acidity(ph)),
        Measured::ChipRating(level) => Said::Given(level.to_string()),
        Measured::SandPatch { volume, diameter } => {
            match tooth_texture::sand_patch_depth(volume, &[diameter]) {
                Some(depth) => said!("mean-texture-depth-of", depth = both(fine(depth))),
                None => said!("no-depth"),
            }
        }
        Measured::ReplicaPutty(height) | Measured::ProfileProbe(height) => {
            said!("peak-to-valley-of", height = both(fine(height)))
        }
        Measured::AirTemperature(t) | Measured::SurfaceTemperature(t) => alone(both(t)),
        Measured::CrackGauge(length)
        | Measured::Carbonation(length)
        | Measured::StraightedgeDepth(length)
        | Measured::Elevation(length) => alone(both(detail(length))),
        Measured::ScratchHardness(mohs) => said!("mohs", mohs = mohs),
        Measured::FilmThickness(thickness) => alone(both(film_thickness(thickness))),
        Measured::OilBleedBack(answer) => said!("oil-came-back", answer = answer),
        Measured::Laboratory(question, answer, method) => {
            let method = method.map_or_else(Said::nothing, |by| said!("by-method", method = by));
            said!("laboratory-says", question = question, answer = answer, method = method)
        }
        Measured::SolventRub(seen) => word(seen),
        Measured::RepairSounding(seen) => word(seen),
        Measured::DarkCloth(seen) => word(seen),
        Measured::Knife(seen) => word(seen),
        Measured::Chloride(share) => alone(percent(share)),
        Measured::ProductionRate(rate) => alone(both(rate)),
    }
}

/// A person's decision against a finding, with its terms.
#[must_use]
pub fn overruled(overruled: &Overruled) -> Said {
    let licence = overruled.licence.as_ref();
    let licence = licence.map_or_else(Said::nothing, |held| said!("licence", licence = held));
    let drawing = overruled.drawing.as_ref();
    let drawing = drawing.map_or_else(Said::nothing, |held| said!("on-drawing", drawing = held));
    let terms = if overruled.conditions.is_empty() {
        Said::nothing()
    } else {
        let terms = overruled
            .conditions
            .iter()
            .map(|condition| said!("on-term", binding = condition.binding, text = &condition.text));
        said!("on-terms", terms = listed(Joint::Semicolon, terms))
    };
    said!(
        "overruled-by",
        by = &overruled.by,
        licence = licence,
        on = &overruled.on,
        reason = &overruled.reason,
        drawing = drawing,
        terms = terms
    )
}

/// What a mark is, in a few words.
#[must_use]
pub fn mark(feature: &Feature) -> Said {
    let deep = |depth: Option<Length>| match depth {
        Some(depth) => said!("mark-so-deep", depth = both(detail(depth))),
        None => Said::nothing(),
    };
    match &feature.seen {
        Seen::Obstacle => said!("mark-obstacle"),
        Seen::Wall => said!("mark-wall"),
        Seen::Joint { kind, working, .. } => {
            let works = match working {
                Answer::Yes => said!("joint-works"),
                Answer::No => said!("joint-does-not-work"),
                Answer::Unknown => said!("joint-not-known"),
            };
            said!("mark-joint", kind = *kind, works = works)
        }
        Seen::Crack { width, movement, .. } => {
            let moves = match movement {
                CrackMovement::Dormant => said!("called-dormant"),
                CrackMovement::Active | CrackMovement::Unknown => word(*movement),
            };
            said!("mark-crack", width = both(detail(*width)), moves = moves)
        }
        Seen::PatternCracking { moist_aggregate, deposit } => {
            said!("mark-pattern-cracking", moist = *moist_aggregate, deposit = *deposit)
        }
        Seen::Settlement { offset } => said!("mark-settlement", offset = both(detail(*offset))),
        Seen::Spall { depth, .. } => said!("mark-spall", deep = deep(Some(*depth))),
        Seen::Hollow { sure, kind, depth } => {
            said!("mark-hollow", sure = *sure, kind = *kind, deep = deep(*depth))
        }
        Seen::Sounded { method } => said!("mark-sounded", method = *method),
        Seen::Film { kind, thickness, condition, .. } => {
            let thick = match thickness {
                Some(thickness) => said!("mark-so-thick", thick = both(film_thickness(*thickness))),
                None => Said::nothing(),
            };
            match condition {
                FilmCondition::Unknown | FilmCondition::Sound => {
                    said!("mark-of-kind", kind = *kind, deep = thick)
                }
                _ => said!("mark-film-in-a-state", kind = *kind, deep = thick, state = *condition),
            }
        }
        Seen::Stain { kind, depth } => said!("mark-of-kind", kind = *kind, deep = deep(*depth)),
        Seen::Surface { state, depth } => {
            said!("mark-of-kind", kind = *state, deep = deep(*depth))
        }
        Seen::LowSpot { depth } => said!("mark-low-spot", deep = deep(Some(*depth))),
        Seen::Ghost { kind, of } if of.is_empty() => said!("mark-ghost", of = *kind),
        Seen::Ghost { of, .. } => said!("mark-ghost", of = of),
        Seen::Small { kind, count } => said!("mark-small-damage", count = *count, kind = *kind),
        Seen::Embedded { item, located, cover } => {
            let cover = cover.map_or_else(Said::nothing, |cover| {
                said!("mark-cover", cover = both(detail(cover)))
            });
            said!("mark-embedded", item = *item, located = *located, cover = cover)
        }
        Seen::SamplePanel { approved_by, profile, reaction, .. } => {
            let mut told = vec![match approved_by {
                Some(signer) => said!("panel-approved-by", signer = signer),
                None => said!("panel-not-approved"),
            }];
            told.extend(profile.map(|profile| Said::Given(profile.to_string())));
            told.extend(reaction.map(|reaction| said!("panel-finish", reaction = reaction)));
            said!("mark-panel", told = listed(Joint::Comma, told))
        }
        Seen::Photo { light, .. } => said!("mark-photograph", light = light),
    }
}

/// The profile that a zone is prepared to, and who asks for it.
#[must_use]
pub fn profile_asked(zone: &Zone, system: &System) -> (Said, Said) {
    let (range, asked) = system.target_in(zone);
    match asked {
        Asked::BySheet => (Said::Given(range.to_string()), said!("data-sheet")),
        Asked::ByGuide => {
            let guide = system.profile_range().0.to_string();
            (Said::Given(guide), said!("guide-from-memory-verify"))
        }
        Asked::ByNobody => (said!("profile-as-it-is"), said!("nobody-asks-for-a-profile")),
    }
}

/// The amount of a step.
#[must_use]
pub fn amount(step: &Step) -> Said {
    if let Some(count) = step.pieces {
        return said!("pieces", count = count);
    }
    match (step.length_m, step.area_m2, step.volume_m3) {
        (Some(length), None, _) => said!("value", of = both(length)),
        (_, Some(area), Some(volume)) => {
            said!("area-and-volume", area = both(area), volume = both(volume))
        }
        (_, Some(area), None) => said!("value", of = both(area)),
        _ => Said::nothing(),
    }
}

/// The letter of the zone that a reading belongs to; a dash where none.
#[must_use]
pub fn reading_zone(survey: &Survey, reading: &Reading) -> String {
    let owns = |zone: &Zone| match (&reading.zone, reading.place) {
        (Some(id), _) => *id == zone.id,
        (None, Some(place)) => zone.outline.holds(place),
        (None, None) => false,
    };
    survey.zones.iter().position(owns).map_or_else(|| "–".to_owned(), letter)
}

/// What a finding rests on: ids of readings and marks, words for the job's own facts.
#[must_use]
pub fn evidence(of: &Evidence) -> Said {
    match of {
        Evidence::Reading(id) => Said::Given(id.to_string()),
        Evidence::Feature(id) => Said::Given(id.to_string()),
        Evidence::Scan(name) => Said::Given(name.clone()),
        Evidence::System(id) => said!("sheet-of", system = id),
        Evidence::Job(fact) => said!("fact-of-the-job", fact = *fact),
        Evidence::ChangeOrder(id) => said!("fact-of-the-job", fact = id),
    }
}

/// The limit that a finding used.
#[must_use]
pub fn setting(of: &Setting) -> Said {
    said!("limit-used", name = of.name.replace('_', " "), value = of.value.clone(), whose = of.of)
}
