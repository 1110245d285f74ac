//! Tensile pull-off strength of the slab.

use tooth_measure::{Certainty, Source, Stress, statistics};

use crate::assessment::counts::FieldTest;
use crate::assessment::finding::{FindingState, Outcome, before_work, deciding, found};
use crate::assessment::look::{Look, of_readings};
use crate::survey::{FailureMode, Measured, SystemClass};

/// Every counted result against the sheet's least; a break in the glue is no result.
pub(crate) fn pull_off_strength(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: &str = "pull_off_strength";
    let method = Source::new(
        "ASTM C1583-20, 11.4: results of the disk's glue are discarded and repeated",
        Certainty::Seen,
    );
    let bonded = !matches!(look.system.class, SystemClass::Stain | SystemClass::Sealer);
    let Some(least) = look.system.least_pull_off_strength else {
        return if bonded {
            vec![deciding(
                CODE,
                "the pull-off strength that the system asks for",
                "read the system's data sheet",
                1,
            )]
        } else {
            Vec::new()
        };
    };
    let mut said = Vec::new();
    let results = look.pull_offs();
    let glued = look.readings(|m| {
        matches!(m, Measured::PullOff { failure: FailureMode::Adhesive, .. }).then_some(())
    });
    let missing = look.needed(FieldTest::PullOff).saturating_sub(results.len() as u32);
    if missing > 0 {
        let again = if glued.is_empty() {
            String::new()
        } else {
            format!(" ({} pulled the glue, not the slab)", glued.len())
        };
        said.push(deciding(
            CODE,
            format!("the pull-off strength of the slab{again}"),
            where_to_pull(look),
            missing,
        ));
    }
    let strengths: Vec<Stress> = results.iter().map(|(_, (strength, _))| *strength).collect();
    let Some(lowest) = strengths.iter().copied().reduce(Stress::min) else {
        return said;
    };
    let same_mode = results.windows(2).all(|pair| pair[0].1.1 == pair[1].1.1);
    let mean = if same_mode { statistics::mean(&strengths) } else { None };
    let mean = mean.map_or_else(
        || "failure modes differ, so no mean".to_owned(),
        |mean| format!("mean {}", look.both(mean)),
    );
    let weak_in_slab =
        results.iter().any(|(_, (s, mode))| *s < least && *mode == FailureMode::Substrate);
    let weak_elsewhere =
        results.iter().any(|(_, (s, mode))| *s < least && *mode != FailureMode::Substrate);
    let (state, follows) = if weak_in_slab {
        (FindingState::Repair, "the surface is weak: remove more, test again")
    } else if weak_elsewhere {
        (FindingState::Repair, "an old layer lets go below the limit: take it off, test the slab")
    } else {
        (FindingState::Fine, "every result reaches it")
    };
    if state == FindingState::Repair {
        said.push(before_work(
            "pull_off_retest",
            "the pull-off strength after the weak layer is off",
            "pull-off tests at random places on the prepared slab, after a signed locate",
            look.needed(FieldTest::PullOff),
        ));
    }
    said.push(found(
        CODE,
        state,
        format!(
            "Lowest of {} results {}, {mean}; at least {} asked for: {follows}.",
            strengths.len(),
            look.both(lowest),
            look.both(least)
        ),
        of_readings(&results),
        method,
    ));
    said
}

/// Cores are drilled for a pull-off: located first, hidden where the finish shows.
fn where_to_pull(look: &Look<'_>) -> String {
    let places = if look.system.see_through {
        "pull-off tests in hidden or later covered places with the owner's consent"
    } else {
        "pull-off tests at random places"
    };
    format!("{places}{}", look.locate_first())
}
