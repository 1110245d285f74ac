//! On what terms a step is done: the conditions of releases that bind it, and what was located
//! in the slab near where it cuts.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::say::{Joint, Said, both, detail, listed, said};
use tooth_measure::{Area, Length, Region};

use super::{Hold, Scope, Stage, Step};
use crate::assessment::Look;
use crate::methods::{Catalogue, Method, Work};
use crate::survey::{
    Binding, Embedded, Feature, FeatureId, Overrule, Place, ReleaseCondition, Seen,
};

/// A condition that binds a step, and who set it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Term {
    /// How it binds, and what.
    #[serde(flatten)]
    pub condition: ReleaseCondition,
    /// The mark that was released; null for the area.
    pub feature: Option<FeatureId>,
    /// Who released it.
    pub by: String,
    /// Licence; null for others than engineers and specialists.
    pub licence: Option<String>,
    /// The drawing or letter on which it stands; null if none.
    pub drawing: Option<String>,
    /// Who has signed it; null of what is not signed, or is not signed at all.
    pub signed_by: Option<String>,
}

/// Something in the slab near a cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ItemNear {
    /// Its mark.
    pub feature: FeatureId,
    /// What it is.
    pub item: Embedded,
    /// Concrete over it; null where nobody read it.
    pub cover_m: Option<Length>,
    /// How deep the step goes there; null where it has no depth of its own.
    pub cut_m: Option<Length>,
}

impl ItemNear {
    /// Whether the step goes as deep as the concrete over it.
    #[must_use]
    pub fn is_reached(&self) -> bool {
        self.cover_m.zip(self.cut_m).is_some_and(|(cover, cut)| cut >= cover)
    }
}

impl Term {
    /// The condition in its own words, with the mark and drawing that it belongs to.
    #[must_use]
    pub fn said(&self) -> Said {
        let mark =
            self.feature.as_ref().map_or_else(Said::nothing, |mark| said!("term-of", mark = mark));
        let drawing = self.drawing.as_ref();
        let drawing =
            drawing.map_or_else(Said::nothing, |drawing| said!("term-drawing", drawing = drawing));
        said!("term", text = &self.condition.text, mark = mark, drawing = drawing)
    }

    /// Whether it waits for a signature.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.condition.binding == Binding::SignFirst && self.signed_by.is_none()
    }
}

impl Step {
    /// What must be signed before it starts: holds, then conditions of releases.
    #[must_use]
    pub fn signed_first(&self) -> Vec<Said> {
        let holds = self.holds.iter().map(|hold| match hold {
            Hold::NearItem => said!("hold-near", items = listed(Joint::Comma, self.items_said())),
            other => said!("value", of = *other),
        });
        let open = self.terms.iter().filter(|term| term.is_open());
        holds.chain(open.map(Term::said)).collect()
    }

    /// The conditions of one kind that bind it.
    #[must_use]
    pub fn terms_of(&self, binding: Binding) -> Vec<Said> {
        let terms = self.terms.iter().filter(|term| term.condition.binding == binding);
        terms.map(Term::said).collect()
    }

    /// Conditions that somebody has signed.
    #[must_use]
    pub fn signed(&self) -> Vec<Said> {
        let signed = self.terms.iter().filter_map(|term| Some((term, term.signed_by.as_ref()?)));
        signed.map(|(term, by)| said!("term-signed", term = term.said(), by = by)).collect()
    }

    /// What lies near where it cuts, with the concrete over it.
    #[must_use]
    pub fn items_said(&self) -> Vec<Said> {
        let near = self.near.iter();
        near.map(|near| match (near.cover_m, near.cut_m) {
            (Some(cover), Some(cut)) if near.is_reached() => said!(
                "item-reached",
                mark = &near.feature,
                item = near.item,
                cover = both(detail(cover)),
                cut = both(detail(cut))
            ),
            (Some(cover), _) => said!(
                "item-near",
                mark = &near.feature,
                item = near.item,
                cover = both(detail(cover))
            ),
            (None, _) => said!("item-near-cover-not-known", mark = &near.feature, item = near.item),
        })
        .collect()
    }
}

/// Every term of a zone's releases.
#[must_use]
pub fn of_zone(look: &Look<'_>) -> Vec<Term> {
    let facts = &look.survey.facts;
    let signed = |condition: &ReleaseCondition| {
        look.survey.signed_off(&look.zone.id, condition).map(|held| held.by.clone())
    };
    let here = facts.overrules.iter().filter(|overrule| overrule.zone == look.zone.id);
    here.flat_map(|overrule: &Overrule| {
        overrule.conditions.iter().map(|condition| Term {
            condition: condition.clone(),
            feature: overrule.feature.clone(),
            by: overrule.by.clone(),
            licence: overrule.licence.clone(),
            drawing: overrule.drawing.clone(),
            signed_by: (condition.binding == Binding::SignFirst)
                .then(|| signed(condition))
                .flatten(),
        })
    })
    .collect()
}

