//! Rates learnt from logged work: what a method really did, on sample panels, on days of
//! this job and in the firm's own log, pulls its planning range towards it.
//!
//! A rate is believed in its logarithm. The planning range counts as nine chances in ten;
//! the next job's rate varies by a fifth round the firm's own (assumption), and the new
//! range is where it will lie nine times in ten.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::AreaRate;
use tooth_measure::belief::NormalBelief;
use tooth_measure::say::Said;
use tooth_measure::statistics::NINE_IN_TEN;

use super::{Catalogue, Spread, Work};
use crate::survey::{Measured, Survey};

/// How the rate of one job differs from that of the next, in its logarithm. Assumption.
const FROM_JOB_TO_JOB: f64 = 0.2;

/// A rate before and after what was logged.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Learned {
    /// The method.
    pub method: String,
    /// Its name.
    pub name: Said,
    /// Logged works.
    pub count: u32,
    /// The planning range: least, likeliest, greatest, by area and crew-hour.
    pub before_m2_h: [AreaRate; 3],
    /// The range with what was logged.
    pub after_m2_h: [AreaRate; 3],
}

/// The catalogue with every logged rate taken up, and what each has changed.
#[must_use]
pub fn learn(catalogue: &Catalogue, survey: &Survey) -> (Catalogue, Vec<Learned>) {
    let mut taught = catalogue.clone();
    let mut learned = Vec::new();
    for method in &mut taught.methods {
        let on_this_job = survey.readings.iter().filter_map(|reading| match reading.measured {
            Measured::ProductionRate(rate) if reading.instrument == method.id => Some(rate),
            _ => None,
        });
        let Work::Surface(work) = &mut method.work else { continue };
        let rates: Vec<f64> = work
            .logged
            .iter()
            .copied()
            .chain(on_this_job)
            .map(|rate| rate.square_metres_per_hour().ln())
            .collect();
        let Spread { low, likely, high } = work.rate;
        let width = (high.square_metres_per_hour() / low.square_metres_per_hour()).ln();
        if rates.is_empty() || width <= 0.0 {
            continue;
        }
        let prior = NormalBelief {
            mean: likely.square_metres_per_hour().ln(),
            standard_deviation: width / (2.0 * NINE_IN_TEN),
        };
        let now = prior.updated(&rates, FROM_JOB_TO_JOB);
        let reach = NINE_IN_TEN * now.predictive(FROM_JOB_TO_JOB);
        let rate = |log: f64| AreaRate::from_square_metres_per_hour(log.exp());
        if work.logged.is_empty() {
            // Timed on this job: the firm's own from now on.
            work.logged =
                rates.iter().map(|log| AreaRate::from_square_metres_per_hour(log.exp())).collect();
        }
        work.rate = Spread {
            low: rate(now.mean - reach),
            likely: rate(now.mean),
            high: rate(now.mean + reach),
        };
        learned.push(Learned {
            method: method.id.clone(),
            name: method.name.clone(),
            count: rates.len() as u32,
            before_m2_h: [low, likely, high],
            after_m2_h: [work.rate.low, work.rate.likely, work.rate.high],
        });
    }
    (taught, learned)
}
