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
const PAUSE_AT_TURN: f64 = 2.0;
/// A way must be this much cheaper than one that ends on another row.
const CLEAR: f64 = 1.0;
/// Doubtful events in play between two good ones.
const DOUBTFUL_IN_PLAY: usize = 6;
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
    turns: &[bool],
    events: &[Event],
    aside: &[Option<Reason>],
) -> Result<Vec<Option<usize>>, Misaligned> {
    let good = aside.iter().filter(|reason| reason.is_none()).count();
    let refuse = Misaligned { listed: rows.len(), heard: good };
    if rows.len() > 2 * events.len() + MISSED_AT_ONCE {
        return Err(refuse);
    }
    let timed = rows.iter().all(Option::is_some) && !rows.is_empty();
    let found = if timed {
        by_times(rows, events)
    } else {
        by_rhythm(turns, events, aside).ok_or(refuse)?
    };
    let heard = found.iter().flatten().count();
    let taken = found.iter().flatten().filter(|event| aside[**event].is_none()).count();
    let left_over = good - taken;
    if rows.is_empty() || heard * 10 < rows.len() * 7 || (!timed && left_over * 2 > rows.len()) {
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

/// None where two ways that end on other rows cost the same.
fn by_rhythm(
    turns: &[bool],
    all_events: &[Event],
    all_aside: &[Option<Reason>],
) -> Option<Vec<Option<usize>>> {
    let rows = turns.len();
    let kept = in_play(all_events, all_aside);
    let events: Vec<&Event> = kept.iter().map(|event| &all_events[*event]).collect();
    let aside: Vec<Option<Reason>> = kept.iter().map(|event| all_aside[*event]).collect();
    let turned_before: Vec<usize> = std::iter::once(0)
        .chain(turns.iter().scan(0, |sum, turn| {
            *sum += usize::from(*turn);
            Some(*sum)
        }))
        .collect();
    let period = period(all_events, all_aside);
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
                        + step_cost(
                            gap,
                            steps as f64,
                            period,
                            turned_before[row + 1] > turned_before[way.row + 1],
                        );
                    offer(Way { cost, row, before: Some((earlier, index)) });
                }
            }
        }
        let least = best.values().map(|way| way.cost).fold(f64::INFINITY, f64::min);
        let middle = best.values().find(|way| way.cost <= least).map_or(0, |way| way.row);
        ways.push(best.into_values().filter(|way| way.row.abs_diff(middle) <= BEAM).collect());
    }
    let all = dropped_before[events.len()];
    let ends: Vec<(f64, usize, usize)> = ways
        .iter()
        .enumerate()
        .flat_map(|(event, ways)| {
            ways.iter().enumerate().map(move |(index, way)| (event, index, way))
        })
        .map(|(event, index, way)| {
            let rest = UNHEARD * (rows - 1 - way.row) as f64 + all - dropped_before[event + 1];
            (way.cost + rest, event, index)
        })
        .collect();
    let (least, event, index) = *ends.iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    // The first tap unheard, or the last: rhythm alone cannot tell.
    let row = ways[event][index].row;
    if ends.iter().any(|end| ways[end.1][end.2].row != row && end.0 < least + CLEAR) {
        return None;
    }
    let mut found = vec![None; rows];
    let mut at = Some((event, index));
    while let Some((event, index)) = at {
        let way = ways[event][index];
        found[way.row] = Some(kept[event]);
        at = way.before;
    }
    let turned = |from: usize, to: usize| turned_before[to + 1] > turned_before[from + 1];
    let heard: Vec<(usize, f64)> = found
        .iter()
        .enumerate()
        .filter_map(|(row, event)| event.map(|event| (row, all_events[event].time)))
        .collect();
    is_clear(&heard, period, &turned).then_some(found)
}

