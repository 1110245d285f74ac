//! The usual cautions for each way in which a step can hurt somebody. None of them
//! replaces local codes, the product's data sheet or licensed practice; every list
//! ends with that.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{Said, said};
use tooth_measure::{Certainty, Source};

use crate::methods::Hazard;
use crate::plan::{Plan, Step};
use crate::survey::{Setting, Support, Survey};

/// A caution.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Caution {
    /// The hazard.
    pub hazard: Hazard,
    /// What to do, for the file and the client.
    pub text: Said,
    /// The same in a crew's few words.
    pub short: Said,
    /// Where it comes from.
    pub source: Source,
}

/// The sentence that ends every list of cautions.
#[must_use]
pub fn defer() -> Said {
    said!("cautions-defer")
}

/// The caution for a hazard.
#[must_use]
pub fn caution(hazard: Hazard) -> Caution {
    let (title, certainty) = match hazard {
        Hazard::SilicaDust => {
            ("title-29-cfr-1926-1153-c-table-1-rules-around-the-table", Certainty::Memory)
        }
        Hazard::Noise => ("title-29-cfr-1926-52-and-1926-101", Certainty::Memory),
        Hazard::Vibration => ("title-directive-2002-44-ec", Certainty::Seen),
        Hazard::Acid => {
            ("title-40-cfr-261-22-and-403-5-published-exposure-limits", Certainty::Memory)
        }
        Hazard::EngineIndoors => ("title-niosh-alert-1996-29-cfr-1910-1000", Certainty::Seen),
        Hazard::OldCoating => ("title-29-cfr-1926-1101-and-1926-62", Certainty::Memory),
        Hazard::Embedded => ("title-common-practice", Certainty::CommonPractice),
        Hazard::Structure => ("title-aci-562", Certainty::Memory),
        Hazard::WetElectrical => ("title-29-cfr-1926-404-b-1", Certainty::Memory),
        Hazard::Slurry => {
            ("title-40-cfr-261-22-and-403-5-published-exposure-limits", Certainty::Memory)
        }
        Hazard::Chemical => ("title-common-practice", Certainty::CommonPractice),
    };
    Caution {
        hazard,
        text: Said::built_in("caution", hazard.key()),
        short: Said::beside("caution", hazard.key(), "short"),
        source: Source::new(title, certainty),
    }
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
