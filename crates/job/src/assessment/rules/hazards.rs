//! What can hurt people or the building: these gates come first, and no person can
//! overrule them in the tool.

use tooth_measure::{Certainty, Source};

use crate::assessment::finding::{FindingState, Outcome, before_work, deciding, found};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::survey::{Answer, FilmKind, LaboratoryQuestion, Seen, Support};

const STRUCTURE: Source = Source::new(
    "ACI 562: assessment of existing structures is a licensed design professional's",
    Certainty::Memory,
);

/// Suspended and stressed slabs go to an engineer.
pub(crate) fn structure(look: &Look<'_>) -> Vec<Outcome> {
    let slab = &look.survey.facts.slab;
    let mut said = Vec::new();
    if slab.post_tensioned == Answer::Yes {
        said.push(found(
            "structure",
            FindingState::Engineer,
            "The slab is post-tensioned: no cutting, milling or coring until tendons are located and an engineer approves.",
            vec!["job:slab.post_tensioned".into()],
            Source::new("public trade text on tendon safety", Certainty::Seen),
        ));
    }
    match slab.support {
        Support::Suspended => said.push(found(
            "structure",
            FindingState::Engineer,
            "The slab is suspended: load of machines, removal and a new layer are an engineer's to judge.",
            vec!["job:slab.support".into()],
            STRUCTURE,
        )),
        Support::Unknown => said.push(deciding(
            "structure",
            "what carries the slab",
            "drawings, or a look from below; suspended slabs go to an engineer",
            1,
        )),
        Support::OnGrade => {}
    }
    said
}

/// Nothing is drilled, sawn or scarified before a signed locate.
pub(crate) fn embedded_items(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: &str = "embedded_items";
    let slab = &look.survey.facts.slab;
    let unlocated: Vec<String> = look
        .features()
        .filter(|f| matches!(f.seen, Seen::Embedded { located, .. } if located != Answer::Yes))
        .map(of_feature)
        .collect();
    let suspected = slab.embedded_items != Answer::No
        || slab.post_tensioned != Answer::No
        || !unlocated.is_empty();
    if !suspected {
        return Vec::new();
    }
    if look.located() && unlocated.is_empty() {
        return vec![found(
            CODE,
            FindingState::Fine,
            "A signed locate covers this area; keep to its marks.",
            vec!["job:locate".into()],
            Source::COMMON_PRACTICE,
        )];
    }
    let mut evidence = unlocated;
    evidence.push("job:slab.embedded_items".into());
    let test = "signed locate by cover meter or radar, heating warm under a thermal camera; no drilling, coring, sawing, scarifying, milling or breaking before it, tests included";
    let what = "where tubes, conduit, tendons and bars lie";
    let gap = if look.extent.patches.is_empty() {
        before_work(CODE, what, test, 1)
    } else {
        deciding(CODE, what, test, 1)
    };
    vec![
        found(
            CODE,
            FindingState::Hold,
            "Items may lie in the slab and no signed locate covers this area: every step that cuts is blocked.",
            evidence,
            Source::COMMON_PRACTICE,
        ),
        gap,
    ]
}

/// The last year in which adhesive is presumed to hold asbestos (29 CFR 1926.1101),
/// and paint lead (40 CFR 745: before 1978).
const PRESUMED_UNTIL: i16 = 1980;

/// Presume, sample, laboratory, then touch.
pub(crate) fn old_coating(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: &str = "old_coating";
    let source = Source::new(
        "29 CFR 1926.1101: flooring and mastic to 1980 presumed to hold asbestos; 29 CFR 1926.62 and 40 CFR 745 for lead",
        Certainty::Memory,
    );
    let films: Vec<_> = look
        .features()
        .filter_map(|f| match f.seen {
            Seen::Film { kind, .. } => Some((f, kind)),
            _ => None,
        })
        .filter(|(_, kind)| {
            matches!(
                kind,
                FilmKind::Coating | FilmKind::Adhesive | FilmKind::Unknown
            )
        })
        .collect();
    let recent = look
        .survey
        .facts
        .slab
        .old_coating_year
        .is_some_and(|year| year > PRESUMED_UNTIL);
    if films.is_empty() || recent {
        return Vec::new();
    }
    let mut said = Vec::new();
    let mut evidence: Vec<String> = films.iter().map(|(f, _)| of_feature(f)).collect();
    let paint = films.iter().any(|(_, kind)| *kind != FilmKind::Adhesive);
    let questions = [LaboratoryQuestion::Asbestos, LaboratoryQuestion::Lead];
    let mut open = Vec::new();
    for question in questions
        .into_iter()
        .filter(|q| *q == LaboratoryQuestion::Asbestos || paint)
    {
        let name = if question == LaboratoryQuestion::Lead {
            "lead"
        } else {
            "asbestos"
        };
        match look.laboratory(question) {
            Some((reading, Answer::Yes)) => {
                said.push(found(
                    CODE,
                    FindingState::Engineer,
                    format!("The laboratory found {name} in the old film: licensed abatement only; nobody grinds, sands, scrapes or blasts it."),
                    vec![of_reading(reading)],
                    source,
                ));
            }
            Some((reading, Answer::No)) => evidence.push(of_reading(reading)),
            Some((_, Answer::Unknown)) | None => open.push(name),
        }
    }
    if !open.is_empty() {
        said.push(deciding(
            CODE,
            format!("whether the old film holds {}", open.join(" or ")),
            "samples taken wet by a trained person, to an accredited laboratory; nobody touches the film until the answer is here",
            3,
        ));
    } else if said.is_empty() {
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