/// Whether no pause could as well be the unheard tap, and the other way round.
fn is_clear(heard: &[(usize, f64)], period: f64, turned: &dyn Fn(usize, usize) -> bool) -> bool {
    let gaps: Vec<(f64, usize, bool)> = heard
        .windows(2)
        .map(|pair| {
            let (from, to) = (pair[0], pair[1]);
            (to.1 - from.1, to.0 - from.0, turned(from.0, to.0))
        })
        .collect();
    let with =
        |gap: &(f64, usize, bool), more: f64| step_cost(gap.0, gap.1 as f64 + more, period, gap.2);
    gaps.iter().enumerate().filter(|(_, gap)| gap.1 > 1).all(|(at, unheard)| {
        let as_pause = with(unheard, -1.0) - with(unheard, 0.0);
        gaps.iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .all(|(_, pause)| as_pause + with(pause, 1.0) - with(pause, 0.0) >= CLEAR / 2.0)
    })
}

/// How badly a gap fits so many steps of the walk.
fn step_cost(gap: f64, steps: f64, period: f64, turned: bool) -> f64 {
    let off = (gap - steps * period) / (0.15 * period * steps.sqrt());
    let cost = 0.5 * off * off;
    // People pause, but hardly ever hurry to less than half.
    let pause = if turned { PAUSE_AT_TURN } else { PAUSE };
    if gap > steps * period { cost.min(pause) } else { cost.min(PAUSE + LEFT_OVER) }
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use tooth_measure::chance::{Seed, Stream};

    use super::*;
    use crate::spectrum::BANDS;

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
        align(rows, &vec![false; rows.len()], events, aside)
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

    fn without(times: &[f64], unheard: &[usize]) -> Vec<f64> {
        (0..times.len()).filter(|n| !unheard.contains(n)).map(|n| times[n]).collect()
    }

    #[test]
    fn a_bounce_a_weak_sound_and_a_swelling_one_are_set_aside() {
        let mut events: Vec<Event> = steady(12, 1).into_iter().map(tap).collect();
        events.insert(3, event(events[2].time + 0.09, 0.04, 8.0));
        events.insert(7, event(events[6].time + 0.25, 0.009, 8.0));
        events.insert(10, event(events[9].time + 0.25, 0.06, 2.0));
        let aside = set_aside(&events);
        for (n, reason) in aside.iter().enumerate() {
            let expected = match n {
                3 => Some(Reason::Bounce),
                7 => Some(Reason::Weak),
                10 => Some(Reason::Swelling),
                _ => None,
            };
            assert_eq!(*reason, expected, "event {n}");
        }
        assert!(set_aside(&[]).is_empty());
    }

    #[test]
    fn taps_of_unlike_strength_in_quick_succession_are_no_bounces() {
        // Four taps a second, every other one half as strong.
        let events: Vec<Event> = (0..20)
            .map(|n| event(0.25 * f64::from(n), if n % 2 == 0 { 0.1 } else { 0.05 }, 8.0))
            .collect();
        assert!(set_aside(&events).iter().all(Option::is_none));
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
            assert_eq!(laid(60, &times), Ok(all_but(60, &[missed])), "row {missed} unheard");
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
                // The shortest is much like a tap unheard.
                assert!(found == expected || (pause < 1.0 && found.is_err()), "{told}: {found:?}");
                // Where the walk turns, a pause is no wonder.
                let turns: Vec<bool> = (0..60).map(|row| row > 0 && row % 10 == 0).collect();
                let events: Vec<Event> = times.iter().copied().map(tap).collect();
                let found = align(&[None; 60], &turns, &events, &set_aside(&events));
                assert_eq!(found, expected, "{told}, turns known");
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
        assert_eq!(aligned(&rows, &events, &aside), Ok(expected));
        // A list of other times.
        let late: Vec<Option<TimeSpan>> =
            times.iter().map(|time| Some(TimeSpan::from_seconds(time + 0.2))).collect();
        assert_eq!(aligned(&late, &events, &aside), Err(Misaligned { listed: 20, heard: 19 }));
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
            prop_assert_eq!(laid(60, &times), Ok(all_but(60, &missed)));
        }
    }
}
