//! Which event is the tap of which row of the list.
//!
//! Rows without times are laid along the events by the rhythm of the walk, as a chain: each
//! row is heard or not, each event is a row's or none's, and the time from one tap to the
//! next follows the walk's own tempo and unsteadiness. Sums over all ways (forward and
//! backward) give for every row the probability of each event. A row whose event is not
//! clear is left undecided, so that one tap too many or too few shifts nobody; where too
//! many are undecided, list and recording do not belong together.

use std::collections::BTreeMap;

use tooth_measure::TimeSpan;

use crate::excess::median;
use crate::listen::Event;
use crate::taps::{Reason, Usual};

/// The list and the recording cannot be laid beside each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Misaligned {
    /// Taps of the list.
    pub(crate) listed: usize,
    /// Taps heard.
    pub(crate) heard: usize,
}

/// What a row has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Laid {
    /// This event is its tap.
    Heard(usize),
    /// Its tap is not in the recording.
    Unheard,
    /// Which event is its tap does not show.
    Undecided,
}

impl Laid {
    pub(crate) fn event(self) -> Option<usize> {
        match self {
            Self::Heard(event) => Some(event),
            Self::Unheard | Self::Undecided => None,
        }
    }
}

/// Chances that a tap is heard as one, at most, and is not heard, at least; those between
/// are heard but set aside. A loud room, where fewer good events are heard than rows are
/// listed, loses more.
const HEARD: f64 = 0.965;
const UNHEARD: f64 = 0.003;
const LOST_UNHEARD: f64 = 0.15;
/// Sounds as good as taps that are none, in the usual time between taps.
const EXTRA: f64 = 0.002;
/// Chances that a place is struck again, in the rhythm of the walk, and that one of the list
/// is passed by.
const REPEATED: f64 = 0.0005;
const PASSED_BY: f64 = 0.0001;
/// Chances of a pause where the walk goes on and where it turns, and of a step out of all
/// rhythm.
const PAUSE: f64 = 0.02;
const PAUSE_AT_TURN: f64 = 0.4;
const STUMBLE: f64 = 0.01;
/// Natural logarithm's spread of such a step.
const STUMBLE_SPREAD: f64 = 0.7;
/// A row's event is taken from this probability on.
const CLEAR: f64 = 0.9;
/// Events as near as this, in seconds, are touches of one blow.
const ONE_BLOW: f64 = 0.1;
/// Doubtful events in play between two good ones.
const DOUBTFUL_IN_PLAY: usize = 6;
/// Rows unheard in a row, and events left over between two rows, at most.
const MISSED_AT_ONCE: usize = 6;
const EXTRA_AT_ONCE: usize = 12;
/// Rows kept in play about the best one.
const BEAM: usize = 32;
/// Gaps on each side that show the tempo.
const TEMPO: usize = 8;

/// What each row has.
///
/// # Errors
///
/// [`Misaligned`] where more than three rows in ten stay without an event, more than one
/// in seven are undecided, or more good events than that are left over.
pub(crate) fn align(
    rows: &[Option<TimeSpan>],
    turns: &[bool],
    events: &[Event],
    aside: &[Option<Reason>],
) -> Result<Vec<Laid>, Misaligned> {
    let good = aside.iter().filter(|reason| reason.is_none()).count();
    let refuse = Misaligned { listed: rows.len(), heard: good };
    if rows.is_empty() || events.is_empty() || rows.len() > 2 * events.len() + MISSED_AT_ONCE {
        return Err(refuse);
    }
    let times: Option<Vec<f64>> = rows.iter().map(|row| row.map(TimeSpan::seconds)).collect();
    let laid = match &times {
        Some(times) => by_times(times, events, aside),
        None => by_rhythm(turns, events, aside),
    }
    .ok_or(refuse)?;
    let taken: Vec<usize> = laid.iter().filter_map(|row| row.event()).collect();
    let undecided = laid.iter().filter(|row| **row == Laid::Undecided).count();
    let left_over = good - taken.iter().filter(|event| aside[**event].is_none()).count();
    let too_many = |count: usize| count > 3 + rows.len() / 7;
    let unlike = taken.len() * 10 < rows.len() * 7
        || too_many(undecided)
        || (times.is_none() && too_many(left_over.saturating_sub(undecided)));
    if unlike { Err(refuse) } else { Ok(laid) }
}

/// How far list and recording may be apart in time, in seconds, and the step in which the
/// offset is sought.
const FARTHEST_OFFSET: f64 = 60.0;
const OFFSET_STEP: f64 = 0.02;
/// Where the list's clock is the recording's own, offsets up to this are likelier.
const SAME_CLOCK: f64 = 0.15;
/// An offset must match so many more rows, of a hundred, than any other.
const OFFSET_LEAD: f64 = 3.0;

