//! What nobody has said, and the states that it leaves open: a small stated set, each state
//! with a chance. Every chance here is an assumption: nobody has published any.

use tooth_measure::choice::choices;
use tooth_measure::say::{Said, said};
use tooth_measure::{Certainty, Fraction, Source};

use super::states::State;
use super::told::{CracksSeen, Details, FilmBuild, FinishWanted, SurfaceNow, Told};
use crate::survey::{Answer, Exposure, Setting};

choices! {
    /// What may be left open beside a slab.
    OpenQuestion {
        /// What the surface is.
        Surface = "surface";
        /// How much film lies there.
        Build = "build";
        /// Whether bare concrete drinks.
        Drinks = "drinks";
        /// Whether the old sealer holds.
        Holds = "holds";
        /// How far aggregate may show.
        Exposure = "exposure";
        /// Cracks.
        Cracks = "cracks";
        /// Hollow places.
        Hollow = "hollow";
        /// Oil.
        Oil = "oil";
        /// Whether dust is allowed.
        Dust = "dust";
        /// Whether water is allowed.
        Water = "water";
        /// Whether the slab takes more of the finish.
        Thirst = "thirst";
    }
}

/// Where the chances come from.
pub(super) const CHANCES: Source =
    Source::new("title-assumed-chances-of-what-nobody-has-looked-at", Certainty::Assumption);

/// An answer to an open question other than the one taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Other {
    pub(super) question: OpenQuestion,
    pub(super) what: Said,
    pub(super) chance: Fraction,
    pub(super) state: State,
}

/// Surfaces that the slab may be, each with its chance, together 1.
pub(super) fn surfaces(told: &Told) -> Vec<(SurfaceNow, Fraction)> {
    if told.now != SurfaceNow::Unknown {
        return vec![(told.now, Fraction::new(1.0))];
    }
    use SurfaceNow::{
        BareBroomed, BareTrowelled, Coated, ExposedSealed, Residue, Sealed, StampedSealed,
    };
    let all = match told.setting {
        Setting::Indoor => [
            (BareTrowelled, 33.0),
            (Sealed, 22.0),
            (Coated, 17.0),
            (Residue, 17.0),
            (BareBroomed, 5.0),
            (ExposedSealed, 3.0),
            (StampedSealed, 3.0),
        ],
        Setting::Outdoor => [
            (BareBroomed, 42.0),
            (Sealed, 22.0),
            (Coated, 10.0),
            (ExposedSealed, 10.0),
            (StampedSealed, 10.0),
            (BareTrowelled, 4.0),
            (Residue, 2.0),
        ],
    };
    // A sealer is only coated over where there is one.
    let possible: Vec<_> = all
        .into_iter()
        .filter(|(now, _)| told.wanted != FinishWanted::Recoat || now.is_sealed())
        .collect();
    let together: f64 = possible.iter().map(|(_, chance)| chance).sum();
    possible.into_iter().map(|(now, chance)| (now, Fraction::new(chance / together))).collect()
}

/// The slab as it is taken to be where it has this surface: what was said holds, what was not
/// said is not there.
pub(super) fn taken(told: &Told, now: SurfaceNow) -> State {
    let Details { build, drinks, holds, cracks, hollow, oil, no_dust, no_water, exposure, .. } =
        told.details;
    State {
        now,
        build,
        drinks: drinks == Answer::Yes,
        holds: holds != Answer::No,
        cracks: cracks.unwrap_or(CracksSeen::None),
        hollow: hollow == Answer::Yes,
        oil: oil == Answer::Yes,
        no_dust: no_dust == Answer::Yes,
        no_water: no_water == Answer::Yes,
        exposure,
        thirsty: false,
    }
}

/// Every other answer to what is open in a state, one changed at a time.
pub(super) fn others(told: &Told, taken: State) -> Vec<Other> {
    let details = &told.details;
    let open = |answer: Answer| answer == Answer::Unknown;
    let indoors = told.setting == Setting::Indoor;
    let stays = told.wanted == FinishWanted::Recoat && taken.holds;
    let mut others = Vec::new();
    let mut other = |asked: bool, question, what: Said, percent: f64, state: State| {
        if asked {
            others.push(Other { question, what, chance: Fraction::from_percent(percent), state });
        }
    };
    use OpenQuestion as Question;
    let film = details.build.is_none() && !stays;
    other(
        film && taken.now.is_sealed(),
        Question::Build,
        said!("quick-if-many-coats"),
        25.0,
        State { build: Some(FilmBuild::Thick), ..taken },
    );
    other(
        film && taken.now == SurfaceNow::Coated,
        Question::Build,
        said!("quick-if-thin-coats"),
        35.0,
        State { build: Some(FilmBuild::Thin), ..taken },
    );
    other(
        open(details.drinks) && taken.now == SurfaceNow::BareTrowelled,
        Question::Drinks,
        said!("quick-if-it-drinks"),
        40.0,
        State { drinks: true, ..taken },
    );
    other(
        open(details.holds) && stays,
        Question::Holds,
        said!("quick-if-it-does-not-hold"),
        35.0,
        State { holds: false, ..taken },
    );
    // Texture that somebody paid for stays.
    let textured = matches!(
        taken.now,
        SurfaceNow::BareBroomed | SurfaceNow::ExposedSealed | SurfaceNow::StampedSealed
    );
    other(
        taken.exposure.is_none() && told.wanted.is_see_through() && !textured && !stays,
        Question::Exposure,
        said!("quick-if-sand-may-show"),
        40.0,
        State { exposure: Some(Exposure::Fine), ..taken },
    );
    for (cracks, what, percent) in [
        (CracksSeen::Some, said!("quick-if-some-cracks"), 30.0),
        (CracksSeen::Many, said!("quick-if-many-cracks"), 10.0),
    ] {
        other(details.cracks.is_none(), Question::Cracks, what, percent, State { cracks, ..taken });
    }
    other(
        open(details.hollow),
        Question::Hollow,
        said!("quick-if-hollow"),
        5.0,
        State { hollow: true, ..taken },
    );
    other(
        open(details.oil),
        Question::Oil,
        said!("quick-if-oil"),
        25.0,
        State { oil: true, ..taken },
    );
    other(
        open(details.no_dust) && indoors,
        Question::Dust,
        said!("quick-if-no-dust"),
        20.0,
        State { no_dust: true, ..taken },
    );
    other(
        open(details.no_water) && indoors,
        Question::Water,
        said!("quick-if-no-water"),
        20.0,
        State { no_water: true, ..taken },
    );
    other(
        told.finish.material.is_some() || told.finish.sealer.is_some(),
        Question::Thirst,
        said!("quick-if-thirsty"),
        30.0,
        State { thirsty: true, ..taken },
    );
    others
}

/// What settles a question while somebody stands there.
pub(super) fn settled_by(question: OpenQuestion) -> Said {
    match question {
        OpenQuestion::Surface => said!("quick-settle-surface"),
        OpenQuestion::Build => said!("quick-settle-build"),
        OpenQuestion::Drinks => said!("quick-settle-drinks"),
        OpenQuestion::Holds => said!("quick-settle-holds"),
        OpenQuestion::Exposure => said!("quick-settle-exposure"),
        OpenQuestion::Cracks => said!("quick-settle-cracks"),
        OpenQuestion::Hollow => said!("quick-settle-hollow"),
        OpenQuestion::Oil => said!("quick-settle-oil"),
        OpenQuestion::Dust => said!("quick-settle-dust"),
        OpenQuestion::Water => said!("quick-settle-water"),
        OpenQuestion::Thirst => said!("quick-settle-thirst"),
    }
}
