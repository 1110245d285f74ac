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
/// Samples heard at a time.
const PIECE: usize = 8192;
/// Samples filtered at a time.
const BLOCK: usize = 1 << 15;

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

/// The filter before a [`Listener`], on its own so that another thread can run it.
///
/// It works in blocks of 0.7 s at 48 000 samples a second, and each block in four lanes side
/// by side. A lane begins a little before its part, by when the filter has forgotten what
/// came before to the last bit of a double.
#[derive(Clone)]
pub struct Band {
    sections: [Section; 2],
    /// Samples after which the filter has forgotten: 15 ms, e^(−2π 700 √½ 0.015) = 5e−21.
    memory: usize,
    /// Samples in one step, and how many of the current one are in.
    step: usize,
    inside: usize,
    power: f64,
    /// Mean square of the last four steps.
    last: [f64; 4],
    /// The end of the block before, then what waits for a whole block.
    waiting: Vec<f32>,
    /// Samples of a sweep only pass.
    passes: bool,
}

/// Samples that went through a [`Band`].
#[derive(Default)]
pub struct Banded {
    raw: Vec<f32>,
    band: Vec<f32>,
    steps: Vec<f32>,
}

impl Band {
    fn new(rate: f64) -> Self {
        let memory = (0.015 * rate).ceil() as usize;
        Self {
            sections: [
                Section::high_pass(rate, 700.0),
                Section::low_pass(rate, (0.45 * rate).min(9000.0)),
            ],
            memory,
            step: step(rate),
            inside: 0,
            power: 0.0,
            last: [0.0; 4],
            waiting: vec![0.0; memory],
            passes: false,
        }
    }

    /// Filters the next samples, −1 to 1, in whole blocks: the rest waits. What is no number
    /// is silence. What `done` held before is written over.
    pub fn filter(&mut self, samples: &[f32], done: &mut Banded) {
        let Banded { raw, band, steps } = done;
        raw.clear();
        band.clear();
        steps.clear();
        if self.passes {
            raw.extend(samples.iter().copied().map(sound_or_silence));
            return;
        }
        self.waiting.extend(samples.iter().copied().map(sound_or_silence));
        let blocks = (self.waiting.len() - self.memory) / BLOCK;
        band.resize(blocks * BLOCK, 0.0);
        for (block, out) in band.chunks_exact_mut(BLOCK).enumerate() {
            let input = &self.waiting[block * BLOCK..][..self.memory + BLOCK];
            through(self.sections, input, out);
        }
        raw.extend_from_slice(&self.waiting[self.memory..][..band.len()]);
        self.waiting.drain(..band.len());
        self.measure(band, steps);
    }

    /// Samples that wait for a whole block.
    fn rest(&self) -> &[f32] {
        self.waiting.get(self.memory..).unwrap_or_default()
    }

    /// The envelope of what came through.
    fn measure(&mut self, mut band: &[f32], steps: &mut Vec<f32>) {
        while !band.is_empty() {
            let (now, later) = band.split_at((self.step - self.inside).min(band.len()));
            self.power += sum_of_squares(now);
            self.inside += now.len();
            band = later;
            if self.inside == self.step {
                self.last.rotate_left(1);
                self.last[3] = self.power / self.step as f64;
                steps.push((self.last.iter().sum::<f64>() / 4.0) as f32);
                (self.inside, self.power) = (0, 0.0);
            }
        }
    }
}

/// In four sums at once, so that none waits for the one before.
fn sum_of_squares(values: &[f32]) -> f64 {
    let mut sums = [0.0f64; 4];
    let fours = values.chunks_exact(4);
    for (sum, x) in sums.iter_mut().zip(fours.remainder()) {
        *sum = f64::from(*x).powi(2);
    }
    for four in fours {
        for (sum, x) in sums.iter_mut().zip(four) {
            *sum += f64::from(*x).powi(2);
        }
    }
    sums.iter().sum()
}