/// Rows that carry their times: the clock of the list may be off by a constant, which is
/// the one that brings most rows to an event. None where two offsets do that alike.
fn by_times(times: &[f64], events: &[Event], aside: &[Option<Reason>]) -> Option<Vec<Laid>> {
    let step = |offset: f64| (offset / OFFSET_STEP).round() as i64;
    let mut pairs: BTreeMap<i64, f64> = BTreeMap::new();
    for time in times {
        let from = events.partition_point(|event| event.time < time - FARTHEST_OFFSET);
        for (event, reason) in events[from..].iter().zip(&aside[from..]) {
            let offset = event.time - time;
            if offset > FARTHEST_OFFSET {
                break;
            }
            let weight = if reason.is_none() { 1.0 } else { 0.1 };
            *pairs.entry(step(offset)).or_insert(0.0) += weight;
        }
    }
    // A triangle over ± 0.08 s: people's clocks are no better.
    let matched = |at: i64| -> f64 {
        (-4..=4i64)
            .map(|d| pairs.get(&(at + d)).unwrap_or(&0.0) * (1.0 - d.unsigned_abs() as f64 / 5.0))
            .sum()
    };
    let same = step(SAME_CLOCK);
    let best_of = |near: bool| -> Option<(i64, f64)> {
        let reach = step(FARTHEST_OFFSET);
        pairs
            .keys()
            .flat_map(|at| at - 4..=at + 4)
            .filter(|at| at.abs() <= reach && (at.abs() <= same) == near)
            .map(|at| (at, matched(at)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.abs().cmp(&a.0.abs())))
    };
    let lead = OFFSET_LEAD * times.len() as f64 / 100.0;
    let near = best_of(true);
    let far = best_of(false);
    let (chosen, score) = match (near, far) {
        (Some(near), Some(far)) if far.1 > near.1 + lead => far,
        (Some(near), _) => near,
        (None, far) => far?,
    };
    // Another offset as good, a step of the walk away: nobody can tell.
    let rival = pairs
        .keys()
        .filter(|at| (**at - chosen).abs() > same)
        .map(|at| matched(*at))
        .fold(0.0, f64::max);
    if chosen.abs() > same && rival > score - lead {
        return None;
    }
    let offset = chosen as f64 * OFFSET_STEP;
    let mut off: Vec<f64> = times
        .iter()
        .filter_map(|time| {
            let near = |event: &&Event| (event.time - time - offset).abs() <= 0.3;
            let from = events.partition_point(|event| event.time < time + offset - 0.3);
            events[from..]
                .iter()
                .take_while(near)
                .map(|event| event.time - time - offset)
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))
        })
        .collect();
    let middle = median(&mut off);
    off.iter_mut().for_each(|off| *off = (*off - middle).abs());
    let spread = (1.5 * median(&mut off)).clamp(0.015, 0.08);
    let offset = offset + middle;
    // Pairs in the order of how well they fit: near in time, and loud.
    let mut fits: Vec<(f64, usize, usize)> = Vec::new();
    for (row, time) in times.iter().enumerate() {
        let from = events.partition_point(|event| event.time < time + offset - 3.5 * spread);
        for (event, heard) in events.iter().enumerate().skip(from) {
            let off = (heard.time - time - offset) / spread;
            if off > 3.5 {
                break;
            }
            let doubt = if aside[event].is_some() { 2.0 } else { 0.0 };
            fits.push((heard.peak.max(1e-9).ln() - 0.5 * off * off - doubt, row, event));
        }
    }
    fits.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    let mut laid = vec![Laid::Unheard; times.len()];
    let mut taken = vec![false; events.len()];
    for (_, row, event) in fits {
        if laid[row] == Laid::Unheard && !taken[event] {
            laid[row] = Laid::Heard(event);
            taken[event] = true;
        }
    }
    Some(laid)
}

/// Events that may be taps: all good ones, and the loudest few of the others between two
/// good ones.
fn in_play(events: &[Event], aside: &[Option<Reason>]) -> Vec<usize> {
    let mut kept = Vec::new();
    let mut between: Vec<usize> = Vec::new();
    let mut keep_loudest = |between: &mut Vec<usize>, good: Option<usize>| {
        between.sort_by(|a, b| events[*b].peak.total_cmp(&events[*a].peak));
        between.truncate(DOUBTFUL_IN_PLAY);
        between.sort_unstable();
        kept.append(between);
        kept.extend(good);
    };
    for (event, reason) in aside.iter().enumerate() {
        if reason.is_some() {
            between.push(event);
        } else {
            keep_loudest(&mut between, Some(event));
        }
    }
    keep_loudest(&mut between, None);
    kept
}

/// Sums over all ways to have laid rows on the events up to one: row by row from
/// `first` on, to be multiplied by e to `log`.
struct Ways {
    first: usize,
    of_row: Vec<f64>,
    log: f64,
}

impl Ways {
    fn at(&self, row: usize) -> f64 {
        row.checked_sub(self.first).and_then(|n| self.of_row.get(n)).copied().unwrap_or(0.0)
    }

