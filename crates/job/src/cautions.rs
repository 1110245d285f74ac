//! The usual cautions for each way in which a step can hurt somebody. None of them
//! replaces local codes, the product's data sheet or licensed practice; every list
//! ends with that.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::{Certainty, Source};

use crate::methods::Hazard;
use crate::plan::{Plan, Step};
use crate::survey::{Setting, Support, Survey};

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Caution {
    /// The hazard.
    pub hazard: Hazard,
    /// What to do, for the file and the client.
    pub text: &'static str,
    /// The same in a crew's few words.
    pub short: &'static str,
    /// Where it comes from.
    pub source: Source,
}

/// The sentence that ends every list of cautions.
pub const DEFER: &str = "These are usual cautions, not instructions: local codes, each product's data sheet and safety sheet, and licensed or competent persons decide.";

/// The caution for a hazard.
#[must_use]
pub fn caution(hazard: Hazard) -> Caution {
    let (text, short, title, certainty) = match hazard {
        Hazard::SilicaDust => (
            "Respirable silica: full shroud and a dust collector with a filter of 99 % or better, or water at the tool, as 29 CFR 1926.1153 Table 1 asks; indoors HEPA-vacuum loose dust between passes; no dry sweeping, no compressed air; respirators by the whole time of all such tasks in the shift. Tasks that the table does not list (shot and abrasive blasting, scabbling) need an exposure assessment.",
            "Vacuum on, shroud down. No dry sweeping. Respirator as your safety lead says.",
            "29 CFR 1926.1153(c), Table 1; rules around the table from memory",
            Certainty::Memory,
        ),
        Hazard::Noise => (
            "Noise: hearing protection at these tools; keep others out; check the dose of the whole shift (29 CFR 1926.52, 1926.101).",
            "Ear protection on. Keep others away.",
            "29 CFR 1926.52 and 1926.101",
            Certainty::Memory,
        ),
        Hazard::Vibration => (
            "Hand-arm vibration: share the time between people; as a rule of thumb act when a hammer tool runs more than 15 minutes or a rotary one more than an hour a day (rule of a university's safety page; the exposure action value is 2.5 m/s² A(8), Directive 2002/44/EC).",
            "Change hands and people often. Stop when fingers tingle.",
            "Directive 2002/44/EC",
            Certainty::Seen,
        ),
        Hazard::Acid => (
            "Acid: always acid into water, never water into acid; goggles and face shield, acid gloves, boots, apron; fresh air, since hydrogen chloride has a ceiling of 5 ppm; eyewash within reach; never with bleach; cover metal and glass. Rinse water is waste: collect it, neutralise, measure its pH, and discharge only what the sewer authority has agreed to (40 CFR 403.5 forbids pH below 5.0, local limits are narrower; at pH 2 or below and 12.5 or above it is hazardous waste, 40 CFR 261.22); never into a storm drain.",
            "Acid INTO water. Face shield, gloves, boots. Eyewash ready. No drain.",
            "40 CFR 261.22 and 403.5 published; exposure limits from memory",
            Certainty::Memory,
        ),
        Hazard::EngineIndoors => (
            "Engine exhaust: no engine indoors or in an enclosed place without a carbon monoxide monitor, an alarm and fresh air that a competent person has worked out; a calculation is never a permission. Petrol engines stay outside (NIOSH alert 1996).",
            "Engine stays outside. CO alarm on. Headache: everybody out.",
            "NIOSH alert 1996; 29 CFR 1910.1000",
            Certainty::Seen,
        ),
        Hazard::OldCoating => (
            "Old coatings and adhesives may hold lead or asbestos: presume, sample, laboratory, then touch. Joint sealants of 1950 to 1979 may hold PCB or asbestos too. No year rules either out. No dry sanding, grinding, scraping or sweeping of old adhesive or tile before the laboratory has answered (29 CFR 1926.1101, 1926.62).",
            "Old glue or paint: stop. Laboratory answer first.",
            "29 CFR 1926.1101 and 1926.62",
            Certainty::Memory,
        ),
        Hazard::Embedded => (
            "Items in the slab: no drilling, coring, sawing, scarifying, milling or breaking before a signed locate of tendons, heating, conduit and bars; stop at any metal or plastic.",
            "No cut before the signed locate. Metal or plastic: stop.",
            "common practice",
            Certainty::CommonPractice,
        ),
        Hazard::Structure => (
            "Suspended or stressed slabs: weight of machines, depth of removal and new layers are for an engineer.",
            "Suspended slab: engineer's word first.",
            "ACI 562",
            Certainty::Memory,
        ),
        Hazard::WetElectrical => (
            "Electricity near water: residual-current (GFCI) protection always, cords off the floor (29 CFR 1926.404(b)(1)).",
            "GFCI on. Cords off the wet floor.",
            "29 CFR 1926.404(b)(1)",
            Certainty::Memory,
        ),
        Hazard::Slurry => (
            "Slurry and rinse water are alkaline (saturated lime about pH 12.4) or acid and burn skin: gloves and boots; collect, settle, measure pH; dispose only as the authority agrees.",
            "Gloves and boots. Collect all water. Measure pH.",
            "40 CFR 261.22 and 403.5 published; exposure limits from memory",
            Certainty::Memory,
        ),
        Hazard::Chemical => (
            "Strippers, detergents and solvents: read the safety sheet, gloves that it names, fresh air, no sparks.",
            "Read the safety sheet. Gloves. Fresh air. No sparks.",
            "common practice",
            Certainty::CommonPractice,
        ),
    };
    Caution { hazard, text, short, source: Source::new(title, certainty) }
}

/// The cautions of one step on this slab.
#[must_use]
pub fn of_step(survey: &Survey, step: &Step) -> Vec<Caution> {
    let slab = &survey.facts.slab;
    step.hazards
        .iter()
        .filter(|hazard| match hazard {
            Hazard::EngineIndoors => slab.setting == Setting::Indoor,
            Hazard::Structure => slab.support != Support::OnGrade,
            _ => true,
        })
        .map(|hazard| caution(*hazard))
        .collect()
}

/// All cautions of a plan, each once, gravest kinds as the list of hazards orders them.
#[must_use]
pub fn of_plan(survey: &Survey, plan: &Plan) -> Vec<Caution> {
    let mut hazards: Vec<Hazard> = plan
        .zones
        .iter()
        .flat_map(|zone| &zone.steps)
        .flat_map(|step| of_step(survey, step))
        .map(|caution| caution.hazard)
        .collect();
    hazards.sort_unstable();
    hazards.dedup();
    hazards.into_iter().map(caution).collect()
}
