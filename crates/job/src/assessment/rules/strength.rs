//! Tensile pull-off strength of the slab.

use tooth_measure::say::{Argument, Said, both, detail, percent, said};
use tooth_measure::{Certainty, Fraction, Length, Quantity as _, Source, Stress, statistics};

use crate::assessment::counts::FieldTest;
use crate::assessment::finding::{
    Ask, FindingState, Outcome, SettingOf, before_work, deciding, found,
};
use crate::assessment::look::{Look, of_readings};
use crate::survey::{FailureMode, Matter, Measured, PullOffRule, SystemClass};

/// Scratch hardness picks the bond of the diamonds.
pub(crate) fn scratch_hardness(look: &Look<'_>) -> Vec<Outcome> {
    let readings = look.readings(|m| match m {
        Measured::ScratchHardness(mohs) => Some(*mohs),
        _ => None,
    });
    let levels: Vec<u8> = readings.iter().map(|(_, mohs)| *mohs).collect();
    let (Some(low), Some(high)) = (levels.iter().min(), levels.iter().max()) else {
        return Vec::new();
    };
    let bond = |mohs: u8| match mohs {
        0..=3 => said!("hard-bond-coarse-grit-soft-abrasive"),
        4..=6 => said!("medium-bond"),
        _ => said!("soft-bond-hard-concrete-glazes-a-hard"),
    };
    let (state, advice) = if bond(*low) == bond(*high) {
        (FindingState::Fine, bond(*low))
    } else {
        (
            FindingState::Prepare,
            said!("in-places-elsewhere-uneven-scratches", low = bond(*low), high = bond(*high)),
        )
    };
    let level = if low == high {
        Argument::from(*low)
    } else {
        said!("from-to", low = *low, high = *high).into()
    };
    vec![found(
        Matter::ScratchHardness,
        state,
        said!("scratch-hardness-on-the-mohs-scale", level = level, advice = advice),
        of_readings(&readings),
        Source::COMMON_PRACTICE,
    )]
}

/// No bar lies within this of the surface. Assumption.
const SHALLOW: Length = Length::from_millimetres(5.0);

/// Carbonation on a fresh break: how far steel has lost its protection.
pub(crate) fn carbonation(look: &Look<'_>) -> Vec<Outcome> {
    let readings = look.readings(|m| match m {
        Measured::Carbonation(depth) => Some(*depth),
        _ => None,
    });
    let Some(deepest) = readings.iter().map(|(_, depth)| *depth).reduce(Length::max) else {
        return Vec::new();
    };
    let shallow = deepest <= SHALLOW;
    let mut said = Vec::new();
    if !shallow {
        said.push(deciding(
            Matter::Carbonation,
            said!("whether-bars-lie-within-the-carbonated"),
            said!("cover-of-the-bars-from-the-signed"),
            1,
        ));
    }
    said.push(found(
        Matter::Carbonation,
        if shallow { FindingState::Fine } else { FindingState::Prepare },
        said!("carbonated-to-compare-with-the-cover", deepest = both(detail(deepest))),
        of_readings(&readings),
        Source::new("title-en-14630-indicator-on-a-fresh-break", Certainty::Memory),
    ));
    said
}

/// Chloride by mass of cement.
pub(crate) fn chloride(look: &Look<'_>) -> Vec<Outcome> {
    let readings = look.readings(|m| match m {
        Measured::Chloride(share) => Some(*share),
        _ => None,
    });
    let Some(highest) = readings.iter().map(|(_, share)| *share).reduce(Fraction::max) else {
        return Vec::new();
    };
    let limit = look.limits().most_chloride;
    let (state, follows) = if highest.exceeds(limit.value) {
        (FindingState::Engineer, said!("steel-in-reach-of-it-corrodes"))
    } else {
        (FindingState::Fine, said!("not-above-the-limit"))
    };
    let said = found(
        Matter::Chloride,
        state,
        said!("chloride-up-to-by-mass-of-cement", highest = percent(highest), follows = follows),
        of_readings(&readings),
        limit.source,
    );
    vec![said.by_setting(SettingOf::Limits, "most_chloride", percent(limit.value))]
}

