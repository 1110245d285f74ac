//! What can hurt people or the building: these gates come first, and no person can
//! overrule them in the tool.

use tooth_measure::say::{Argument, Joint, Said, listed, names, said};
use tooth_measure::{Certainty, Source};

use crate::assessment::drops::BetweenMarks;
use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_feature, of_reading};
use crate::survey::{
    Answer, Building, Embedded, Feature, FilmKind, Fizz, LaboratoryMethod, LaboratoryQuestion,
    Matter, Measured, Reading, Seen, Support,
};

const STRUCTURE: Source =
    Source::new("title-aci-562-assessment-of-existing-structures", Certainty::Memory);

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
            Source::new("title-public-trade-text-on-tendon-safety", Certainty::Seen),
        ));
    }
    if slab.post_tensioned == Answer::Yes {
        said.push(found(
            Matter::Structure,
            FindingState::Engineer,
            said!("the-slab-is-post-tensioned-no-cutting"),
            vec![Evidence::Job(JobFact::PostTensioned)],
            Source::new("title-public-trade-text-on-tendon-safety", Certainty::Seen),
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

/// Samples of one material that must come back clean. Common practice.
const SAMPLES: u32 = 3;

/// A film, or films of one name, that a laboratory answers for together.
struct Material<'a> {
    marks: Vec<&'a Feature>,
    kind: FilmKind,
    black: bool,
}

impl<'a> Material<'a> {
    /// What of a zone may hold lead or asbestos and was not taken away, each material once.
    fn of(look: &Look<'a>) -> Vec<Self> {
        let mut materials: Vec<(Option<&str>, Self)> = Vec::new();
        for mark in look.features() {
            let Seen::Film { kind, material, .. } = &mark.seen else { continue };
            if !mark.is_old_film() {
                continue;
            }
            let name = material.name.as_deref();
            let black = material.black == Answer::Yes;
            match materials.iter_mut().find(|(held, _)| held.is_some() && *held == name) {
                Some((_, held)) => {
                    held.marks.push(mark);
                    held.black |= black;
                }
                None => materials.push((name, Self { marks: vec![mark], kind: *kind, black })),
            }
        }
        materials.into_iter().map(|(_, material)| material).collect()
    }

    /// The answers that count for it: of samples that name it or were taken on it, wherever a
    /// film of its name lies; one that names the area alone counts where nothing else is there.
    fn answers(
        &self,
        look: &Look<'a>,
        question: LaboratoryQuestion,
        only: bool,
    ) -> Vec<Sample<'a>> {
        let name = |mark: &Feature| match &mark.seen {
            Seen::Film { material, .. } => material.name.clone(),
            _ => None,
        };
        let called = self.marks.first().and_then(|mark| name(mark));
        let same = |mark: &&Feature| {
            self.marks.iter().any(|own| own.id == mark.id)
                || called.is_some() && name(mark) == called
        };
        let marks: Vec<&Feature> = look.survey.features.iter().filter(same).collect();
        look.survey
            .readings
            .iter()
            .filter_map(|reading| match reading.measured {
                Measured::Laboratory(asked, answer, method) if asked == question => {
                    Some(Sample { reading, answer, method })
                }
                _ => None,
            })
            .filter(|sample| {
                let of_area = sample.reading.subject.is_none() && sample.reading.place.is_none();
                marks.iter().any(|mark| look.survey.speaks_of(sample.reading, mark))
                    || only && of_area && look.survey.is_of(sample.reading, look.zone)
            })
            .collect()
    }

    /// Which of the two questions it raises.
    fn raises(&self, question: LaboratoryQuestion) -> bool {
        question == LaboratoryQuestion::Asbestos || self.kind != FilmKind::Adhesive
    }

    fn evidence(&self) -> Vec<Evidence> {
        self.marks.iter().map(|mark| of_feature(mark)).collect()
    }

    fn name(&self) -> Argument {
        names(self.marks.iter().map(|mark| &mark.id))
    }
}

/// A laboratory's answer.
struct Sample<'a> {
    reading: &'a Reading,
    answer: Answer,
    method: Option<LaboratoryMethod>,
}