    fn scaled(mut self) -> Self {
        let most = self.of_row.iter().copied().fold(0.0, f64::max);
        if most > 0.0 {
            self.of_row.iter_mut().for_each(|sum| *sum /= most);
            self.log += most.ln();
        } else {
            self.log = f64::NEG_INFINITY;
        }
        self
    }
}

/// The walk and the events in play.
struct Walk<'a> {
    rows: usize,
    /// Turns up to each row.
    turned_before: Vec<usize>,
    events: Vec<&'a Event>,
    /// Logarithm of what each event counts as a tap.
    own: Vec<f64>,
    /// Chance that a row is not heard.
    unheard: f64,
    /// Sums up to each event of the logarithm of what it counts as none.
    dropped_before: Vec<f64>,
    tempo: Tempo,
}

/// Time from tap to tap, and how unsteady it is.
struct Tempo {
    /// At each event in play.
    periods: Vec<f64>,
    /// Spread of its natural logarithm.
    spread: f64,
}

impl Tempo {
    fn new(events: &[&Event], good: &[bool]) -> Self {
        let places: Vec<usize> = (0..events.len()).filter(|event| good[*event]).collect();
        let mut gaps: Vec<f64> = places
            .windows(2)
            .map(|pair| (events[pair[1]].time - events[pair[0]].time).max(0.02))
            .collect();
        let local: Vec<f64> = (0..gaps.len())
            .map(|n| {
                let (from, to) = (n.saturating_sub(TEMPO), (n + TEMPO + 1).min(gaps.len()));
                median(&mut gaps[from..to].to_vec())
            })
            .collect();
        let mut off: Vec<f64> =
            gaps.iter().zip(&local).map(|(gap, local)| (gap / local).ln().abs()).collect();
        let spread = if gaps.len() < 5 { 0.15 } else { 1.4826 * median(&mut off) };
        let whole = if gaps.is_empty() { 0.5 } else { median(&mut gaps) };
        let periods = (0..events.len())
            .map(|event| {
                let before = places.partition_point(|place| *place <= event).saturating_sub(1);
                local.get(before.min(local.len().saturating_sub(1))).copied().unwrap_or(whole)
            })
            .collect();
        Self { periods, spread: spread.clamp(0.04, 0.35) }
    }

    /// Density of a gap between so many steps, in units of the usual time between taps.
    fn step(&self, gap: f64, period: f64, steps: f64, turned: bool) -> f64 {
        let normal = |x: f64, spread: f64| {
            (-0.5 * (x / spread).powi(2)).exp() / (spread * (2.0 * std::f64::consts::PI).sqrt())
        };
        let length = (gap / period).max(1e-3);
        let off = (length / steps).ln();
        let pause = if turned { PAUSE_AT_TURN } else { PAUSE };
        let longer = (length - steps).max(0.0);
        // Half of all pauses are over after two steps' time; few are long.
        let paused = if longer > 0.0 { 0.5 / (1.0 + longer / 2.0).powi(2) } else { 0.0 };
        let steady = normal(off, self.spread * (1.0 / steps).max(0.15).sqrt());
        let stumbled = normal(off, STUMBLE_SPREAD);
        ((1.0 - pause - STUMBLE) * steady + STUMBLE * stumbled) / length + pause * paused
    }
}

impl<'a> Walk<'a> {
    fn new(turns: &[bool], events: Vec<&'a Event>, aside: &[Option<Reason>]) -> Self {
        let good: Vec<bool> = aside.iter().map(Option::is_none).collect();
        let tempo = Tempo::new(&events, &good);
        let duration = events.last().map_or(0.0, |last| last.time - events[0].time);
        let whole = median(&mut tempo.periods.clone());
        let doubtful = good.iter().filter(|good| !**good).count() as f64;
        let doubtful_rate = (doubtful / (duration / whole).max(1.0)).clamp(0.02, 3.0);
        let many = good.iter().filter(|good| **good).count() as f64;
        let heard = (many / turns.len().max(1) as f64).clamp(0.7, HEARD);
        let unheard = (LOST_UNHEARD * (1.0 - heard)).max(UNHEARD);
        let doubtfully = 1.0 - heard - unheard;
        let levels: Vec<f64> = events.iter().map(|event| event.peak.max(1e-9).ln()).collect();
        let usual = Usual::of(&levels, &good, 0.35);
        let own = good
            .iter()
            .zip(&levels)
            .map(|(good, level)| {
                // Of two touches the one as loud as the others is the tap.
                let loudness = (-0.15 * usual.off(*level).powi(2)).max(-2.5);
                (if *good { heard } else { doubtfully }).ln() + loudness
            })
            .collect();
        let dropped: Vec<f64> =
            good.iter().map(|good| (if *good { EXTRA } else { doubtful_rate }).ln()).collect();
        let mut dropped_before = vec![0.0];
        for (event, dropped) in dropped.iter().enumerate() {
            dropped_before.push(dropped_before[event] + dropped);
        }
        let turned_before = std::iter::once(0)
            .chain(turns.iter().scan(0, |sum, turn| {
                *sum += usize::from(*turn);
                Some(*sum)
            }))
            .collect();
        Self { rows: turns.len(), turned_before, events, own, unheard, dropped_before, tempo }
    }

