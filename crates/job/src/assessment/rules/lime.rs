//! Lime within reach of a stain that reacts with it: seen by the stain itself, by the fizz of
//! acid, never taken for granted.

use tooth_measure::say::{Said, both, detail, names, said};
use tooth_measure::{Length, Source};

use crate::assessment::finding::{FindingState, Outcome, deciding, found};
use crate::assessment::look::{Look, of_feature, of_reading, of_readings};
use crate::survey::{Feature, Fizz, Matter, Measured, Reaction, Reading, Seen, SurfaceState};

/// Places at which a stain or acid drop must answer. Common practice: three.
pub(crate) const PLACES_OF_LIME: u32 = 3;

/// How drops answered on the bare slab, whichever they were.
pub(crate) struct LimeDrops<'a> {
    /// Drops of the stain.
    stain: Vec<(&'a Reading, Reaction)>,
    /// Drops of acid.
    acid: Vec<(&'a Reading, Fizz)>,
}

impl<'a> LimeDrops<'a> {
    /// Those of an area that stand on no film and pass `of`.
    pub(crate) fn of(look: &Look<'a>, of: impl Fn(&Reading) -> bool) -> Self {
        let bare = |reading: &Reading| !look.on_a_film(reading) && of(reading);
        let mut stain = look.readings(|m| match m {
            Measured::StainDrop(took) => Some(*took),
            _ => None,
        });
        stain.retain(|(reading, _)| bare(reading));
        let mut acid = look.readings(|m| match m {
            Measured::AcidDrop(fizz) => Some(*fizz),
            _ => None,
        });
        acid.retain(|(reading, _)| bare(reading));
        Self { stain, acid }
    }

    /// Drops of either kind, each with whether lime answered; a weak fizz tells nothing. The
    /// stain itself outranks acid: where it was tried often enough, acid says nothing more.
    pub(crate) fn answers(&self) -> Vec<(&'a Reading, bool)> {
        let stain = self.stain.iter().map(|(held, took)| (*held, *took != Reaction::None));
        let told = |(held, fizz): &(&'a Reading, Fizz)| match fizz {
            Fizz::Strong => Some((*held, true)),
            Fizz::None => Some((*held, false)),
            Fizz::Weak => None,
        };
        let acid = self.acid.iter().filter_map(told);
        match self.stain.len() < PLACES_OF_LIME as usize {
            true => stain.chain(acid).collect(),
            false => stain.collect(),
        }
    }

    /// Whether acid alone was tried, and was weak somewhere.
    fn is_weak(&self) -> bool {
        self.stain.is_empty() && self.acid.iter().any(|(_, fizz)| *fizz == Fizz::Weak)
    }
}

/// Whether a stain that reacts finds lime.
pub(crate) fn lime(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Lime;
    if !look.system.needs_lime {
        return Vec::new();
    }
    let source = Source::COMMON_PRACTICE;
    let drops = LimeDrops::of(look, |_| true);
    let answers = drops.answers();
    let silent: Vec<(&Reading, bool)> =
        answers.iter().copied().filter(|(_, answered)| !answered).collect();
    let mut said = Vec::new();
    if !silent.is_empty() {
        said.push(found(
            CODE,
            FindingState::Decide,
            said!(
                "no-lime-answered",
                silent = silent.len(),
                count = answers.len(),
                tried = match drops.stain.is_empty() {
                    true => said!("drop-the-stain-before-it-is-given-up"),
                    false => Said::nothing(),
                }
            ),
            of_readings(&answers),
            source,
        ));
    }
    // Acid also fizzes on concrete that carbonation has gone through; the stain tells.
    let panel = look
        .features()
        .find(|f| matches!(f.seen, Seen::SamplePanel { reaction: Some(Reaction::Even), .. }));
    let tried = !drops.stain.is_empty() || panel.is_some();
    let gone = carbonated(look);
    let washed: Vec<&Feature> = look
        .features()
        .filter(|f| matches!(f.seen, Seen::Surface { state: SurfaceState::AcidWashed, .. }))
        .collect();
    if !tried && silent.is_empty() {
        if let Some((reading, depth)) = gone {
            said.push(found(
                CODE,
                FindingState::Hold,
                said!("carbonated-deeper-than-the-cut", depth = both(detail(depth))),
                vec![of_reading(reading)],
                source,
            ));
        }
        if !washed.is_empty() {
            said.push(found(
                CODE,
                FindingState::Hold,
                said!("washed-with-acid-before", marks = names(washed.iter().map(|f| &f.id))),
                washed.iter().map(|mark| of_feature(mark)).collect(),
                source,
            ));
        }
    }
    let doubted = gone.is_some() || !washed.is_empty() || drops.is_weak();
    let stained = drops.stain.len() as u32;
    let missing = match (panel, doubted) {
        (Some(_), _) => 0,
        (None, true) => PLACES_OF_LIME.saturating_sub(stained),
        (None, false) => PLACES_OF_LIME.saturating_sub(answers.len() as u32),
    };
    if missing > 0 {
        let test = match (doubted, look.marking_agreed()) {
            (true, true) => said!("a-drop-of-the-stain-itself"),
            (true, false) => said!("a-drop-of-the-stain-itself-with-consent"),
            (false, true) => said!("a-stain-or-acid-drop-on-bare"),
            (false, false) => said!("a-stain-or-acid-drop-on-bare-with-consent"),
        };
        said.push(deciding(CODE, said!("whether-lime-is-within-reach"), test, missing));
    } else if said.is_empty() {
        let evidence = match panel {
            Some(panel) => vec![of_feature(panel)],
            None => of_readings(&answers),
        };
        said.push(found(CODE, FindingState::Fine, said!("lime-answered"), evidence, source));
    }
    said
}

/// Carbonation that goes deeper than anything that is taken off under a finish that soaks in.
fn carbonated<'a>(look: &Look<'a>) -> Option<(&'a Reading, Length)> {
    let depths = look.readings(|m| match m {
        Measured::Carbonation(depth) => Some(*depth),
        _ => None,
    });
    let deepest = depths
        .into_iter()
        .max_by(|(_, a), (_, b)| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal))?;
    (deepest.1 > LIGHT_CUT).then_some(deepest)
}

/// What cleaning, pads and a light cut reach. Assumption.
const LIGHT_CUT: Length = Length::from_millimetres(1.0);
