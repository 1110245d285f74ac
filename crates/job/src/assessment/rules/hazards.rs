//! What can hurt people or the building: these gates come first, and no person can
//! overrule them in the tool.

use tooth_measure::{Certainty, Source};

use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::survey::{
    Answer, Embedded, FilmKind, Fizz, LaboratoryQuestion, Matter, Measured, Seen, Support,
};

const STRUCTURE: Source = Source::new(
    "ACI 562: assessment of existing structures is a licensed design professional's",
    Certainty::Memory,
);

/// Suspended and stressed slabs go to an engineer.
pub(crate) fn structure(look: &Look<'_>) -> Vec<Outcome> {
    let slab = &look.survey.facts.slab;
    let mut said = Vec::new();
    let tendons: Vec<Evidence> = look
        .features()
        .filter(|f| matches!(f.seen, Seen::Embedded { item: Embedded::Tendon, .. }))
        .map(of_feature)
        .collect();
    if slab.past_damage == Answer::Yes {
        said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            "Fire, overload or impact has damaged the slab: what is left of it is an engineer's to judge.",
            vec![Evidence::Job(JobFact::PastDamage)],
            STRUCTURE,
        ));
    }
    if slab.past_damage == Answer::Unknown {
        // Not known is never better than the worst answer.
        said.push(
            deciding(
                Matter::Structure,
                "whether fire, overload or impact has damaged the slab",
                "ask the owner, and look for what such damage leaves",
                1,
            )
            .about(Ask::Structure),
        );
    }
    if slab.post_tensioned == Answer::Unknown && tendons.is_empty() && look.cutting_is_blocked() {
        said.push(
            deciding(
                Matter::Structure,
                "whether the slab is post-tensioned",
                "drawings, a stamp in the slab, round pockets along its edge, or the locate",
                1,
            )
            .about(Ask::Structure),
        );
    }
    if slab.post_tensioned != Answer::Yes && !tendons.is_empty() {
        said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            "A tendon lies in the slab: it is post-tensioned, whatever the papers say. No cutting, milling or coring until an engineer approves.",
            tendons,
            Source::new("public trade text on tendon safety", Certainty::Seen),
        ));
    }
    if slab.post_tensioned == Answer::Yes {
        said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            "The slab is post-tensioned: no cutting, milling or coring until tendons are located and an engineer approves.",
            vec![Evidence::Job(JobFact::PostTensioned)],
            Source::new("public trade text on tendon safety", Certainty::Seen),
        ));
    }
    match slab.support {
        Support::Suspended => said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            "The slab is suspended: load of machines, removal and a new layer are an engineer's to judge.",
            vec![Evidence::Job(JobFact::Support)],
            STRUCTURE,
        )),
        Support::Unknown => said.push(deciding(
            Matter::Structure,
            "what carries the slab",
            "drawings, or a look from below; suspended slabs go to an engineer",
            1,
        ).about(Ask::Structure)),
        Support::OnGrade => {}
    }
    said
}

/// Nothing is drilled, sawn or scarified before a signed locate.
pub(crate) fn embedded_items(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::EmbeddedItems;
    let open: Vec<Evidence> = look
        .features()
        .filter(|f| matches!(f.seen, Seen::Embedded { located, .. } if located != Answer::Yes))
        .map(of_feature)
        .collect();
    if !look.cutting_is_blocked() {
        return vec![found(
            CODE,
            FindingState::Fine,
            "A signed locate covers this area; keep to its marks.",
            vec![Evidence::Job(JobFact::Locate)],
            Source::COMMON_PRACTICE,
        )];
    }
    let reason = if look.located() {
        "A signed locate covers this area, yet an item in it has no known place: every step that cuts is blocked."
    } else {
        "No signed locate covers this area: every step that cuts is blocked."
    };
    let mut evidence = open;
    evidence.push(Evidence::Job(JobFact::Locate));
    evidence.push(Evidence::Job(JobFact::EmbeddedItems));
    let test = "signed locate by cover meter or radar, heating warm under a thermal camera; no drilling, coring, sawing, scarifying, milling or breaking before it, tests included";
    let what = "where tubes, conduit, tendons and bars lie";
    let gap = if look.extent.patches.is_empty() {
        before_work(CODE, what, test, 1)
    } else {
        deciding(CODE, what, test, 1)
    };
    let gap = gap.about(Ask::Locate);
    vec![found(CODE, FindingState::Hold, reason, evidence, Source::COMMON_PRACTICE), gap]
}

