//! What can hurt people or the building: these gates come first, and no person can
//! overrule them in the tool.

use tooth_measure::say::{Argument, Joint, listed, said};
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
            said!("fire-overload-or-impact-has-damaged"),
            vec![Evidence::Job(JobFact::PastDamage)],
            STRUCTURE,
        ));
    }
    if slab.past_damage == Answer::Unknown {
        // Not known is never better than the worst answer.
        said.push(
            deciding(
                Matter::Structure,
                said!("whether-fire-overload-or-impact-has"),
                said!("ask-the-owner-and-look-for-what"),
                1,
            )
            .about(Ask::Structure),
        );
    }
    if slab.post_tensioned == Answer::Unknown && tendons.is_empty() && look.cutting_is_blocked() {
        said.push(
            deciding(
                Matter::Structure,
                said!("whether-the-slab-is-post-tensioned"),
                said!("drawings-a-stamp-in-the-slab-round"),
                1,
            )
            .about(Ask::Structure),
        );
    }
    if slab.post_tensioned != Answer::Yes && !tendons.is_empty() {
        said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            said!("a-tendon-lies-in-the-slab"),
            tendons,
            Source::new("public trade text on tendon safety", Certainty::Seen),
        ));
    }
    if slab.post_tensioned == Answer::Yes {
        said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            said!("the-slab-is-post-tensioned-no-cutting"),
            vec![Evidence::Job(JobFact::PostTensioned)],
            Source::new("public trade text on tendon safety", Certainty::Seen),
        ));
    }
    match slab.support {
        Support::Suspended => said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            said!("the-slab-is-suspended-load-of-machines"),
            vec![Evidence::Job(JobFact::Support)],
            STRUCTURE,
        )),
        Support::Unknown => said.push(
            deciding(
                Matter::Structure,
                said!("what-carries-the-slab"),
                said!("drawings-or-a-look-from-below"),
                1,
            )
            .about(Ask::Structure),
        ),
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
            said!("a-signed-locate-covers-this-area-keep"),
            vec![Evidence::Job(JobFact::Locate)],
            Source::COMMON_PRACTICE,
        )];
    }
    let reason = if look.located() {
        said!("a-signed-locate-covers-this-area-yet")
    } else {
        said!("no-signed-locate-covers-this-area")
    };
    let mut evidence = open;
    evidence.push(Evidence::Job(JobFact::Locate));
    evidence.push(Evidence::Job(JobFact::EmbeddedItems));
    let test = said!("signed-locate-by-cover-meter-or-radar");
    let what = said!("where-tubes-conduit-tendons-and-bars");
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
            any,
            year.is_none_or(|year| year <= limits.asbestos_presumed_until.value),
        ),
        (
            LaboratoryQuestion::Lead,
            paint,
            year.is_none_or(|year| year < limits.lead_presumed_before.value),
        ),
    ];
    let mut said = Vec::new();
    let (mut open, mut asked, mut doubtful) = (Vec::new(), 0, Vec::new());
    let mut answered = false;
    for (question, concerned, presumed) in questions {
        let answers = look.laboratory(question);
        // One sample that holds it outweighs any that do not.
        if let Some((reading, _)) = answers.iter().find(|(_, answer)| *answer == Answer::Yes) {
            said.push(found(
                CODE,
                FindingState::Engineer,
                said!("the-laboratory-found-in-the-old-film", found = question),
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
                open.push(question);
                asked = asked.max(missing);
            } else if !unseen {
                // What nobody sees is clear: no paint of those years.
                doubtful.push(question);
            }
        }
    }
    if !open.is_empty() {
        said.push(
            deciding(
                CODE,
                said!("whether-the-old-film-holds", asked = listed(Joint::Or, open)),
                said!("samples-taken-wet-by-a-trained-person"),
                asked,
            )
            .about(Ask::OldCoating),
        );
    }
    if !doubtful.is_empty() {
        said.push(before_work(
            CODE,
            said!(
                "whether-the-film-of-or-later",
                year = year.map_or_else(
                    || Argument::from(said!("no-known-year")),
                    |year| Argument::from(year.to_string())
                ),
                free = listed(Joint::And, doubtful)
            ),
            said!("the-product-own-sheet-and-the-invoice"),
            1,
        ));
    }
    if said.is_empty() && answered {
        said.push(found(
            CODE,
            FindingState::Fine,
            said!("the-laboratory-found-neither-of-what"),
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
