//! From samples to events: where something was struck, how loud, and its powers in
//! frequency bands. Samples come in pieces of any length; memory does not grow with the
//! recording but for a small note of each event and of each hundredth of a second.
//!
//! The envelope is the mean square over 2 ms of the band from 700 Hz to 9 kHz, at steps
//! of half a millisecond. An event is its peak among the 20 ms on both sides that rises
//! at least half as much again over what was 3 ms to 10 ms earlier and over the median of
//! the 0.3 s around. Its time is the first sample of the last 12 ms at 30 % of its peak, and
//! three and a half times above what was before.

use tooth_measure::{Frequency, TimeSpan};

use crate::signal::Section;
use crate::spectrum::{Powers, Spectra};

/// Steps of the envelope in a second.
const STEPS: f64 = 2000.0;
/// What an event looks back and ahead, in steps.
const BEHIND: usize = 400;
const AHEAD: usize = 240;
const NEAR: usize = 40;
const RISE: f64 = 1.5;
const OVER_MEDIAN: f64 = 1.5;
/// From a blow to the loudest of its ring at most, in steps.
const SWELL: usize = 24;
/// Columns of the strip in a second.
const COLUMNS: f64 = 100.0;
/// A sample this near the recorder's limit is at it.
const LIMIT: f32 = 0.999;

/// One thing heard.
#[derive(Debug, Clone)]
pub(crate) struct Event {
    /// Seconds from the start.
    pub(crate) time: f64,
    /// Root of the envelope's peak.
    pub(crate) peak: f64,
    /// Rise over 3 ms to 10 ms earlier, as a ratio of amplitudes.
    pub(crate) rise: f64,
    /// At least three samples in a row at the recorder's limit.
    pub(crate) clipped: bool,
    /// Powers in the 43 ms from 1 ms before the onset.
    pub(crate) powers: Powers,
    /// Powers in a window just before.
    pub(crate) before: Powers,
}

/// A recording as it was heard.
#[derive(Debug, Clone)]
pub struct Heard {
    pub(crate) rate: f64,
    pub(crate) events: Vec<Event>,
    samples: u64,
    loudest: f32,
    /// Lowest and highest sample of each column, from −1 to 1.
    pub(crate) strip: Vec<(f32, f32)>,
    /// Seconds of a column of the strip.
    pub(crate) column: f64,
}

impl Heard {
    /// Length of the recording.
    #[must_use]
    pub fn duration(&self) -> TimeSpan {
        TimeSpan::from_seconds(self.samples as f64 / self.rate)
    }

    /// Samples in a second.
    #[must_use]
    pub fn sample_rate(&self) -> Frequency {
        Frequency::from_hertz(self.rate)
    }

    /// Whether not a single sample differed from silence.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.loudest <= 0.0
    }
}

/// Hears events in a stream of samples.
pub struct Listener {
    rate: f64,
    sections: [Section; 2],
    /// Samples in one step, and how many of the current one are in.
    step: usize,
    inside: usize,
    power: f64,
    /// Mean square of the last four steps.
    last: [f64; 4],
    /// Mean square over the 2 ms up to each step, from step `first_step` on.
    steps: Vec<f32>,
    first_step: usize,
    /// Next step to look at.
    next: usize,
    /// Samples from number `first` on, as they came and through the band.
    raw: Vec<f32>,
    band: Vec<f32>,
    first: usize,
    spectra: Spectra,
    heard: Heard,
    column: usize,
    in_column: usize,
    /// Where every moment counts, not blows: a chain dragged, a stone rubbed.
    sweep: Option<Sweep>,
}

/// Frames of a sweep that wait for their window, and the windows before it.
#[derive(Default)]
struct Sweep {
    samples: Vec<f32>,
    frames: Vec<Powers>,
    windows: u64,
}

/// Frames of 43 ms in a window of a sweep: a quarter of a second.
const FRAMES: usize = 6;

impl Listener {
    /// For a recording of so many samples a second.
    #[must_use]
    pub fn new(rate: Frequency) -> Self {
        let rate = if rate.hertz() >= 1.0 { rate.hertz().min(1e6) } else { 1.0 };
        let column = ((rate / COLUMNS).round() as usize).max(1);
        Self {
            rate,
            sections: [
                Section::high_pass(rate, 700.0),
                Section::low_pass(rate, (0.45 * rate).min(9000.0)),
            ],
            step: ((rate / STEPS).round() as usize).max(1),
            inside: 0,
            power: 0.0,
            last: [0.0; 4],
            steps: Vec::new(),
            first_step: 0,
            next: 0,
            raw: Vec::new(),
            band: Vec::new(),
            first: 0,
            spectra: Spectra::new(rate),
            heard: Heard {
                rate,
                events: Vec::new(),
                samples: 0,
                loudest: 0.0,
                strip: Vec::new(),
                column: column as f64 / rate,
            },
            column,
            in_column: 0,
            sweep: None,
        }
    }