const OLD_COATING: Matter = Matter::OldCoating;
const OLD_COATING_RULES: Source =
    Source::new("title-29-cfr-1926-1101-flooring-and-mastic-to-1980", Certainty::Memory);

/// Presume, sample, laboratory, then touch: each material by its own samples. No year in law
/// rules lead or asbestos out: it says how strongly to presume them.
pub(crate) fn old_coating(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = abated(look);
    let materials = Material::of(look);
    // A film that only a gauge or a drop of acid found is a film of unknown kind.
    let drawn = look.features().any(|f| matches!(f.seen, Seen::Film { .. }));
    if !drawn && film_was_measured(look) {
        let unseen = Material { marks: Vec::new(), kind: FilmKind::Unknown, black: false };
        said.extend(of_materials(look, &[unseen], false));
    } else {
        said.extend(of_materials(look, &materials, true));
    }
    said
}

/// What a licensed firm took away, and what its remover may have left.
fn abated(look: &Look<'_>) -> Vec<Outcome> {
    let here = look.survey.facts.abatements.iter().filter(|held| held.zone == look.zone.id);
    here.map(|held| {
        let marks = look.survey.features_of(look.zone);
        let films = marks.filter(|mark| look.survey.abatement_of(look.zone, mark) == Some(held));
        let remover = held.remover.as_ref();
        found(
            OLD_COATING,
            if remover.is_some() { FindingState::Prepare } else { FindingState::Fine },
            said!(
                "taken-away-and-cleared",
                firm = &held.firm,
                licence = &held.licence,
                by = &held.cleared_by,
                on = held.date.to_string(),
                remover = remover.map_or_else(Said::nothing, |remover| {
                    said!("remover-may-have-left", remover = remover)
                })
            ),
            films.map(of_feature).collect(),
            Source::COMMON_PRACTICE,
        )
    })
    .collect()
}