/// A block through two sections, four parts of it at once: a filter waits for its own last
/// output, and so four take hardly longer than one.
fn through(sections: [Section; 2], input: &[f32], out: &mut [f32]) {
    let part = out.len() / 4;
    let memory = input.len() - out.len();
    let [mut high, mut low] = sections.map(Section::four);
    let lanes: [&[f32]; 4] = std::array::from_fn(|lane| &input[lane * part..][..memory + part]);
    let mut parts = out.chunks_exact_mut(part);
    let [Some(first), Some(second), Some(third), Some(fourth)] =
        std::array::from_fn(|_| parts.next())
    else {
        return;
    };
    for n in 0..memory {
        low.step(high.step(lanes.map(|lane| f64::from(lane[n]))));
    }
    let outs = first.iter_mut().zip(second).zip(third).zip(fourth);
    for (n, (((first, second), third), fourth)) in (memory..).zip(outs) {
        let x = low.step(high.step(lanes.map(|lane| f64::from(lane[n]))));
        (*first, *second, *third, *fourth) = (x[0] as f32, x[1] as f32, x[2] as f32, x[3] as f32);
    }
}

/// Samples in one step of the envelope.
fn step(rate: f64) -> usize {
    ((rate / STEPS).round() as usize).max(1)
}

/// Hears events in a stream of samples.
pub struct Listener {
    rate: f64,
    /// Samples in one step.
    step: usize,
    filter: Band,
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
            step: step(rate),
            filter: Band::new(rate),
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
        let mut listener = Self { sweep: Some(Sweep::default()), ..Self::new(rate) };
        listener.filter.passes = true;
        listener
    }

    /// A filter that makes what [`Listener::hear_filtered`] takes. Hand a stream either to it
    /// or to [`Listener::hear`].
    #[must_use]
    pub fn band(&self) -> Band {
        let mut band = Band::new(self.rate);
        band.passes = self.filter.passes;
        band
    }

    /// Takes the next samples, −1 to 1. What is no number is silence.
    pub fn hear(&mut self, samples: &[f32]) {
        let mut filtered = Banded::default();
        for piece in samples.chunks(PIECE) {
            self.filter.filter(piece, &mut filtered);
            self.hear_filtered(&filtered);
        }
    }

    /// Takes the next samples as [`Listener::band`] filtered them.
    pub fn hear_filtered(&mut self, piece: &Banded) {
        self.heard.samples += piece.raw.len() as u64;
        self.draw(&piece.raw);
        if self.sweep.is_some() {
            self.take_sweep(&piece.raw);
            return;
        }
        self.take(piece);
        self.look();
        self.forget();
    }

    /// What was heard.
    ///
    /// Of a stream that a [`Band`] filtered, hand it over: samples may still wait in it.
    #[must_use]
    pub fn finish_filtered(mut self, band: Band) -> Heard {
        self.filter = band;
        self.finish()
    }

    /// What was heard.
    #[must_use]
    pub fn finish(mut self) -> Heard {
        if self.sweep.is_some() {
            return self.heard;
        }
        // An offset of the recorder goes on: its end would sound like a blow.
        let waiting = self.filter.rest().to_vec();
        self.heard.samples += waiting.len() as u64;
        self.draw(&waiting);
        let last = waiting.last().or(self.raw.last()).copied().unwrap_or(0.0);
        let rest = (AHEAD + 8) * self.step + self.spectra.length();
        let rest = vec![last; rest + BLOCK - (waiting.len() + rest) % BLOCK];
        let mut piece = Banded::default();
        self.filter.filter(&rest, &mut piece);
        self.take(&piece);
        self.look();
        let end = self.heard.samples as f64 / self.rate;
        self.heard.events.retain(|event| event.time < end);
        self.heard
    }

    fn take_sweep(&mut self, samples: &[f32]) {
        let Some(sweep) = &mut self.sweep else { return };
        let length = self.spectra.length();
        for sample in samples {
            sweep.samples.push(*sample);
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

    fn take(&mut self, piece: &Banded) {
        self.raw.extend_from_slice(&piece.raw);
        self.band.extend_from_slice(&piece.band);
        self.steps.extend_from_slice(&piece.steps);
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
        low[lane] = if sample < low[lane] { sample } else { low[lane] };
        high[lane] = if sample > high[lane] { sample } else { high[lane] };
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
