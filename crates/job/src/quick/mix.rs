//! All states together: the likely case, low and high.

use tooth_measure::{Fraction, Money};

use super::open::{OpenQuestion, Other};
use super::told::SurfaceNow;
use super::{PriceRange, Priced};

/// The surface in the middle by price: half of what it may be costs no more. So the likely price
/// is neither that of the cheapest surface nor that of the dearest.
pub(super) fn middle(surfaces: &[(SurfaceNow, Fraction)], priced: &[Priced]) -> usize {
    let mut by_price: Vec<(usize, f64, f64)> = surfaces
        .iter()
        .zip(priced)
        .enumerate()
        .filter_map(|(at, ((_, chance), priced))| {
            Some((at, chance.ratio(), priced.likely()?.amount()))
        })
        .collect();
    by_price.sort_by(|a, b| a.2.total_cmp(&b.2));
    let half = by_price.iter().map(|(_, chance, _)| chance).sum::<f64>() / 2.0;
    let mut below = 0.0;
    let reaches = |(_, chance, _): &&(usize, f64, f64)| {
        below += chance;
        below >= half - 1e-12
    };
    by_price.iter().find(reaches).map_or(0, |(at, ..)| *at)
}

/// Answers at least as likely as this lie within the range, whatever the percentiles say.
const HELD_FROM: Fraction = Fraction::new(0.1 - 1e-9);

/// A price and how likely it is.
type Point = (f64, f64);

/// Low and high: the draws of every surface, moved by what each other answer adds to the likely
/// case. The answers are taken as independent, and what they add as adding up.
pub(super) fn range(
    likely: Money,
    least: Money,
    (chances, surfaces): (&[Fraction], &[Priced]),
    (others, prices): (&[Other], &[Priced]),
) -> PriceRange {
    let draws: Vec<Point> = chances
        .iter()
        .zip(surfaces)
        .filter_map(|(chance, priced)| Some((chance.ratio(), priced.estimate.as_ref()?)))
        .flat_map(|(chance, estimate)| {
            let parts = estimate.curve.len().saturating_sub(1).max(1) as f64;
            estimate.curve.windows(2).map(move |ends| {
                let middle: f64 = ends.iter().map(|end| end.amount()).sum::<f64>() / 2.0;
                (middle, chance / parts)
            })
        })
        .collect();
    let added = added(likely, others, prices);
    let mut all: Vec<Point> = Vec::with_capacity(draws.len() * added.len());
    for (price, chance) in &draws {
        for (more, share) in &added {
            all.push(((price + more).max(least.amount()), chance * share));
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let held = others.iter().zip(prices).filter(|(other, _)| other.chance >= HELD_FROM);
    let each = surfaces.iter().chain(held.map(|(_, priced)| priced)).filter_map(Priced::likely);
    let (lowest, highest) =
        each.fold((likely, likely), |(low, high), price| (low.min(price), high.max(price)));
    PriceRange {
        low: Money::new(quantile(&all, 0.1)).min(lowest),
        likely,
        high: Money::new(quantile(&all, 0.9)).max(highest),
    }
}

/// What the other answers add, in every combination, with its chance.
fn added(likely: Money, others: &[Other], prices: &[Priced]) -> Vec<Point> {
    let mut questions: Vec<(OpenQuestion, Vec<Point>)> = Vec::new();
    for (other, priced) in others.iter().zip(prices) {
        let Some(price) = priced.likely() else { continue };
        let answer = ((price - likely).amount(), other.chance.ratio());
        match questions.iter_mut().find(|(question, _)| *question == other.question) {
            Some((_, answers)) => answers.push(answer),
            None => questions.push((other.question, vec![answer])),
        }
    }
    let mut combined = vec![(0.0, 1.0)];
    for (_, answers) in questions {
        let kept = 1.0 - answers.iter().map(|(_, chance)| chance).sum::<f64>();
        let every = |(more, share): &Point| -> Vec<Point> {
            let (more, share) = (*more, *share);
            let as_taken = std::iter::once((more, share * kept));
            as_taken.chain(answers.iter().map(|(by, c)| (more + by, share * c))).collect()
        };
        combined = combined.iter().flat_map(every).collect();
    }
    combined
}

/// The price below which this share of sorted points lies.
fn quantile(sorted: &[Point], share: f64) -> f64 {
    let wanted = sorted.iter().map(|(_, chance)| chance).sum::<f64>() * share;
    let mut below = 0.0;
    let reaches = |(_, chance): &&Point| {
        below += chance;
        below >= wanted
    };
    sorted.iter().find(reaches).or(sorted.last()).map_or(0.0, |(price, _)| *price)
}
