//! What it is worth to know more before deciding: costs of every act in every state, chances of
//! the states, and how a test tells them apart.
//!
//! Raiffa and Schlaifer, Applied Statistical Decision Theory (1961); the formulas from memory.

use crate::{Fraction, Money};

/// What perfect knowledge of the state saves in expectation: the least expected cost of a single
/// act, less the expected cost of the best act in each state. `costs` has a row for every act,
/// with a cost for every state. `None` where there is no act, or a row has another length.
#[must_use]
pub fn value_of_knowing(chances: &[Fraction], costs: &[Vec<Money>]) -> Option<Money> {
    let certain = chances.iter().enumerate().map(|(state, _)| {
        let row = (0..chances.len()).map(|told| Fraction::new(f64::from(u8::from(told == state))));
        row.collect()
    });
    value_of_a_test(chances, costs, &certain.collect::<Vec<Vec<Fraction>>>())
}

/// What a test saves in expectation: the least expected cost without it, less that with the best
/// act after each of its results. `results` has a row for every state, with the chance of every
/// result there. `None` where there is no act, or rows do not fit.
#[must_use]
pub fn value_of_a_test(
    chances: &[Fraction],
    costs: &[Vec<Money>],
    results: &[Vec<Fraction>],
) -> Option<Money> {
    let states = chances.len();
    let told = results.first()?.len();
    let fits = costs.iter().all(|row| row.len() == states)
        && results.len() == states
        && results.iter().all(|row| row.len() == told);
    if !fits {
        return None;
    }
    let least = |weight: &dyn Fn(usize) -> f64| -> Option<f64> {
        let expected = |row: &Vec<Money>| -> f64 {
            row.iter().enumerate().map(|(state, cost)| weight(state) * cost.amount()).sum()
        };
        costs.iter().map(expected).reduce(f64::min)
    };
    let without = least(&|state| chances[state].ratio())?;
    let with: Option<f64> = (0..told)
        .map(|result| least(&|state| chances[state].ratio() * results[state][result].ratio()))
        .sum();
    Some(Money::new((without - with?).max(0.0)))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "fixed figures")]
    use super::*;

    fn shares(values: &[f64]) -> Vec<Fraction> {
        values.iter().copied().map(Fraction::new).collect()
    }

    fn amounts(values: &[f64]) -> Vec<Money> {
        values.iter().copied().map(Money::new).collect()
    }

    /// Worked by hand: a floor is bare (0.8) or sealed (0.2). Priced as bare it costs 100, and 260
    /// where it turns out sealed; stripped at once it costs 200 either way. Bare first expects
    /// 132; told before, 0.8 × 100 + 0.2 × 200 = 120: the drop saves 12.
    #[test]
    fn a_drop_of_water_is_worth_what_it_saves() {
        let costs = [amounts(&[100.0, 260.0]), amounts(&[200.0, 200.0])];
        let worth = value_of_knowing(&shares(&[0.8, 0.2]), &costs).unwrap();
        assert!((worth.amount() - 12.0).abs() < 1e-9, "{worth:?}");
    }

    /// Source: the oil wildcatter of Raiffa, Decision Analysis (1968), from memory, its arithmetic
    /// redone: dry 0.5, wet 0.3, soaking 0.2; drilling brings -70, 50, 200, nothing 0. Expected
    /// 20 by drilling, perfect information 35; sounding (no, open, closed structure with
    /// .6 .3 .1, .3 .4 .3, .1 .4 .5) 12.5.
    #[test]
    fn the_wildcatter_pays_as_much_for_soundings_as_the_textbook_says() {
        let chances = shares(&[0.5, 0.3, 0.2]);
        let costs = [amounts(&[70.0, -50.0, -200.0]), amounts(&[0.0, 0.0, 0.0])];
        let perfect = value_of_knowing(&chances, &costs).unwrap();
        let sounding =
            [shares(&[0.6, 0.3, 0.1]), shares(&[0.3, 0.4, 0.3]), shares(&[0.1, 0.4, 0.5])];
        let sounded = value_of_a_test(&chances, &costs, &sounding).unwrap();
        assert!((perfect.amount() - 35.0).abs() < 1e-9 && (sounded.amount() - 12.5).abs() < 1e-9);
    }

    #[test]
    fn what_changes_no_act_is_worth_nothing() {
        let costs = [amounts(&[100.0, 120.0]), amounts(&[150.0, 160.0])];
        let worth = value_of_knowing(&shares(&[0.5, 0.5]), &costs).unwrap();
        assert!(worth.amount().abs() < 1e-12);
        assert!(value_of_knowing(&shares(&[1.0]), &[amounts(&[1.0, 2.0])]).is_none());
    }
}
