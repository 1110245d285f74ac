//! Tensile pull-off strength of the slab.

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
        0..=3 => "hard bond, coarse grit: soft, abrasive concrete",
        4..=6 => "medium bond",
        _ => "soft bond: hard concrete glazes a hard one",
    };
    let (state, advice) = if bond(*low) == bond(*high) {
        (FindingState::Fine, bond(*low).to_owned())
    } else {
        (
            FindingState::Prepare,
            format!("{} in places, {} elsewhere; uneven scratches follow", bond(*low), bond(*high)),
        )
    };
    let level = if low == high { low.to_string() } else { format!("{low} to {high}") };
    vec![found(
        Matter::ScratchHardness,
        state,
        format!("Scratch hardness {level} on the Mohs scale: {advice}."),
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
            "whether bars lie within the carbonated depth",
            "cover of the bars from the signed locate, beside the fresh break",
            1,
        ));
    }
    said.push(found(
        Matter::Carbonation,
        if shallow { FindingState::Fine } else { FindingState::Prepare },
        format!(
            "Carbonated to {}: compare with the cover of bars from the locate; steel within it goes to an engineer. A reactive stain finds little lime there.",
            look.detail(deepest)
        ),
        of_readings(&readings),
        Source::new("EN 14630: indicator on a fresh break", Certainty::Memory),
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
        (
            FindingState::Engineer,
            "steel in reach of it corrodes, and round every new patch first: an engineer decides",
        )
    } else {
        (FindingState::Fine, "not above the limit")
    };
    let said = found(
        Matter::Chloride,
        state,
        format!("Chloride up to {} by mass of cement: {follows}.", highest.show_percent()),
        of_readings(&readings),
        limit.source,
    );
    vec![said.by_setting(SettingOf::Limits, "most_chloride", &limit.value.show_percent())]
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
        said.push(
            deciding(
                CODE,
                format!("the pull-off strength of the slab{again}"),
                where_to_pull(look, ""),
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
        || "failure modes differ, so no mean".to_owned(),
        |mean| format!("mean {}", look.both(mean)),
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
        (FindingState::Repair, "the surface is weak: remove more, test again")
    } else if weak_elsewhere {
        (FindingState::Repair, "an old layer lets go below the limit: take it off, test the slab")
    } else {
        (
            FindingState::Fine,
            if by_mean { "the mean reaches it" } else { "every result reaches it" },
        )
    };
    if state == FindingState::Repair {
        said.push(before_work(
            Matter::PullOffRetest,
            "the pull-off strength after the weak layer is off",
            where_to_pull(look, "on the prepared slab, "),
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
pub(super) fn where_to_pull(look: &Look<'_>, on: &str) -> String {
    let places = if look.system.see_through {
        "in hidden or later covered places with the owner's consent, noted as not drawn at random"
    } else {
        "at random places"
    };
    format!("pull-off tests {on}{places}{}", look.locate_first())
}