/// Samples of one film that must come back clean. Common practice.
const SAMPLES: u32 = 3;

/// Presume, sample, laboratory, then touch. No year in law rules lead or asbestos out: it says
/// how strongly to presume them.
pub(crate) fn old_coating(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::OldCoating;
    let source = Source::new(
        "29 CFR 1926.1101: flooring and mastic to 1980 presumed to hold asbestos; 29 CFR 1926.62 and 40 CFR 745 for lead; neither rule ends with a year",
        Certainty::Memory,
    );
    let films: Vec<_> = look
        .features()
        .filter_map(|f| match f.seen {
            Seen::Film { kind, .. } => Some((f, kind)),
            _ => None,
        })
        .collect();
    let suspect = |kind: &FilmKind| {
        matches!(kind, FilmKind::Coating | FilmKind::Adhesive | FilmKind::Unknown)
    };
    // A film that only a gauge or a drop of acid found is a film of unknown kind.
    let unseen = films.is_empty() && film_was_measured(look);
    let mut evidence: Vec<Evidence> =
        films.iter().filter(|(_, kind)| suspect(kind)).map(|(f, _)| of_feature(f)).collect();
    let any = !evidence.is_empty() || unseen;
    let paint =
        unseen || films.iter().any(|(_, kind)| suspect(kind) && *kind != FilmKind::Adhesive);
    let year = look.survey.facts.slab.oldest_coating_year;
    let limits = look.limits();
    let questions = [
        (
            LaboratoryQuestion::Asbestos,
            "asbestos",
            any,
            year.is_none_or(|year| year <= limits.asbestos_presumed_until.value),
        ),
        (
            LaboratoryQuestion::Lead,
            "lead",
            paint,
            year.is_none_or(|year| year < limits.lead_presumed_before.value),
        ),
    ];
    let mut said = Vec::new();
    let (mut open, mut asked, mut doubtful) = (Vec::new(), 0, Vec::new());
    let mut answered = false;
    for (question, name, concerned, presumed) in questions {
        let answers = look.laboratory(question);
        // One sample that holds it outweighs any that do not.
        if let Some((reading, _)) = answers.iter().find(|(_, answer)| *answer == Answer::Yes) {
            said.push(found(
                CODE,
                FindingState::Engineer,
                format!("The laboratory found {name} in the old film: licensed abatement only; nobody grinds, sands, scrapes or blasts it."),
                vec![of_reading(reading)],
                source,
            ));
            continue;
        }
        let clean = answers.iter().filter(|(_, answer)| *answer == Answer::No);
        evidence.extend(clean.clone().map(|(reading, _)| of_reading(reading)));
        let missing = SAMPLES.saturating_sub(clean.count() as u32);
        answered |= concerned && missing == 0;
        if concerned && missing > 0 {
            if presumed {
                open.push(name);
                asked = asked.max(missing);
            } else if !unseen {
                // What nobody sees is clear: no paint of those years.
                doubtful.push(name);
            }
        }
    }
    if !open.is_empty() {
        said.push(deciding(
            CODE,
            format!("whether the old film holds {}", open.join(" or ")),
            "samples taken wet by a trained person, of every kind of film, to an accredited laboratory; nobody touches the film until the answer is here",
            asked,
        ).about(Ask::OldCoating));
    }
    if !doubtful.is_empty() {
        said.push(before_work(
            CODE,
            format!(
                "whether the film of {} or later is free of {}: no year rules it out",
                year.map_or_else(|| "no known year".to_owned(), |year| year.to_string()),
                doubtful.join(" and "),
            ),
            "the product's own sheet and the invoice that shows its date, else a sample",
            1,
        ));
    }
    if said.is_empty() && answered {
        said.push(found(
            CODE,
            FindingState::Fine,
            "The laboratory found neither of what old films are presumed to hold.",
            evidence,
            source,
        ));
    }
    said
}

fn film_was_measured(look: &Look<'_>) -> bool {
    let signs = look.readings(|m| {
        matches!(m, Measured::FilmThickness(_) | Measured::AcidDrop(Fizz::None)).then_some(())
    });
    !signs.is_empty()
}
