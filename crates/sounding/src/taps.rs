//! Which events are taps of the list.
//!
//! An event is set aside as an after-bounce, as too weak or as swelling before anything
//! else. With a list, its rows are then laid along the events by the
//! rhythm of the walk: a dynamic program finds the cheapest way in which every row is
//! heard or not and every event is a row or none, so that one missed tap shifts nobody.

use tooth_measure::TimeSpan;

use crate::listen::Event;

/// Why an event is no tap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// A second touch of the hammer just after a louder one.
    Bounce,
    /// Far weaker than the taps.
    Weak,
    /// Swells as speech, scuffs and footsteps do; a hammer does not.
    Swelling,
    /// Does not fit the rhythm of the list.
    OutOfStep,
}

impl Reason {
    /// As a person reads it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Bounce => "a bounce just after a louder tap",
            Self::Weak => "far weaker than the taps",
            Self::Swelling => "swells as speech or a scuff does",
            Self::OutOfStep => "does not fit the rhythm of the listed taps",
        }
    }
}

/// The list and the recording cannot be laid beside each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Misaligned {
    /// Taps of the list.
    pub(crate) listed: usize,
    /// Taps heard.
    pub(crate) heard: usize,
}

/// A second touch comes within this time, in seconds, and at most so loud.
const BOUNCE: f64 = 0.18;
const BOUNCE_LEVEL: f64 = 0.75;
/// What rises less is no blow.
const SHARPEST_SWELL: f64 = 2.2;
/// Taps are at least this loud against the middle of the louder half.
const WEAKEST: f64 = 0.12;

/// Reasons against each event, before any list is looked at.
pub(crate) fn set_aside(events: &[Event]) -> Vec<Option<Reason>> {
    let mut peaks: Vec<f64> = events.iter().map(|event| event.peak).collect();
    peaks.sort_by(f64::total_cmp);
    let usual = peaks.get(peaks.len() * 3 / 4).copied().unwrap_or(0.0);
    events
        .iter()
        .enumerate()
        .map(|(i, event)| {
            let bounced = events[..i]
                .iter()
                .rev()
                .take_while(|other| event.time - other.time < BOUNCE)
                .any(|other| event.peak < BOUNCE_LEVEL * other.peak);
            if bounced {
                Some(Reason::Bounce)
            } else if event.peak < WEAKEST * usual {
                Some(Reason::Weak)
            } else if event.rise < SHARPEST_SWELL {
                Some(Reason::Swelling)
            } else {
                None
            }
        })
        .collect()
}

/// What a row unheard costs, a good event left over, and a step at most: logarithms of
/// odds in the rough.
const UNHEARD: f64 = 5.0;
const LEFT_OVER: f64 = 6.0;
const DOUBTFUL_TAKEN: f64 = 3.0;
const PAUSE: f64 = 7.0;
/// Rows unheard in a row, and events left over between two rows, at most.
const MISSED_AT_ONCE: usize = 6;
const EXTRA_AT_ONCE: usize = 8;
/// Rows kept in play about the best one.
const BEAM: usize = 32;

/// For each row the event that is its tap.
///
/// # Errors
///
/// [`Misaligned`] where more than three rows in ten stay unheard or more than half as
/// many good events as rows are left over: then the rhythm shows nothing.
pub(crate) fn align(
    rows: &[Option<TimeSpan>],
    events: &[Event],
    aside: &[Option<Reason>],
) -> Result<Vec<Option<usize>>, Misaligned> {
    let good = aside.iter().filter(|reason| reason.is_none()).count();
    let refuse = Misaligned { listed: rows.len(), heard: good };
    if rows.len() > 2 * events.len() + MISSED_AT_ONCE {
        return Err(refuse);
    }
    let found = if rows.iter().all(Option::is_some) && !rows.is_empty() {
        by_times(rows, events)
    } else {
        by_rhythm(rows.len(), events, aside)
    };
    let heard = found.iter().flatten().count();
    let taken = found.iter().flatten().filter(|event| aside[**event].is_none()).count();
    let left_over = good - taken;
    if rows.is_empty() || heard * 10 < rows.len() * 7 || left_over * 2 > rows.len() {
        Err(refuse)
    } else {
        Ok(found)
    }
}