fn of_materials(look: &Look<'_>, materials: &[Material<'_>], seen: bool) -> Vec<Outcome> {
    let year = look.survey.facts.slab.oldest_coating_year;
    let limits = look.limits();
    let mut said = Vec::new();
    let (mut open, mut asked, mut doubtful) = (Vec::new(), 0, Vec::new());
    let (mut clean_evidence, mut answered) = (Vec::new(), false);
    let (mut unsampled, mut by_light, mut unanswered) = (Vec::new(), Vec::new(), Vec::new());
    let only = materials.len() == 1;
    for question in [LaboratoryQuestion::Asbestos, LaboratoryQuestion::Lead] {
        // One sample that holds it outweighs any that do not, whichever film it was taken of.
        let holds = look.laboratory(question);
        let holds = holds
            .iter()
            .find(|(reading, answer)| *answer == Answer::Yes && !is_of_what_is_gone(look, reading));
        if let Some((reading, _)) = holds {
            said.push(found(
                OLD_COATING,
                FindingState::Engineer,
                said!("the-laboratory-found-in-the-old-film", found = question),
                vec![of_reading(reading)],
                OLD_COATING_RULES,
            ));
            continue;
        }
        let by_year = match question {
            LaboratoryQuestion::Lead => {
                year.is_none_or(|year| year < limits.lead_presumed_before.value)
            }
            _ => year.is_none_or(|year| year <= limits.asbestos_presumed_until.value),
        };
        for material in materials.iter().filter(|material| material.raises(question)) {
            let answers = material.answers(look, question, only);
            let clean: Vec<&Sample<'_>> =
                answers.iter().filter(|sample| sample.answer == Answer::No).collect();
            clean_evidence.extend(clean.iter().map(|sample| of_reading(sample.reading)));
            let missing = SAMPLES.saturating_sub(clean.len() as u32);
            let untold = answers.iter().filter(|sample| sample.answer == Answer::Unknown);
            if missing == 0 {
                unanswered.extend(untold.map(|sample| sample.reading.id.clone()));
                answered = true;
                let confirmed = clean
                    .iter()
                    .any(|sample| sample.method != Some(LaboratoryMethod::PolarisedLight));
                if question == LaboratoryQuestion::Asbestos
                    && material.kind == FilmKind::Adhesive
                    && !confirmed
                {
                    by_light.push(material.name());
                }
            } else if by_year || material.black && question == LaboratoryQuestion::Asbestos {
                if !open.contains(&question) {
                    open.push(question);
                }
                asked += missing;
                unsampled.extend(material.marks.iter().map(|mark| &mark.id));
            } else if seen && !doubtful.contains(&question) {
                // What nobody sees is clear: no paint of those years.
                doubtful.push(question);
            }
        }
    }
    // A film that both questions are asked of is sampled once.
    let asked = asked.min(SAMPLES * materials.len() as u32);
    if !open.is_empty() {
        let samples = said!("samples-taken-wet-by-a-trained-person");
        // What is gone needs none, and the others are called by name.
        let gone = look.survey.facts.abatements.iter().any(|held| held.zone == look.zone.id);
        let samples = if materials.len() > 1 || gone {
            unsampled.sort();
            unsampled.dedup();
            said!("samples-of-each", marks = names(unsampled), samples = samples)
        } else {
            samples
        };
        said.push(
            deciding(
                OLD_COATING,
                said!("whether-the-old-film-holds", asked = listed(Joint::Or, open)),
                samples,
                asked,
            )
            .about(Ask::OldCoating),
        );
    }
    if !unanswered.is_empty() {
        unanswered.sort();
        unanswered.dedup();
        said.push(before_work(
            OLD_COATING,
            said!("what-the-laboratory-could-not-tell", samples = names(unanswered)),
            said!("another-sample-of-the-same-place"),
            1,
        ));
    }
    if !by_light.is_empty() {
        said.push(before_work(
            OLD_COATING,
            said!("whether-polarised-light-saw-all", marks = listed(Joint::Comma, by_light)),
            said!("one-sample-by-electron-microscope"),
            1,
        ));
    }
    let inspected = look.survey.facts.slab.building != Building::Residence;
    let uncleared = doubtful.contains(&LaboratoryQuestion::Asbestos);
    if inspected && uncleared {
        doubtful.retain(|question| *question != LaboratoryQuestion::Asbestos);
        said.push(before_work(
            OLD_COATING,
            said!("whether-asbestos-commercial"),
            said!("inspection-by-an-accredited-inspector"),
            1,
        ));
    }
    if !doubtful.is_empty() {
        said.push(before_work(
            OLD_COATING,
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
        let mut evidence: Vec<Evidence> = materials.iter().flat_map(Material::evidence).collect();
        evidence.extend(clean_evidence);
        said.push(found(
            OLD_COATING,
            FindingState::Fine,
            said!("the-laboratory-found-neither-of-what"),
            evidence,
            OLD_COATING_RULES,
        ));
    }
    said
}

/// Whether a sample was taken of a film that a licensed firm has taken away since.
fn is_of_what_is_gone(look: &Look<'_>, reading: &Reading) -> bool {
    let marks = look.survey.features_of(look.zone);
    let films = marks.filter(|mark| matches!(mark.seen, Seen::Film { .. }));
    let mut of: Vec<&Feature> =
        films.clone().filter(|mark| look.survey.speaks_of(reading, mark)).collect();
    if of.is_empty() && reading.subject.is_none() {
        of = films.filter(|mark| mark.is_old_film()).collect();
    }
    !of.is_empty()
        && of.iter().all(|mark| {
            look.survey
                .abatement_of(look.zone, mark)
                .is_some_and(|held| reading.time.date() < held.date)
        })
}

fn film_was_measured(look: &Look<'_>) -> bool {
    let stands = |sign: fn(&Measured) -> bool| {
        let signs = look.readings(|measured| sign(measured).then_some(()));
        signs.iter().any(|(reading, ())| !is_of_what_is_gone(look, reading))
    };
    stands(|measured| matches!(measured, Measured::FilmThickness(_)))
        // Acid that is silent where water soaks in has met no film.
        || stands(|measured| matches!(measured, Measured::AcidDrop(Fizz::None)))
            && look.drops().verdict == BetweenMarks::Film
}