    /// Chances of the step from one event to a later one, for each count of rows from none
    /// on, and without a turn on the way or with one.
    fn steps(&self, earlier: usize, later: usize) -> Vec<[f64; 2]> {
        let gap = self.events[later].time - self.events[earlier].time;
        let period = self.tempo.periods[later];
        let step =
            |steps: f64| [false, true].map(|turned| self.tempo.step(gap, period, steps, turned));
        let one = step(1.0);
        (0..=MISSED_AT_ONCE + 1)
            .map(|steps| match steps {
                0 => one.map(|chance| REPEATED * chance),
                1 => one,
                _ => {
                    let unheard = self.unheard.powi(steps as i32 - 1);
                    let passed_by = if steps == 2 { PASSED_BY } else { 0.0 };
                    let long = step(steps as f64);
                    [0, 1].map(|turned| unheard * long[turned] + passed_by * one[turned])
                }
            })
            .collect()
    }

    fn turned(&self, from: usize, to: usize) -> usize {
        usize::from(self.turned_before[to + 1] > self.turned_before[from + 1])
    }

    /// Logarithm of the events dropped between two.
    fn between(&self, earlier: usize, later: usize) -> f64 {
        self.dropped_before[later] - self.dropped_before[earlier + 1]
    }

    fn forward(&self) -> Vec<Ways> {
        let mut all: Vec<Ways> = Vec::with_capacity(self.events.len());
        for event in 0..self.events.len() {
            let from = event.saturating_sub(EXTRA_AT_ONCE + 1);
            // Everything on one scale: that of the likeliest way before.
            let log = all[from..]
                .iter()
                .zip(from..)
                .map(|(ways, earlier)| ways.log + self.between(earlier, event))
                .chain([self.dropped_before[event]])
                .fold(f64::NEG_INFINITY, f64::max);
            let base = all[from..].iter().map(|ways| ways.first).min().unwrap_or(0);
            let mut sums = vec![0.0; self.rows.min(self.span(&all[from..])) - base];
            let start = (self.dropped_before[event] - log).exp();
            for (row, sum) in (base..MISSED_AT_ONCE).zip(sums.iter_mut()) {
                *sum += start * self.unheard.powi(row as i32);
            }
            for (earlier, ways) in all.iter().enumerate().skip(from) {
                let scale = (ways.log + self.between(earlier, event) - log).exp();
                if scale < 1e-60 {
                    continue;
                }
                let steps = self.steps(earlier, event);
                for (n, sum) in ways.of_row.iter().enumerate() {
                    let row = ways.first + n;
                    for (chance, to) in steps.iter().zip(row..self.rows) {
                        sums[to - base] += scale * sum * chance[self.turned(row, to)];
                    }
                }
            }
            let most = sums.iter().copied().fold(0.0, f64::max);
            let middle = sums.iter().position(|sum| *sum >= most).unwrap_or(0);
            let first = middle.saturating_sub(BEAM);
            let of_row = sums[first..(middle + BEAM + 1).min(sums.len())].to_vec();
            all.push(Ways { first: base + first, of_row, log: log + self.own[event] }.scaled());
        }
        all
    }

    /// Rows that may be reached from these.
    fn span(&self, ways: &[Ways]) -> usize {
        let reached = |ways: &Ways| ways.first + ways.of_row.len() + MISSED_AT_ONCE + 1;
        ways.iter().map(reached).max().unwrap_or(0).max(MISSED_AT_ONCE)
    }

    /// The same from the end: all that comes after a row laid on an event.
    fn backward(&self, forward: &[Ways]) -> Vec<Ways> {
        let count = self.events.len();
        let all_dropped = self.dropped_before[count];
        let mut all: Vec<Ways> = Vec::with_capacity(count);
        // Filled from the last event to the first.
        for event in (0..count).rev() {
            let band = &forward[event];
            let end = all_dropped - self.dropped_before[event + 1];
            let later = event + 1..(event + EXTRA_AT_ONCE + 2).min(count);
            let after = |later: usize| &all[count - 1 - later];
            let log = later
                .clone()
                .map(|later| after(later).log + self.own[later] + self.between(event, later))
                .chain([end])
                .fold(f64::NEG_INFINITY, f64::max);
            let mut of_row: Vec<f64> = (0..band.of_row.len())
                .map(|n| {
                    let left = self.rows - 1 - (band.first + n);
                    (end - log).exp() * self.unheard.powi(left.min(200) as i32)
                })
                .collect();
            for later in later {
                let ways = after(later);
                let scale = (ways.log + self.own[later] + self.between(event, later) - log).exp();
                if scale < 1e-60 {
                    continue;
                }
                let steps = self.steps(event, later);
                for (n, sum) in of_row.iter_mut().enumerate() {
                    let row = band.first + n;
                    for (chance, to) in steps.iter().zip(row..self.rows) {
                        *sum += scale * ways.at(to) * chance[self.turned(row, to)];
                    }
                }
            }
            all.push(Ways { first: band.first, of_row, log }.scaled());
        }
        all.reverse();
        all
    }
}