/// The steps with the terms that bind each, and a hold where one cuts near something that was
/// located.
pub(super) fn bind(look: &Look<'_>, steps: &mut [Step], catalogue: &Catalogue) {
    for step in steps.iter_mut() {
        step.near = items_near(look, step, catalogue);
        if !step.near.is_empty() {
            step.holds.push(Hold::NearItem);
        }
    }
    for term in of_zone(look) {
        for at in bound(&term, steps, catalogue) {
            steps[at].terms.push(term.clone());
        }
    }
}

/// The steps that a term binds: of an area all of its preparation; of a mark those on it, else
/// those that cut, else all.
fn bound(term: &Term, steps: &[Step], catalogue: &Catalogue) -> Vec<usize> {
    let those = |wanted: &dyn Fn(&Step) -> bool| -> Vec<usize> {
        let steps = steps.iter().enumerate();
        steps.filter(|(_, step)| wanted(step)).map(|(at, _)| at).collect()
    };
    let cuts = |step: &Step| catalogue.method(&step.method).is_some_and(|method| method.cuts);
    if let Some(mark) = &term.feature {
        let on_it = those(&|step| step.features.contains(mark));
        if !on_it.is_empty() {
            return on_it;
        }
        let cutting = those(&cuts);
        if !cutting.is_empty() {
            return cutting;
        }
    }
    those(&|step| step.stage == Stage::Preparation)
}

/// What was located within the stated distance of a step that cuts.
fn items_near(look: &Look<'_>, step: &Step, catalogue: &Catalogue) -> Vec<ItemNear> {
    let Some(method) = catalogue.method(&step.method) else { return Vec::new() };
    let depth = depth_of(look, step, method);
    // What takes off a skin cuts nothing, unless little lies over the item.
    let cuts = |cover: Option<Length>| {
        method.cuts || cover.zip(depth).is_some_and(|(cover, depth)| depth + SKIN >= cover)
    };
    let items = || {
        look.features().filter_map(|mark| match mark.seen {
            Seen::Embedded { item, cover, .. } => Some((mark, item, cover)),
            _ => None,
        })
    };
    if items().next().is_none() {
        return Vec::new();
    }
    if items().all(|(_, _, cover)| !cuts(cover)) {
        return Vec::new();
    }
    let cut = cut_by(look, step, look.limits().clear_of_items.value);
    items()
        .filter(|(mark, _, cover)| cuts(*cover) && meets(mark, &cut))
        .map(|(mark, item, cover)| ItemNear {
            feature: mark.id.clone(),
            item,
            cover_m: cover,
            cut_m: depth,
        })
        .collect()
}

/// Left over an item at least where a skin is taken off. Assumption.
const SKIN: Length = Length::from_inches(0.5);

/// How deep a step goes.
fn depth_of(look: &Look<'_>, step: &Step, method: &Method) -> Option<Length> {
    match &method.work {
        Work::Patch(_) => look.extent.patches.iter().map(|patch| patch.depth).reduce(Length::max),
        Work::Surface(work) => Some(work.depth_per_pass * f64::from(step.passes)),
        Work::ShallowPatch(_)
        | Work::Line(_)
        | Work::Fill(_)
        | Work::Coat(_)
        | Work::Piece(_)
        | Work::Keep(_) => None,
    }
}

/// Where a step cuts, and so far about it.
fn cut_by(look: &Look<'_>, step: &Step, about: Length) -> Region {
    if step.scope == Scope::Patches {
        let patches = look.extent.patches.iter().filter_map(|patch| patch.rectangle.outline());
        let grown: Vec<Region> = patches.map(|patch| patch.region().within(about)).collect();
        return Region::union_of(&grown);
    }
    if let Some(ground) = &step.ground {
        return ground.within(about);
    }
    if step.features.is_empty() {
        return look.extent.net_region().clone();
    }
    let worked = look.features().filter(|mark| step.features.contains(&mark.id));
    let worked: Vec<Region> = worked
        .map(|mark| match &mark.place {
            Place::Patch(outline) => outline.region().within(about),
            Place::Line(path) => Region::about(path, about),
            Place::Spot(spot) => Region::round(*spot, about),
        })
        .collect();
    Region::union_of(&worked)
}

fn meets(mark: &Feature, cut: &Region) -> bool {
    match &mark.place {
        Place::Patch(outline) => outline.region().intersection(cut).area() > Area::ZERO,
        // Less than this is rounding.
        Place::Line(path) => {
            path.length_outside(cut) < path.length() - Length::from_millimetres(1.0)
        }
        Place::Spot(spot) => cut.holds(*spot),
    }
}