    /// For a sweep: a dragged chain or a rubbing stone. Instead of events there are windows
    /// of a quarter of a second, each with the median of its frames' powers.
    #[must_use]
    pub fn sweeping(rate: Frequency) -> Self {
        Self { sweep: Some(Sweep::default()), ..Self::new(rate) }
    }

    /// Takes the next samples, −1 to 1. What is no number is silence.
    pub fn hear(&mut self, samples: &[f32]) {
        for piece in samples.chunks(8192) {
            self.heard.samples += piece.len() as u64;
            self.draw(piece);
            if self.sweep.is_some() {
                self.take_sweep(piece);
                continue;
            }
            self.take(piece);
            self.look();
            self.forget();
        }
    }

    /// What was heard.
    #[must_use]
    pub fn finish(mut self) -> Heard {
        if self.sweep.is_some() {
            return self.heard;
        }
        // An offset of the recorder goes on: its end would sound like a blow.
        let last = self.raw.last().copied().unwrap_or(0.0);
        let rest = vec![last; (AHEAD + 8) * self.step + self.spectra.length()];
        for piece in rest.chunks(8192) {
            self.take(piece);
            self.look();
        }
        let end = self.heard.samples as f64 / self.rate;
        self.heard.events.retain(|event| event.time < end);
        self.heard
    }

    fn take_sweep(&mut self, samples: &[f32]) {
        let Some(sweep) = &mut self.sweep else { return };
        let length = self.spectra.length();
        for sample in samples.iter().copied().map(sound_or_silence) {
            sweep.samples.push(sample);
            if sweep.samples.len() < length {
                continue;
            }
            sweep.frames.push(self.spectra.powers(&sweep.samples));
            sweep.samples.clear();
            if sweep.frames.len() < FRAMES {
                continue;
            }
            let mut powers: Powers = Default::default();
            for (band, power) in powers.iter_mut().enumerate() {
                let mut values: Vec<f32> = sweep.frames.iter().map(|frame| frame[band]).collect();
                values.sort_by(f32::total_cmp);
                *power = f32::midpoint(values[FRAMES / 2 - 1], values[FRAMES / 2]);
            }
            sweep.frames.clear();
            sweep.windows += 1;
            let window = (FRAMES * length) as f64 / self.rate;
            self.heard.events.push(Event {
                time: (sweep.windows as f64 - 0.5) * window,
                peak: f64::from(powers.iter().sum::<f32>()).sqrt(),
                rise: f64::INFINITY,
                clipped: false,
                powers,
                before: Default::default(),
            });
        }
    }

    fn take(&mut self, samples: &[f32]) {
        let fresh = self.raw.len();
        self.raw.extend(samples.iter().copied().map(sound_or_silence));
        self.band.resize(self.raw.len(), 0.0);
        // Copies, so that the filters' memory stays in registers.
        let [mut high, mut low] = self.sections;
        let (mut inside, mut power) = (self.inside, self.power);
        for (out, sample) in self.band[fresh..].iter_mut().zip(&self.raw[fresh..]) {
            let x = low.step(high.step(f64::from(*sample)));
            *out = x as f32;
            power += x * x;
            inside += 1;
            if inside == self.step {
                self.last.rotate_left(1);
                self.last[3] = power / self.step as f64;
                self.steps.push((self.last.iter().sum::<f64>() / 4.0) as f32);
                (inside, power) = (0, 0.0);
            }
        }
        (self.inside, self.power) = (inside, power);
        self.sections = [high, low];
    }

    /// Keeps the extremes of each hundredth of a second.
    fn draw(&mut self, samples: &[f32]) {
        let mut rest = samples;
        while !rest.is_empty() {
            if self.in_column == 0 {
                self.heard.strip.push((0.0, 0.0));
            }
            let count = (self.column - self.in_column).min(rest.len());
            let (now, later) = rest.split_at(count);
            if let Some(column) = self.heard.strip.last_mut() {
                let (low, high) = extremes(now);
                *column = (column.0.min(low), column.1.max(high));
                self.heard.loudest = self.heard.loudest.max(column.1).max(-column.0);
            }
            self.in_column = (self.in_column + count) % self.column;
            rest = later;
        }
    }

    /// Mean square over the 2 ms that end with step `k`.
    fn level(&self, k: usize) -> f64 {
        f64::from(self.steps[k - self.first_step])
    }