/// Rows that carry their times take the loudest event within 60 ms.
fn by_times(rows: &[Option<TimeSpan>], events: &[Event]) -> Vec<Option<usize>> {
    let mut taken = vec![false; events.len()];
    rows.iter()
        .map(|row| {
            let time = row.map_or(f64::NAN, TimeSpan::seconds);
            let best = (0..events.len())
                .filter(|i| !taken[*i] && (events[*i].time - time).abs() <= 0.06)
                .max_by(|a, b| events[*a].peak.total_cmp(&events[*b].peak))?;
            taken[best] = true;
            Some(best)
        })
        .collect()
}

/// One way to have laid the rows up to `row` on the events up to `event`.
#[derive(Clone, Copy)]
struct Way {
    cost: f64,
    row: usize,
    /// Event and index of the way before.
    before: Option<(usize, usize)>,
}

fn by_rhythm(rows: usize, events: &[Event], aside: &[Option<Reason>]) -> Vec<Option<usize>> {
    let period = period(events, aside);
    let own = |event: usize| if aside[event].is_some() { DOUBTFUL_TAKEN } else { 0.0 };
    let dropped = |event: usize| if aside[event].is_some() { 0.0 } else { LEFT_OVER };
    let mut dropped_before = vec![0.0];
    for event in 0..events.len() {
        dropped_before.push(dropped_before[event] + dropped(event));
    }
    let mut ways: Vec<Vec<Way>> = Vec::with_capacity(events.len());
    for event in 0..events.len() {
        let mut best: std::collections::BTreeMap<usize, Way> = std::collections::BTreeMap::new();
        let mut offer = |way: Way| {
            let slot = best.entry(way.row).or_insert(way);
            if way.cost < slot.cost {
                *slot = way;
            }
        };
        if event <= EXTRA_AT_ONCE {
            for row in 0..rows.min(MISSED_AT_ONCE) {
                let cost = own(event) + UNHEARD * row as f64 + dropped_before[event];
                offer(Way { cost, row, before: None });
            }
        }
        for earlier in event.saturating_sub(EXTRA_AT_ONCE + 1)..event {
            let between = dropped_before[event] - dropped_before[earlier + 1];
            let gap = events[event].time - events[earlier].time;
            for (index, way) in ways[earlier].iter().enumerate() {
                for steps in 1..=MISSED_AT_ONCE + 1 {
                    let row = way.row + steps;
                    if row >= rows {
                        break;
                    }
                    let cost = way.cost
                        + own(event)
                        + between
                        + UNHEARD * (steps - 1) as f64
                        + step_cost(gap, steps as f64, period);
                    offer(Way { cost, row, before: Some((earlier, index)) });
                }
            }
        }
        let least = best.values().map(|way| way.cost).fold(f64::INFINITY, f64::min);
        let middle = best.values().find(|way| way.cost <= least).map_or(0, |way| way.row);
        ways.push(best.into_values().filter(|way| way.row.abs_diff(middle) <= BEAM).collect());
    }
    let all = dropped_before[events.len()];
    let end = ways
        .iter()
        .enumerate()
        .flat_map(|(event, ways)| {
            ways.iter().enumerate().map(move |(index, way)| (event, index, way))
        })
        .map(|(event, index, way)| {
            let rest = UNHEARD * (rows - 1 - way.row) as f64 + all - dropped_before[event + 1];
            (way.cost + rest, event, index)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let mut found = vec![None; rows];
    let mut at = end.map(|(_, event, index)| (event, index));
    while let Some((event, index)) = at {
        let way = ways[event][index];
        found[way.row] = Some(event);
        at = way.before;
    }
    found
}

/// How badly a gap fits so many steps of the walk.
fn step_cost(gap: f64, steps: f64, period: f64) -> f64 {
    let off = (gap - steps * period) / (0.15 * period * steps.sqrt());
    let cost = 0.5 * off * off;
    // People pause, but hardly ever hurry to less than half.
    if gap > steps * period { cost.min(PAUSE) } else { cost.min(PAUSE + LEFT_OVER) }
}

/// The usual time between taps.
fn period(events: &[Event], aside: &[Option<Reason>]) -> f64 {
    let times: Vec<f64> = events
        .iter()
        .zip(aside)
        .filter(|(_, reason)| reason.is_none())
        .map(|(event, _)| event.time)
        .collect();
    let mut gaps: Vec<f64> = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
    gaps.sort_by(f64::total_cmp);
    gaps.get(gaps.len() / 2).copied().unwrap_or(0.5).max(0.05)
}