/// None where the rhythm fits no way at all.
fn by_rhythm(
    turns: &[bool],
    all_events: &[Event],
    all_aside: &[Option<Reason>],
) -> Option<Vec<Laid>> {
    let kept = in_play(all_events, all_aside);
    let aside: Vec<Option<Reason>> = kept.iter().map(|event| all_aside[*event]).collect();
    let walk = Walk::new(turns, kept.iter().map(|event| &all_events[*event]).collect(), &aside);
    let forward = walk.forward();
    let backward = walk.backward(&forward);
    // Probability of each event for each row.
    let log = |event: usize| forward[event].log + backward[event].log;
    let whole = {
        let most = (0..kept.len()).map(log).fold(f64::NEG_INFINITY, f64::max);
        if most == f64::NEG_INFINITY {
            return None;
        }
        let end = walk.dropped_before[kept.len()];
        let sum: f64 = (0..kept.len())
            .map(|event| {
                let rest = end - walk.dropped_before[event + 1];
                let ways = &forward[event];
                let ends: f64 = (ways.first..ways.first + ways.of_row.len())
                    .map(|row| {
                        ways.at(row) * walk.unheard.powi((walk.rows - 1 - row).min(200) as i32)
                    })
                    .sum();
                ends * (ways.log + rest - most).exp()
            })
            .sum();
        most + sum.ln()
    };
    if !whole.is_finite() {
        return None;
    }
    let mut of_row: Vec<Vec<(usize, f64)>> = vec![Vec::new(); walk.rows];
    for (event, ways) in forward.iter().enumerate() {
        let scale = (log(event) - whole).exp();
        for (n, sum) in ways.of_row.iter().enumerate() {
            let probability = scale * sum * backward[event].at(ways.first + n);
            if probability > 1e-4 {
                of_row[ways.first + n].push((event, probability));
            }
        }
    }
    let mut last: Option<usize> = None;
    let laid = of_row
        .iter()
        .map(|events| {
            let heard: f64 = events.iter().map(|(_, probability)| probability).sum();
            let Some((best, _)) = events.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)) else {
                return Laid::Unheard;
            };
            let time = walk.events[best].time;
            let blow: f64 = events
                .iter()
                .filter(|(event, _)| (walk.events[*event].time - time).abs() < ONE_BLOW)
                .map(|(_, probability)| probability)
                .sum();
            if blow >= CLEAR && last.is_none_or(|last| best > last) {
                last = Some(best);
                Laid::Heard(kept[best])
            } else if heard <= 1.0 - CLEAR {
                Laid::Unheard
            } else {
                Laid::Undecided
            }
        })
        .collect();
    Some(laid)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use tooth_measure::chance::{Seed, Stream};

    use super::*;
    use crate::spectrum::BANDS;
    use crate::taps::set_aside;

    const PERIOD: f64 = 0.5;

    fn event(time: f64, peak: f64, rise: f64) -> Event {
        let powers = [0.0; BANDS];
        Event { time, peak, rise, clipped: false, powers, before: powers }
    }

    fn tap(time: f64) -> Event {
        event(time, 0.1, 8.0)
    }

    /// Times of a walk whose steps vary by some 8 %, with a pause after each row.
    fn walk(count: usize, per_row: usize, pause: f64, seed: u64) -> Vec<f64> {
        let mut stream = Stream::new(Seed(seed), 0);
        let mut time = 1.0;
        (0..count)
            .map(|n| {
                if n > 0 {
                    let unsteady = (0..3).map(|_| stream.uniform()).sum::<f64>() - 1.5;
                    time += PERIOD * (1.0 + 0.16 * unsteady);
                    if n % per_row == 0 {
                        time += pause;
                    }
                }
                time
            })
            .collect()
    }

    /// Laid without places: nobody knows where the walk turns.
    fn aligned(
        rows: &[Option<TimeSpan>],
        events: &[Event],
        aside: &[Option<Reason>],
    ) -> Result<Vec<Option<usize>>, Misaligned> {
        align(rows, &vec![false; rows.len()], events, aside).map(events_of)
    }

    fn events_of(laid: Vec<Laid>) -> Vec<Option<usize>> {
        laid.into_iter().map(Laid::event).collect()
    }

    fn steady(count: usize, seed: u64) -> Vec<f64> {
        walk(count, usize::MAX, 0.0, seed)
    }

    /// A list of so many rows laid on events, all of them good.
    fn laid(rows: usize, times: &[f64]) -> Result<Vec<Option<usize>>, Misaligned> {
        let events: Vec<Event> = times.iter().copied().map(tap).collect();
        aligned(&vec![None; rows], &events, &set_aside(&events))
    }

    /// What the rows should have where these were not heard.
    fn all_but(rows: usize, unheard: &[usize]) -> Vec<Option<usize>> {
        let mut event = 0..;
        (0..rows).map(|row| if unheard.contains(&row) { None } else { event.next() }).collect()
    }

    /// Whether no row has another's event; refused or undecided rows have none.
    fn shifts_nobody(
        found: &Result<Vec<Option<usize>>, Misaligned>,
        expected: &Result<Vec<Option<usize>>, Misaligned>,
    ) -> bool {
        let (Ok(found), Ok(expected)) = (found, expected) else { return found.is_err() };
        found.iter().zip(expected).all(|(found, expected)| found.is_none() || found == expected)
    }

    fn without(times: &[f64], unheard: &[usize]) -> Vec<f64> {
        (0..times.len()).filter(|n| !unheard.contains(n)).map(|n| times[n]).collect()
    }

    #[test]
    fn every_row_heard_has_its_own_tap() {
        for (rows, seed) in [(1, 1), (2, 2), (3, 3), (30, 4), (400, 5)] {
            assert_eq!(laid(rows, &steady(rows, seed)), Ok(all_but(rows, &[])), "{rows} rows");
        }
    }

    #[test]
    fn a_tap_unheard_in_the_middle_shifts_nobody() {
        for missed in 1..59 {
            let times = without(&steady(60, missed as u64), &[missed]);
            let found = laid(60, &times);
            // Beside the end it may be the end itself.
            let refused = missed == 58 && found.is_err();
            assert!(refused || found == Ok(all_but(60, &[missed])), "row {missed} unheard");
        }
    }

    #[test]
    fn one_tap_too_many_or_too_few_in_the_rhythm_is_refused() {
        for seed in 0..20 {
            for (rows, heard) in [(120, 121), (120, 119)] {
                let found = laid(rows, &steady(heard, seed));
                assert_eq!(found, Err(Misaligned { listed: rows, heard }), "seed {seed}");
            }
        }
    }

    #[test]
    fn between_pauses_at_turns_only_the_line_with_one_too_many_is_undecided() {
        let turns: Vec<bool> = (0..120).map(|row| row > 0 && row % 12 == 0).collect();
        for seed in 0..10 {
            // Thirteen taps in the fifth line.
            let line = |n: usize| if n == 4 { 13 } else { 12 };
            let mut times = Vec::new();
            let mut time = 1.0;
            for n in 0..10 {
                let steps = steady(line(n), seed * 10 + n as u64);
                times.extend(steps.iter().map(|step| time + step));
                time = times[times.len() - 1] + 2.0 - 0.5;
            }
            let events: Vec<Event> = times.iter().copied().map(tap).collect();
            let found = align(&[None; 120], &turns, &events, &[None; 121]).map(events_of);
            let found = found.unwrap_or_default();
            assert_eq!(found.len(), 120, "seed {seed}");
            for (row, event) in found.into_iter().enumerate() {
                match row {
                    0..48 => assert_eq!(event, Some(row), "seed {seed}"),
                    48..60 => assert!(event.is_none_or(|event| event == row || event == row + 1)),
                    _ => assert_eq!(event, Some(row + 1), "seed {seed}"),
                }
            }
        }
    }

    #[test]
    fn an_uneven_walk_with_as_many_taps_as_rows_keeps_them_all() {
        for seed in 0..10 {
            let mut stream = Stream::new(Seed(seed), 3);
            let mut time = 0.0;
            let times: Vec<f64> = (0..120)
                .map(|_| {
                    // Steps of a spread of 0.2 in the natural logarithm.
                    let unsteady = (0..12).map(|_| stream.uniform()).sum::<f64>() - 6.0;
                    time += PERIOD * (0.2 * unsteady).exp();
                    time
                })
                .collect();
            assert_eq!(laid(120, &times), Ok(all_but(120, &[])), "seed {seed}");
        }
    }

    #[test]
    fn several_taps_unheard_shift_nobody() {
        for (seed, missed) in [(1, vec![7, 20, 41]), (2, vec![10, 11]), (3, vec![30, 31, 32, 50])] {
            let times = without(&steady(60, seed), &missed);
            assert_eq!(laid(60, &times), Ok(all_but(60, &missed)), "{missed:?} unheard");
        }
    }

    #[test]
    fn a_first_or_last_tap_unheard_shifts_nobody_or_is_refused() {
        for missed in [0, 29] {
            for seed in 0..20 {
                let found = laid(30, &without(&steady(30, seed), &[missed]));
                // The rhythm alone cannot tell the two from each other.
                let right = found.is_err() || found == Ok(all_but(30, &[missed]));
                assert!(right, "row {missed} unheard, seed {seed}: {found:?}");
            }
        }
    }

    #[test]
    fn pauses_at_the_ends_of_rows_shift_nobody() {
        for pause in [0.3, 0.7, 1.1, 2.9, 10.0] {
            let times = walk(60, 10, pause, 8);
            assert_eq!(laid(60, &times), Ok(all_but(60, &[])), "pauses of {pause} s");
        }
    }

    #[test]
    fn a_tap_unheard_beside_pauses_shifts_nobody() {
        for pause in [0.75, 1.3, 4.3] {
            for missed in [4, 17, 33, 55] {
                let times = without(&walk(60, 10, pause, 9), &[missed]);
                let expected = Ok(all_but(60, &[missed]));
                let told = format!("pauses of {pause} s, row {missed} unheard");
                let found = laid(60, &times);
                // A row or two beside the pause may stay undecided.
                let right = |found: &Result<Vec<Option<usize>>, Misaligned>| {
                    let undecided = found.as_ref().map_or(0, |found| {
                        (0..60).filter(|row| found[*row].is_none() && *row != missed).count()
                    });
                    shifts_nobody(found, &expected) && undecided <= 2
                };
                assert!(right(&found), "{told}: {found:?}");
                // Where the walk turns, a pause is no wonder.
                let turns: Vec<bool> = (0..60).map(|row| row > 0 && row % 10 == 0).collect();
                let events: Vec<Event> = times.iter().copied().map(tap).collect();
                let found = align(&[None; 60], &turns, &events, &set_aside(&events)).map(events_of);
                assert!(right(&found) && found.is_ok(), "{told}, turns known: {found:?}");
            }
        }
    }

    #[test]
    fn a_tap_unheard_beside_pauses_of_one_step_shifts_nobody_or_is_refused() {
        // A gap of two steps is then a pause or a tap unheard.
        for missed in [4, 17, 33, 55] {
            for seed in 0..10 {
                let found = laid(60, &without(&walk(60, 10, PERIOD, seed), &[missed]));
                let right = found.is_err() || found == Ok(all_but(60, &[missed]));
                assert!(right, "row {missed} unheard, seed {seed}: {found:?}");
            }
        }
    }

    #[test]
    fn sounds_between_the_taps_take_no_row() {
        let mut events: Vec<Event> = steady(40, 6).into_iter().map(tap).collect();
        // A bounce, a word of three syllables, and a knock as good as a tap.
        for (after, off, peak, rise) in [
            (30, 0.23, 0.1, 8.0),
            (20, 0.35, 0.05, 2.0),
            (20, 0.28, 0.05, 2.0),
            (20, 0.21, 0.05, 2.0),
            (5, 0.08, 0.05, 8.0),
        ] {
            events.insert(after + 1, event(events[after].time + off, peak, rise));
        }
        let found = aligned(&[None; 40], &events, &set_aside(&events));
        let extra = [6, 22, 23, 24, 35];
        let expected: Vec<Option<usize>> =
            (0..events.len()).filter(|n| !extra.contains(n)).map(Some).collect();
        assert_eq!(found, Ok(expected));
    }

    #[test]
    fn a_tap_heard_only_doubtfully_keeps_its_row() {
        let mut events: Vec<Event> = steady(40, 7).into_iter().map(tap).collect();
        events[17].peak = 0.005;
        events[25].rise = 2.0;
        let aside = set_aside(&events);
        assert!(aside[17].is_some() && aside[25].is_some());
        assert_eq!(aligned(&[None; 40], &events, &aside), Ok(all_but(40, &[])));
    }

    #[test]
    fn talk_before_the_first_tap_and_after_the_last_takes_no_row() {
        for syllables in [3, 8, 9, 20] {
            let talk = |n: usize| event(0.3 * n as f64, 0.04, 2.0);
            let mut events: Vec<Event> = (0..syllables).map(talk).collect();
            let start = 0.3 * syllables as f64 + 1.0;
            events.extend(steady(40, 5).into_iter().map(|time| tap(start + time)));
            let end = start + 25.0;
            events.extend((0..syllables).map(|n| event(end + 0.3 * n as f64, 0.04, 2.0)));
            let found = aligned(&[None; 40], &events, &set_aside(&events));
            let expected: Vec<Option<usize>> = (0..40).map(|row| Some(row + syllables)).collect();
            assert_eq!(found, Ok(expected), "{syllables} syllables");
        }
    }

    #[test]
    fn talk_in_a_pause_takes_no_row() {
        for syllables in [3, 8, 9, 20] {
            let times = steady(40, 5);
            let mut events: Vec<Event> = times[..20].iter().copied().map(tap).collect();
            let start = times[19] + 0.4;
            events.extend((0..syllables).map(|n| event(start + 0.3 * n as f64, 0.04, 2.0)));
            let later = 0.3 * syllables as f64 + 0.6;
            events.extend(times[20..].iter().map(|time| tap(time + later)));
            let found = aligned(&[None; 40], &events, &set_aside(&events));
            let expected: Vec<Option<usize>> =
                (0..40).map(|row| Some(if row < 20 { row } else { row + syllables })).collect();
            assert_eq!(found, Ok(expected), "{syllables} syllables");
        }
    }

    #[test]
    fn a_list_of_another_slab_is_refused_with_both_counts() {
        for (rows, heard) in [(60, 120), (120, 60), (10, 40), (40, 10), (5, 1)] {
            let refused = Err(Misaligned { listed: rows, heard });
            assert_eq!(laid(rows, &steady(heard, 3)), refused, "{rows} rows, {heard} taps");
        }
        assert_eq!(laid(3, &[]), Err(Misaligned { listed: 3, heard: 0 }));
        assert_eq!(laid(0, &steady(3, 1)), Err(Misaligned { listed: 0, heard: 3 }));
    }

    #[test]
    fn a_refusal_counts_good_events_alone() {
        let mut events: Vec<Event> = steady(10, 3).into_iter().map(tap).collect();
        events.push(event(events[9].time + 0.1, 0.05, 8.0));
        let refused = aligned(&[None; 40], &events, &set_aside(&events));
        assert_eq!(refused, Err(Misaligned { listed: 40, heard: 10 }));
    }

    #[test]
    fn rows_with_times_take_the_loudest_event_beside_theirs() {
        let times = walk(20, 7, 2.0, 4);
        let mut events: Vec<Event> = times.iter().copied().map(tap).collect();
        events.insert(6, event(events[5].time + 0.05, 0.04, 8.0));
        events.remove(15);
        let aside = set_aside(&events);
        let rows: Vec<Option<TimeSpan>> =
            times.iter().map(|time| Some(TimeSpan::from_seconds(time + 0.03))).collect();
        let expected: Vec<Option<usize>> = (0..20)
            .map(|row| match row {
                0..=5 => Some(row),
                6..=13 => Some(row + 1),
                14 => None,
                _ => Some(row),
            })
            .collect();
        assert_eq!(aligned(&rows, &events, &aside), Ok(expected.clone()));
        // A list by another clock.
        for late in [-17.3, -0.5, 0.2, 0.5, 3.0] {
            let rows: Vec<Option<TimeSpan>> =
                times.iter().map(|time| Some(TimeSpan::from_seconds(time + late))).collect();
            assert_eq!(aligned(&rows, &events, &aside), Ok(expected.clone()), "{late} s late");
        }
        // Times of another walk.
        let other: Vec<Option<TimeSpan>> = walk(20, 3, 1.3, 99)
            .iter()
            .map(|time| Some(TimeSpan::from_seconds(1.13 * time)))
            .collect();
        assert_eq!(aligned(&other, &events, &aside), Err(Misaligned { listed: 20, heard: 19 }));
    }

    #[test]
    fn no_event_is_the_tap_of_two_rows_of_one_time() {
        let events = [tap(1.0), tap(1.02), tap(2.0)];
        let rows = [1.0, 1.0, 2.0].map(|time| Some(TimeSpan::from_seconds(time)));
        let found = aligned(&rows, &events, &[None; 3]);
        assert!(found.is_ok_and(|found| {
            let mut events: Vec<usize> = found.into_iter().flatten().collect();
            events.sort_unstable();
            events == [0, 1, 2]
        }));
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            cases: 200,
            failure_persistence: None,
            ..ProptestConfig::default()
        })]

        #[test]
        fn any_events_and_any_list_are_laid_in_order_or_refused(
            mut heard in prop::collection::vec((0.0..30.0f64, 0.0..1.0f64, 0.5..20.0f64), 0..60),
            rows in prop::collection::vec(prop::option::of(-1.0..40.0f64), 0..70),
            timed in any::<bool>(),
        ) {
            heard.sort_by(|a, b| a.0.total_cmp(&b.0));
            let events: Vec<Event> = heard.iter().map(|e| event(e.0, e.1, e.2)).collect();
            let rows: Vec<Option<TimeSpan>> = rows
                .iter()
                .map(|row| row.or(timed.then_some(5.0)).map(TimeSpan::from_seconds))
                .collect();
            let aside = set_aside(&events);
            match aligned(&rows, &events, &aside) {
                Ok(found) => {
                    prop_assert_eq!(found.len(), rows.len());
                    let taken: Vec<usize> = found.into_iter().flatten().collect();
                    prop_assert!(taken.iter().all(|event| *event < events.len()));
                    let mut sorted = taken.clone();
                    sorted.sort_unstable();
                    sorted.dedup();
                    prop_assert_eq!(sorted.len(), taken.len());
                    if rows.iter().any(Option::is_none) {
                        prop_assert_eq!(sorted, taken);
                    }
                }
                Err(refused) => {
                    prop_assert_eq!(refused.listed, rows.len());
                    prop_assert_eq!(refused.heard, aside.iter().filter(|a| a.is_none()).count());
                }
            }
        }

        #[test]
        fn up_to_one_tap_in_twenty_unheard_shifts_nobody(
            seed in any::<u64>(),
            mut missed in prop::collection::btree_set(1..59usize, 0..=3),
        ) {
            missed.retain(|row| *row > 0);
            let missed: Vec<usize> = missed.into_iter().collect();
            let times = without(&steady(60, seed), &missed);
            let found = laid(60, &times);
            prop_assert!(shifts_nobody(&found, &Ok(all_but(60, &missed))), "{:?}", found);
        }
    }
}