    fn look(&mut self) {
        let end = self.first_step + self.steps.len();
        while self.next + AHEAD < end {
            let k = self.next;
            self.next += 1;
            // What was 10 ms earlier is not known yet.
            if k < self.first_step + 25 {
                continue;
            }
            let here = self.level(k);
            if here <= self.level(k - 1) || here < self.level(k + 1) {
                continue;
            }
            let earlier = (k - 22..=k - 6).map(|j| self.level(j)).sum::<f64>() / 17.0;
            if here < RISE * RISE * earlier.max(1e-18) {
                continue;
            }
            let louder_near = (1..=NEAR).any(|d| {
                self.level(k + d) > here
                    || (k >= self.first_step + d + 3 && self.level(k - d) > here)
            });
            if louder_near {
                continue;
            }
            let from = k.saturating_sub(BEHIND).max(self.first_step + 3);
            let mut around: Vec<f64> =
                (from..k + AHEAD - 40).step_by(2).map(|j| self.level(j)).collect();
            let middle = around.len() / 2;
            let (_, median, _) = around.select_nth_unstable_by(middle, f64::total_cmp);
            if here >= OVER_MEDIAN * OVER_MEDIAN * *median {
                self.note(k, here.sqrt(), (here / earlier.max(1e-18)).sqrt());
            }
        }
    }

    /// Mean of the levels of some steps, of those that are still kept.
    fn mean_level(&self, from: usize, to: usize) -> f64 {
        let from = from.max(self.first_step);
        let levels: f64 = (from..=to).map(|step| self.level(step)).sum();
        levels / (to + 1).saturating_sub(from).max(1) as f64
    }

    /// Times an event at step `k` and takes its spectra.
    fn note(&mut self, k: usize, peak: f64, rise: f64) {
        let end = ((k + 1) * self.step).saturating_sub(self.first).min(self.band.len());
        // A loose layer may ring louder than the blow itself, some milliseconds later.
        let start = end.saturating_sub(SWELL * self.step);
        let loudest = self.band[start..end].iter().fold(0.0f32, |a, b| a.max(b.abs()));
        let lead = (0.001 * self.rate) as usize;
        let back = start.saturating_sub(lead);
        let earliest = k.saturating_sub(SWELL + 2);
        let quiet = self.mean_level(earliest.saturating_sub(40), earliest).sqrt();
        let threshold = (3.5 * quiet).clamp(0.3 * f64::from(loudest), 0.9 * f64::from(loudest));
        let onset = self.band[back..end]
            .iter()
            .position(|x| f64::from(x.abs()) >= threshold)
            .map_or(start, |n| back + n);
        let onset_step = (self.first + onset) / self.step;
        let earlier = self.mean_level(onset_step.saturating_sub(20), onset_step.saturating_sub(3));
        let rise = rise.max(peak / earlier.max(1e-18).sqrt());
        let length = self.spectra.length();
        let from = onset.saturating_sub(lead);
        let window = &self.raw[from..(from + length).min(self.raw.len())];
        let clipped = window.windows(3).any(|w| {
            w[0].abs() >= LIMIT && w[0].total_cmp(&w[1]).is_eq() && w[1].total_cmp(&w[2]).is_eq()
        });
        let powers = self.spectra.powers(window);
        let quiet = from.saturating_sub(length + lead);
        let before = self.spectra.powers(&self.raw[quiet..from.min(quiet + length)]);
        self.heard.events.push(Event {
            time: (self.first + onset) as f64 / self.rate,
            peak,
            rise,
            clipped,
            powers,
            before,
        });
    }

    /// Drops what no event will look at again.
    fn forget(&mut self) {
        let keep = self.next.saturating_sub(BEHIND + 8);
        if keep > self.first_step + 4 * BEHIND {
            self.steps.drain(..keep - self.first_step);
            self.first_step = keep;
            let first = keep * self.step;
            self.raw.drain(..first - self.first);
            self.band.drain(..first - self.first);
            self.first = first;
        }
    }
}

/// Lowest and highest sample, or 0 where all lie on one side of it. Eight lanes at a time,
/// so that no comparison waits for the one before.
fn extremes(samples: &[f32]) -> (f32, f32) {
    let (mut low, mut high) = ([0.0f32; 8], [0.0f32; 8]);
    let mut lanes = samples.chunks_exact(8);
    let mut see = |lane: usize, sample: f32| {
        let x = sound_or_silence(sample);
        low[lane] = if x < low[lane] { x } else { low[lane] };
        high[lane] = if x > high[lane] { x } else { high[lane] };
    };
    for eight in &mut lanes {
        for (lane, sample) in eight.iter().enumerate() {
            see(lane, *sample);
        }
    }
    for (lane, sample) in lanes.remainder().iter().enumerate() {
        see(lane, *sample);
    }
    (low.into_iter().fold(0.0, f32::min), high.into_iter().fold(0.0, f32::max))
}

/// What is no number is silence.
fn sound_or_silence(sample: f32) -> f32 {
    if sample.is_finite() { sample } else { 0.0 }
}