/// Whether counted results fall short of the sheet's least, by the sheet's own rule.
pub(crate) fn fails(look: &Look<'_>) -> bool {
    let Some(least) = look.system.least_pull_off_strength else { return false };
    let results = look.pull_offs();
    let strengths: Vec<Stress> = results.iter().map(|(_, (s, _))| *s).collect();
    // A mean of mixed modes says nothing: then every result must reach the limit.
    let same_mode = results.windows(2).all(|pair| pair[0].1.1 == pair[1].1.1);
    match look.system.pull_off_rule {
        PullOffRule::Mean if same_mode => {
            statistics::mean(&strengths).is_some_and(|mean| !mean.reaches(least))
        }
        PullOffRule::Mean | PullOffRule::EveryResult => strengths.iter().any(|s| !s.reaches(least)),
    }
}

/// Every counted result against the sheet's least; a break in the glue is no result.
pub(crate) fn pull_off_strength(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::PullOffStrength;
    let method =
        Source::new("title-astm-c1583-20-11-4-results-of-the-disk-s-glue-are", Certainty::Seen);
    let bonded = !matches!(look.system.class, SystemClass::Stain | SystemClass::Sealer);
    let Some(least) = look.system.least_pull_off_strength else {
        return if bonded {
            vec![deciding(
                CODE,
                said!("the-pull-off-strength-that-the-system"),
                said!("read-the-system-data-sheet"),
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
    let missing = look.missing(FieldTest::PullOff, &results);
    if missing > 0 {
        let again = if glued.is_empty() {
            Said::nothing()
        } else {
            said!("pulled-the-glue-not-the-slab", count = glued.len())
        };
        said.push(
            deciding(
                CODE,
                said!("the-pull-off-strength-of-the-slab", again = again),
                where_to_pull(look, Said::nothing()),
                missing,
            )
            .about(Ask::PullOff),
        );
    }
    let strengths: Vec<Stress> = results.iter().map(|(_, (strength, _))| *strength).collect();
    let Some(lowest) = strengths.iter().copied().reduce(Stress::min) else {
        return said;
    };
    let same_mode = results.windows(2).all(|pair| pair[0].1.1 == pair[1].1.1);
    let mean = if same_mode { statistics::mean(&strengths) } else { None };
    let mean = mean.map_or_else(
        || said!("failure-modes-differ-so-no-mean"),
        |mean| said!("mean-of", mean = both(mean)),
    );
    let by_mean = same_mode && look.system.pull_off_rule == PullOffRule::Mean;
    let short = fails(look);
    let weak_in_slab = short
        && results
            .iter()
            .any(|(_, (s, mode))| !s.reaches(least) && *mode == FailureMode::Substrate);
    let weak_elsewhere = short
        && results
            .iter()
            .any(|(_, (s, mode))| !s.reaches(least) && *mode != FailureMode::Substrate);
    let (state, follows) = if weak_in_slab {
        (FindingState::Repair, said!("the-surface-is-weak-remove-more-test"))
    } else if weak_elsewhere {
        (FindingState::Repair, said!("an-old-layer-lets-go-below"))
    } else {
        (
            FindingState::Fine,
            if by_mean { said!("the-mean-reaches") } else { said!("every-result-reaches") },
        )
    };
    if state == FindingState::Repair {
        said.push(before_work(
            Matter::PullOffRetest,
            said!("the-pull-off-strength-after-the-weak"),
            where_to_pull(look, said!("on-the-prepared-slab")),
            look.needed(FieldTest::PullOff),
        ));
    }
    said.push(found(
        CODE,
        state,
        said!(
            "lowest-of-results-at-least-asked",
            count = strengths.len(),
            lowest = both(lowest),
            mean = mean,
            least = both(least),
            follows = follows
        ),
        of_readings(&results),
        method,
    ));
    said
}

/// Cores are drilled for a pull-off: located first, hidden where the finish shows.
pub(super) fn where_to_pull(look: &Look<'_>, on: Said) -> Said {
    let places = if look.system.see_through {
        said!("in-hidden-or-later-covered-places")
    } else {
        said!("at-random-places")
    };
    said!("pull-off-tests", on = on, places = places, locate_first = look.locate_first())
}
