//! Which events are taps: those not set aside as an after-bounce, as too weak or as
//! swelling.

use crate::excess::{level_free, median};
use crate::listen::Event;
use crate::spectrum::BANDS;
use tooth_measure::say::{Said, said};

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
    /// May be a tap of the list; of which row the rhythm does not show.
    Undecided,
}

impl Reason {
    /// As a person reads it.
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::Bounce => said!("sound-bounce"),
            Self::Weak => said!("sound-weak"),
            Self::Swelling => said!("sound-swelling"),
            Self::OutOfStep => said!("sound-out-of-step"),
            Self::Undecided => said!("sound-undecided"),
        }
    }
}

/// A second touch comes within this time, in seconds, and at most so loud.
const BOUNCE: f64 = 0.18;
const BOUNCE_LEVEL: f64 = 0.75;
/// What rises less is no blow.
const SHARPEST_SWELL: f64 = 2.2;
/// Taps are at least this loud against the middle of the louder half.
const WEAKEST: f64 = 0.12;

/// What is duller in its rise than the taps and unlike them in spectrum, both by so many
/// of their own spreads, is no blow either.
const STRANGEST: f64 = 2.2;

/// Reasons against each event, before any list is looked at.
pub(crate) fn set_aside(events: &[Event]) -> Vec<Option<Reason>> {
    let mut peaks: Vec<f64> = events.iter().map(|event| event.peak).collect();
    peaks.sort_by(f64::total_cmp);
    let usual = peaks.get(peaks.len() * 3 / 4).copied().unwrap_or(0.0);
    let mut aside: Vec<Option<Reason>> = events
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
        .collect();
    let good: Vec<bool> = aside.iter().map(Option::is_none).collect();
    if good.iter().filter(|good| **good).count() >= FEWEST_TO_COMPARE {
        for (reason, strange) in aside.iter_mut().zip(strangeness(events, &good)) {
            if strange > STRANGEST {
                *reason = reason.or(Some(Reason::Swelling));
            }
        }
    }
    aside
}

/// Good events that show what is usual, at least.
const FEWEST_TO_COMPARE: usize = 12;

/// What is usual of some values: their median and spread, as a standard deviation.
pub(crate) struct Usual {
    median: f64,
    spread: f64,
}

impl Usual {
    /// Of those marked good; the spread is at least so much.
    pub(crate) fn of(values: &[f64], good: &[bool], least: f64) -> Self {
        let mut own: Vec<f64> =
            values.iter().zip(good).filter(|(_, good)| **good).map(|(value, _)| *value).collect();
        let middle = median(&mut own);
        own.iter_mut().for_each(|value| *value = (*value - middle).abs());
        // 1.4826 times the median deviation is the standard deviation of a normal law.
        Self { median: middle, spread: (1.4826 * median(&mut own)).max(least) }
    }

    /// How far a value is off, in spreads.
    pub(crate) fn off(&self, value: f64) -> f64 {
        (value - self.median) / self.spread
    }
}

/// How far each event is from the good ones: the lesser of how dull its rise is and how
/// unlike its spectrum. A hollow tap is unlike a sound one, and a loud room dulls every
/// rise; only what is both is hardly a blow.
fn strangeness(events: &[Event], good: &[bool]) -> Vec<f64> {
    let rise: Vec<f64> = events.iter().map(|event| event.rise.clamp(1.0, 1e3).ln()).collect();
    let spectra: Vec<Vec<f64>> = events.iter().map(spectrum).collect();
    let usual: Vec<f64> = (0..BANDS)
        .map(|band| {
            let good = spectra.iter().zip(good).filter(|(_, good)| **good);
            median(&mut good.map(|(spectrum, _)| spectrum[band]).collect::<Vec<f64>>())
        })
        .collect();
    let unlike: Vec<f64> = spectra
        .iter()
        .map(|spectrum| {
            let off = spectrum.iter().zip(&usual).map(|(a, b)| (a - b).abs()).sum::<f64>();
            (off / BANDS as f64).max(1e-3).ln()
        })
        .collect();
    let (of_rise, of_unlike) = (Usual::of(&rise, good, 0.25), Usual::of(&unlike, good, 0.25));
    rise.iter()
        .zip(&unlike)
        .map(|(rise, unlike)| of_unlike.off(*unlike).min(-of_rise.off(*rise)))
        .collect()
}

/// Levels of an event's bands over what was heard just before, in decibels without their
/// mean; 0 in bands that the sample rate lacks.
fn spectrum(event: &Event) -> Vec<f64> {
    let bands = event.powers.iter().rposition(|power| *power > 0.0).map_or(0, |last| last + 1);
    let before: Vec<f64> = event.before[..bands].iter().copied().map(f64::from).collect();
    let (_, mut levels) = level_free(&event.powers, &before);
    levels.resize(BANDS, 0.0);
    levels
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(time: f64, peak: f64, rise: f64) -> Event {
        let powers = [0.0; BANDS];
        Event { time, peak, rise, clipped: false, powers, before: powers }
    }

    #[test]
    fn a_bounce_a_weak_sound_and_a_swelling_one_are_set_aside() {
        let mut events: Vec<Event> =
            (0..12).map(|n| event(1.0 + 0.5 * f64::from(n), 0.1, 8.0)).collect();
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
}
