//! Made-up recordings of hammer taps, for tests, benches and the demo: never evidence.
//!
//! Physically based but not calibrated. A blow is a half-sine force. The slab answers
//! with the click of an unbounded plate, its thickness mode and a few modes of its own;
//! a loose patch adds the modes of a plate between simply supported and clamped, with
//! the shape (1 − ρ²)^k over its relative radius ρ, and lengthens the contact. The
//! hammer rings too. Then come the room (an exponential tail), noise (pink, white, mains
//! hum), things that are no taps, and the microphone of a phone with its clipping.
//! Every draw comes from a seed.

use std::f64::consts::{PI, TAU};

use realfft::RealFftPlanner;
use tooth_measure::chance::{Seed, Stream};
use tooth_measure::{Area, Fraction, Frequency, Length, Level, Point, Speed, Stress, TimeSpan};

use crate::plate::Material;
use crate::signal::Section;

/// What to make.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Of every draw.
    pub seed: Seed,
    /// Taps along the first direction walked.
    pub columns: u32,
    /// Rows, walked to and fro.
    pub rows: u32,
    /// Distance between taps and between rows.
    pub pitch: Length,
    /// Loose patches.
    pub patches: Patches,
    /// Exponent of the patch's shape: 2 is a clamped rim, 1 a louder one.
    pub rim_exponent: Fraction,
    /// How loud patches ring: 1 is usual.
    pub ring: Fraction,
    /// Mean power of sound taps in their first 20 ms over that of the noise, both from
    /// 300 Hz to 8 kHz.
    pub signal_to_noise: Level,
    /// Taps in a second, in the mean.
    pub tap_rate: Frequency,
    /// Time in which the room's sound falls by 60 dB.
    pub reverberation: TimeSpan,
    /// Direct sound over the room's.
    pub direct_to_room: Level,
    /// Chance of a scuff, a word or a bounce beside a tap.
    pub disturbed: Fraction,
    /// Share of taps that drive the recorder past its range.
    pub clipped: Fraction,
    /// Taps of the list, counted from 0, at which the hammer missed.
    pub silent: Vec<u32>,
    /// Samples in a second.
    pub sample_rate: Frequency,
}

/// The loose patches of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub enum Patches {
    /// So many ellipses of 0.18 m² to 0.85 m² at places drawn by chance.
    Drawn(u32),
    /// These.
    Given(Vec<Patch>),
}

/// A loose patch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Its middle.
    pub centre: Point,
    /// Half its length.
    pub half_length: Length,
    /// Half its width.
    pub half_width: Length,
    /// Direction of its length from the x axis, in turns.
    pub turn: Fraction,
    /// Thickness of the loose layer.
    pub depth: Length,
    /// Pressed shut, so that it hardly rings.
    pub tight: bool,
}

impl Patch {
    /// Relative radius: 0 in the middle, 1 on the rim.
    #[must_use]
    pub fn relative_radius(&self, place: Point) -> Fraction {
        let (sine, cosine) = (TAU * self.turn.ratio()).sin_cos();
        let dx = (place.x - self.centre.x).metres();
        let dy = (place.y - self.centre.y).metres();
        let along = (dx * cosine + dy * sine) / self.half_length.metres();
        let across = (dy * cosine - dx * sine) / self.half_width.metres();
        Fraction::new(along.hypot(across))
    }

    /// Its area.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::from_square_metres(PI * self.half_length.metres() * self.half_width.metres())
    }
}

/// One tap as it was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MadeTap {
    /// When the hammer touched.
    pub time: TimeSpan,
    /// Where, by the list.
    pub place: Point,
    /// On a loose patch.
    pub hollow: bool,
    /// Relative radius in the nearest patch.
    pub relative_radius: Fraction,
    /// Whether the hammer missed.
    pub silent: bool,
}

/// A made-up recording and what is true of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// Samples, −1 to 1, one channel.
    pub samples: Vec<f32>,
    /// Samples in a second.
    pub sample_rate: Frequency,
    /// The taps in their order.
    pub taps: Vec<MadeTap>,
    /// The loose patches.
    pub patches: Vec<Patch>,
}

impl Recipe {
    /// 12 × 10 taps at 0.30 m, two a second, three patches with a louder rim, 15 dB, a
    /// room of half a second.
    #[must_use]
    pub fn usual(seed: Seed) -> Self {
        Self {
            seed,
            columns: 12,
            rows: 10,
            pitch: Length::from_metres(0.30),
            patches: Patches::Drawn(3),
            rim_exponent: Fraction::new(1.0),
            ring: Fraction::new(1.0),
            signal_to_noise: Level::from_decibels(15.0),
            tap_rate: Frequency::from_hertz(2.0),
            reverberation: TimeSpan::from_seconds(0.5),
            direct_to_room: Level::from_decibels(6.0),
            disturbed: Fraction::new(0.06),
            clipped: Fraction::new(0.03),
            silent: Vec::new(),
            sample_rate: Frequency::from_hertz(48_000.0),
        }
    }

    /// The recording.
    #[must_use]
    pub fn make(&self) -> Made {
        let mut maker = Maker::new(self);
        let taps = maker.taps();
        maker.make(taps)
    }

    /// The recording of a chain dragged along the rows, to and fro, at this speed: many
    /// weak blows a second. The taps of what is made are these blows.
    #[must_use]
    pub fn drag(&self, speed: Speed) -> Made {
        let mut maker = Maker::new(self);
        let taps = maker.dragged(speed.metres_per_second());
        maker.make(taps)
    }
}

/// Draws of the shapes needed here.
struct Draws(Stream, Option<f64>);

impl Draws {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.uniform()
    }
    fn normal(&mut self) -> f64 {
        if let Some(second) = self.1.take() {
            return second;
        }
        // Box and Muller's pair.
        let radius = (-2.0 * self.0.uniform().ln()).sqrt();
        let (sine, cosine) = (TAU * self.0.uniform()).sin_cos();
        self.1 = Some(radius * sine);
        radius * cosine
    }
    fn chance(&mut self, share: f64) -> bool {
        self.0.uniform() < share
    }
}

/// A mode of the slab, a patch or the hammer: hertz, damping ratio, amplitude against the
/// click.
#[derive(Clone, Copy)]
struct Mode {
    frequency: f64,
    damping: f64,
    amplitude: f64,
}

/// Nodal diameters' eigenvalues λ² simply supported (ν = 0.2) and clamped, and how well
/// each radiates.
const PLATE_MODES: [(f64, f64, f64); 5] = [
    (4.7826, 10.2158, 1.0),
    (13.7705, 21.2604, 0.45),
    (25.4935, 34.8770, 0.2),
    (29.6037, 39.7711, 0.5),
    (39.9, 51.030, 0.2),
];

/// How loud a patch's first mode is against the click of a sound tap, for a layer of
/// 50 mm: set so that a supervised linear classifier finds these recordings as hard as
/// the field's published ones.
const PATCH_GAIN: f64 = 2.5;

struct Maker<'a> {
    recipe: &'a Recipe,
    rate: f64,
    draws: Draws,
    slab_modes: Vec<Mode>,
    hammer_modes: Vec<Mode>,
    contact: f64,
    patches: Vec<(Patch, Vec<Mode>)>,
}

impl<'a> Maker<'a> {
    fn new(recipe: &'a Recipe) -> Self {
        let mut draws = Draws(Stream::new(recipe.seed, 0), None);
        let speed = draws.between(3500.0, 4300.0);
        let thickness = draws.between(0.10, 0.20);
        let mut slab_modes = vec![Mode {
            frequency: 0.96 * speed / (2.0 * thickness),
            damping: 0.03,
            amplitude: 0.05,
        }];
        for _ in 0..3 {
            slab_modes.push(Mode {
                frequency: draws.between(500.0, 6000.0),
                damping: draws.between(0.02, 0.06),
                amplitude: draws.between(0.02, 0.08),
            });
        }
        let hammer_modes = vec![
            Mode {
                frequency: draws.between(2200.0, 4500.0),
                damping: draws.between(0.004, 0.012),
                amplitude: draws.between(0.03, 0.10),
            },
            Mode {
                frequency: draws.between(5000.0, 9500.0),
                damping: draws.between(0.004, 0.012),
                amplitude: draws.between(0.03, 0.10),
            },
        ];
        let contact = draws.between(0.00018, 0.00032);
        let (placed, modulus) = (placed(recipe, &mut draws), draws.between(22.0, 34.0));
        let patches = placed
            .into_iter()
            .map(|patch| (patch, patch_modes(&patch, modulus, recipe.ring.ratio(), &mut draws)))
            .collect();
        Self {
            recipe,
            rate: recipe.sample_rate.hertz(),
            draws,
            slab_modes,
            hammer_modes,
            contact,
            patches,
        }
    }

    fn make(mut self, taps: Vec<MadeTap>) -> Made {
        let last = taps.last().map_or(0.0, |tap| tap.time.seconds());
        let length = ((last + 1.5) * self.rate) as usize;
        let mut dry = vec![0.0f64; length];
        let mut clean_power = Vec::new();
        let mut strikes = Vec::new();
        for tap in &taps {
            let strength = 10f64.powf(self.draws.normal() * 3.5 / 20.0);
            let contact = self.contact * (1.0 + 0.12 * self.draws.normal()).max(0.5);
            let sound = self.blow(tap, contact);
            let (place, after) = split_time(tap.time, self.rate);
            if !tap.silent {
                add(&mut dry, place, after, &sound, strength);
            }
            strikes.push((*tap, contact));
        }
        self.disturb(&mut dry, &strikes);
        let wet = self.room(&dry);
        let band = band_of(&wet, self.rate);
        for tap in taps.iter().filter(|tap| !tap.hollow && !tap.silent) {
            let start = (tap.time.seconds() * self.rate) as usize;
            let window = &band[start..(start + (0.02 * self.rate) as usize).min(band.len())];
            clean_power.push(mean_power(window));
        }
        if clean_power.is_empty() {
            clean_power.push(mean_power(&band) * 10.0);
        }
        let signal = clean_power.iter().sum::<f64>() / clean_power.len() as f64;
        let noise = self.noise(length);
        let noise_power = mean_power(&band_of(&noise, self.rate));
        let wanted = signal / 10f64.powf(self.recipe.signal_to_noise.decibels() / 10.0);
        let gain = (wanted / noise_power).sqrt();
        let mut heard: Vec<f64> = wet.iter().zip(&noise).map(|(a, b)| a + gain * b).collect();
        self.phone(&mut heard);
        let samples = self.record(&heard, &taps);
        Made {
            samples,
            sample_rate: self.recipe.sample_rate,
            taps,
            patches: self.patches.iter().map(|(patch, _)| *patch).collect(),
        }
    }

    fn taps(&mut self) -> Vec<MadeTap> {
        let recipe = self.recipe;
        let mut taps = Vec::new();
        let period = 1.0 / recipe.tap_rate.hertz();
        let mut time = 0.8;
        for row in 0..recipe.rows {
            for step in 0..recipe.columns {
                let column = if row % 2 == 0 { step } else { recipe.columns - 1 - step };
                let place = Point::new(
                    recipe.pitch * (f64::from(column) + 0.5),
                    recipe.pitch * (f64::from(row) + 0.5),
                );
                // The hammer falls within two centimetres of its mark.
                let struck = Point::new(
                    place.x + Length::from_metres(0.01 * self.draws.normal()),
                    place.y + Length::from_metres(0.01 * self.draws.normal()),
                );
                let radius = self.nearest_radius(struck);
                taps.push(MadeTap {
                    time: TimeSpan::from_seconds(time),
                    place,
                    hollow: radius < 1.0,
                    relative_radius: Fraction::new(radius),
                    silent: recipe.silent.contains(&(taps.len() as u32)),
                });
                time += period * (1.0 + 0.08 * self.draws.normal()).clamp(0.6, 1.6);
            }
        }
        taps
    }

    /// Relative radius in the nearest patch; without one, infinite.
    fn nearest_radius(&self, place: Point) -> f64 {
        self.patches
            .iter()
            .map(|(patch, _)| patch.relative_radius(place).ratio())
            .fold(f64::INFINITY, f64::min)
    }

    fn dragged(&mut self, speed: f64) -> Vec<MadeTap> {
        let recipe = self.recipe;
        let length = recipe.pitch.metres() * f64::from(recipe.columns);
        let mut taps = Vec::new();
        let mut time = 0.5;
        for row in 0..recipe.rows {
            let start = time;
            while time - start < length / speed {
                let along = (time - start) * speed;
                let x = if row % 2 == 0 { along } else { length - along };
                let place =
                    Point::new(Length::from_metres(x), recipe.pitch * (f64::from(row) + 0.5));
                let radius = self.nearest_radius(place);
                taps.push(MadeTap {
                    time: TimeSpan::from_seconds(time),
                    place,
                    hollow: radius < 1.0,
                    relative_radius: Fraction::new(radius),
                    silent: false,
                });
                // Links strike by chance, some sixty times a second.
                time += -self.draws.0.uniform().ln() / 60.0;
            }
            time = start + length / speed + 1.0;
        }
        taps
    }

    /// The dry sound of one blow of unit strength.
    fn blow(&mut self, tap: &MadeTap, contact: f64) -> Vec<f64> {
        let length = (0.12 * self.rate) as usize;
        let mut sound = vec![0.0; length];
        let rim = self.recipe.rim_exponent.ratio();
        let radius = tap.relative_radius.ratio();
        let shape = (1.0 - radius * radius).max(0.0).powf(rim);
        let contact = contact * (1.0 + 0.35 * shape);
        let force = half_sine(contact, self.rate);
        // The click: the force's change, as an unbounded plate sends it off.
        let mut before = 0.0;
        for (n, out) in sound.iter_mut().take(force.len() + 1).enumerate() {
            let now = force.get(n).copied().unwrap_or(0.0);
            *out += now - 0.92 * before;
            before = now;
        }
        let peak = sound.iter().fold(0.0f64, |a, b| a.max(b.abs())).max(1e-12);
        for out in &mut sound {
            *out /= peak;
        }
        let weight: f64 = force.iter().sum();
        let ring = |mode: &Mode, amplitude: f64, sound: &mut [f64]| {
            let mut section = Section::resonator(self.rate, mode.frequency, mode.damping);
            for (n, out) in sound.iter_mut().enumerate() {
                let x = force.get(n).copied().unwrap_or(0.0) / weight;
                *out += amplitude * section.step(x);
            }
        };
        for mode in self.slab_modes.iter().chain(&self.hammer_modes) {
            ring(mode, mode.amplitude, &mut sound);
        }
        if shape > 0.0 {
            let nearest = self
                .patches
                .iter()
                .min_by(|a, b| {
                    a.0.relative_radius(tap.place)
                        .ratio()
                        .total_cmp(&b.0.relative_radius(tap.place).ratio())
                })
                .map(|(_, modes)| modes.clone())
                .unwrap_or_default();
            for (number, mode) in nearest.iter().enumerate() {
                // Higher modes have nodes that a tap may meet.
                let met =
                    if number == 0 { 1.0 } else { (TAU * self.draws.0.uniform()).cos().abs() };
                ring(mode, mode.amplitude * shape * met, &mut sound);
            }
        }
        sound
    }

    /// Scuffs, words and bounces beside some taps.
    fn disturb(&mut self, dry: &mut [f64], strikes: &[(MadeTap, f64)]) {
        let period = 1.0 / self.recipe.tap_rate.hertz();
        for (tap, contact) in strikes {
            if !self.draws.chance(self.recipe.disturbed.ratio()) {
                continue;
            }
            let kind = self.draws.0.uniform();
            let at = tap.time.seconds();
            if kind < 0.34 {
                let start = at + period * self.draws.between(0.3, 0.7);
                let length = self.draws.between(0.05, 0.15);
                let level = self.draws.between(0.02, 0.08);
                let mut low = Section::low_pass(self.rate, 5000.0);
                let mut high = Section::high_pass(self.rate, 800.0);
                let count = (length * self.rate) as usize;
                let sound: Vec<f64> = (0..count)
                    .map(|n| {
                        let rise = (PI * n as f64 / count as f64).sin();
                        high.step(low.step(self.draws.normal() * rise * level))
                    })
                    .collect();
                add(dry, (start * self.rate) as usize, 0.0, &sound, 1.0);
            } else if kind < 0.67 {
                let start = at + period * self.draws.between(0.2, 0.6);
                let pitch = self.draws.between(100.0, 240.0);
                let formant = self.draws.between(400.0, 1800.0);
                let level = self.draws.between(0.02, 0.06);
                let count = (self.draws.between(0.15, 0.4) * self.rate) as usize;
                let sound: Vec<f64> = (0..count)
                    .map(|n| {
                        let t = n as f64 / self.rate;
                        let rise = (PI * n as f64 / count as f64).sin();
                        let voice: f64 = (1..20)
                            .map(|k| {
                                let f = pitch * f64::from(k);
                                (TAU * f * t).sin() / (1.0 + ((f - formant) / 300.0).powi(2))
                            })
                            .sum();
                        voice * rise * level
                    })
                    .collect();
                add(dry, (start * self.rate) as usize, 0.0, &sound, 1.0);
            } else if !tap.silent {
                let start = at + self.draws.between(0.05, 0.12);
                let level = 10f64.powf(-self.draws.between(6.0, 14.0) / 20.0);
                let sound = self.blow(tap, *contact * 1.1);
                add(dry, (start * self.rate) as usize, 0.0, &sound, level);
            }
        }
    }

    /// The direct sound and an exponential tail.
    fn room(&mut self, dry: &[f64]) -> Vec<f64> {
        let decay = self.recipe.reverberation.seconds();
        let count = ((decay * self.rate) as usize).max(1);
        let mut tail: Vec<f64> = (0..count)
            .map(|n| {
                let t = n as f64 / self.rate;
                self.draws.normal() * (-6.908 * t / decay).exp()
            })
            .collect();
        let energy: f64 = tail.iter().map(|x| x * x).sum();
        let wanted = 10f64.powf(-self.recipe.direct_to_room.decibels() / 10.0);
        let gain = (wanted / energy).sqrt();
        for x in &mut tail {
            *x *= gain;
        }
        // The first sound from the walls comes 3 ms after the direct one.
        let mut answer = vec![0.0; (0.003 * self.rate) as usize];
        answer.extend(tail);
        answer[0] = 1.0;
        convolved(dry, &answer)
    }

    /// Pink, white and hum with a slow drift, of no stated level.
    fn noise(&mut self, length: usize) -> Vec<f64> {
        let mut pink = [0.0f64; 3];
        let phase = self.draws.between(0.0, TAU);
        (0..length)
            .map(|n| {
                let t = n as f64 / self.rate;
                let white = self.draws.normal();
                pink[0] = 0.997_65 * pink[0] + white * 0.099_046_0;
                pink[1] = 0.963_00 * pink[1] + white * 0.296_516_4;
                pink[2] = 0.570_00 * pink[2] + white * 1.052_691_3;
                let coloured = pink.iter().sum::<f64>() + white * 0.1848;
                let hum = (TAU * 60.0 * t).sin() + 0.5 * (TAU * 120.0 * t).sin();
                let drift = 1.0 + 0.25 * (TAU * 0.03 * t + phase).sin();
                drift * (coloured + 0.4 * self.draws.normal() + 0.8 * hum)
            })
            .collect()
    }

    fn phone(&self, heard: &mut [f64]) {
        let mut sections = [
            Section::high_pass(self.rate, 120.0),
            Section::bell(self.rate, (0.45 * self.rate).min(9000.0), 1.2, 3.5),
            Section::low_pass(self.rate, (0.45 * self.rate).min(17_000.0)),
        ];
        for x in heard {
            *x = sections.iter_mut().fold(*x, |x, section| section.step(x));
        }
    }

    /// Sixteen bits, with the wanted share of taps past the range.
    fn record(&self, heard: &[f64], taps: &[MadeTap]) -> Vec<f32> {
        let mut peaks: Vec<f64> = taps
            .iter()
            .filter(|tap| !tap.silent)
            .map(|tap| {
                let start = (tap.time.seconds() * self.rate) as usize;
                let end = (start + (0.03 * self.rate) as usize).min(heard.len());
                heard[start..end].iter().fold(0.0f64, |a, b| a.max(b.abs()))
            })
            .collect();
        peaks.sort_by(f64::total_cmp);
        let within = ((peaks.len() as f64) * (1.0 - self.recipe.clipped.ratio())) as usize;
        let full = match (peaks.get(within), peaks.last()) {
            (Some(peak), _) if self.recipe.clipped.ratio() > 0.0 => *peak,
            (_, Some(peak)) => *peak * 1.2,
            _ => 1.0,
        };
        heard
            .iter()
            .map(|x| {
                let level = (x / full * 32_767.0).round().clamp(-32_768.0, 32_767.0);
                (level / 32_768.0) as f32
            })
            .collect()
    }
}

/// The loose patches that a recipe would have, without its recording.
#[cfg(test)]
pub(crate) fn placed_patches(recipe: &Recipe) -> Vec<Patch> {
    placed(recipe, &mut Draws(Stream::new(recipe.seed, 0), None))
}

fn placed(recipe: &Recipe, draws: &mut Draws) -> Vec<Patch> {
    let count = match &recipe.patches {
        Patches::Given(patches) => return patches.clone(),
        Patches::Drawn(count) => *count,
    };
    let width = recipe.pitch.metres() * f64::from(recipe.columns);
    let depth = recipe.pitch.metres() * f64::from(recipe.rows);
    let mut patches: Vec<Patch> = Vec::new();
    for _ in 0..200 * count {
        if patches.len() == count as usize {
            break;
        }
        let area = draws.between(0.18, 0.85);
        let aspect = draws.between(1.0, 1.8);
        let half_length = (area * aspect / PI).sqrt();
        let patch = Patch {
            centre: Point::new(
                Length::from_metres(draws.between(0.0, width)),
                Length::from_metres(draws.between(0.0, depth)),
            ),
            half_length: Length::from_metres(half_length),
            half_width: Length::from_metres(half_length / aspect),
            turn: Fraction::new(draws.between(0.0, 1.0)),
            depth: Length::from_metres(draws.between(0.03, 0.09)),
            tight: draws.chance(0.25),
        };
        let inside = |value: f64, end: f64| value > half_length && value < end - half_length;
        let apart = patches.iter().all(|other| {
            patch.centre.distance(other.centre) > patch.half_length + other.half_length
        });
        if inside(patch.centre.x.metres(), width) && inside(patch.centre.y.metres(), depth) && apart
        {
            patches.push(patch);
        }
    }
    patches
}

fn patch_modes(patch: &Patch, modulus: f64, ring: f64, draws: &mut Draws) -> Vec<Mode> {
    let material =
        Material { modulus: Stress::from_megapascals(modulus * 1000.0), ..Material::CONCRETE };
    let fixity = draws.between(0.15, 0.85);
    let depth = patch.depth.metres();
    // Of a wide loose layer, the part within some half a metre answers a blow.
    let radius = (patch.half_length.metres() * patch.half_width.metres()).sqrt().min(0.6);
    let slender = 1.0 / (1.0 + 9.2 * (depth / (2.0 * radius)).powi(2)).sqrt();
    let stiffness = material.bending_speed(patch.depth);
    PLATE_MODES
        .iter()
        .map(|(supported, clamped, radiates)| {
            let lambda_squared = supported + fixity * (clamped - supported);
            let tight = if patch.tight { (2.5, 0.398) } else { (1.0, 1.0) };
            Mode {
                frequency: (lambda_squared / (TAU * radius * radius) * stiffness * slender)
                    .min(9000.0),
                damping: draws.between(0.012, 0.035) * tight.0,
                amplitude: PATCH_GAIN * ring * (0.05 / depth) * radiates * tight.1,
            }
        })
        .collect()
}

fn half_sine(contact: f64, rate: f64) -> Vec<f64> {
    let count = (contact * rate).ceil() as usize;
    (0..count).map(|n| (PI * (n as f64 + 0.5) / (contact * rate)).sin().max(0.0)).collect()
}

fn split_time(time: TimeSpan, rate: f64) -> (usize, f64) {
    let place = time.seconds() * rate;
    (place as usize, place.fract())
}

/// Adds a sound between two samples.
fn add(into: &mut [f64], place: usize, after: f64, sound: &[f64], gain: f64) {
    for (n, x) in sound.iter().enumerate() {
        if let Some(out) = into.get_mut(place + n) {
            *out += gain * (1.0 - after) * x;
        }
        if let Some(out) = into.get_mut(place + n + 1) {
            *out += gain * after * x;
        }
    }
}

fn band_of(sound: &[f64], rate: f64) -> Vec<f64> {
    let mut high = Section::high_pass(rate, 300.0);
    let mut low = Section::low_pass(rate, (0.45 * rate).min(8000.0));
    sound.iter().map(|x| low.step(high.step(*x))).collect()
}

fn mean_power(sound: &[f64]) -> f64 {
    sound.iter().map(|x| x * x).sum::<f64>() / (sound.len().max(1) as f64)
}

/// Convolution in blocks, cut to the length of the first.
fn convolved(sound: &[f64], answer: &[f64]) -> Vec<f64> {
    let size = (2 * answer.len()).next_power_of_two().max(1024);
    let block = size - answer.len() + 1;
    let mut planner = RealFftPlanner::<f64>::new();
    let (forward, inverse) = (planner.plan_fft_forward(size), planner.plan_fft_inverse(size));
    let spectrum_of = |part: &[f64]| {
        let mut padded = part.to_vec();
        padded.resize(size, 0.0);
        let mut spectrum = forward.make_output_vec();
        // Lengths come from the plan itself, so neither transform can refuse them.
        let _ = forward.process(&mut padded, &mut spectrum);
        spectrum
    };
    let transfer = spectrum_of(answer);
    let mut out = vec![0.0; sound.len()];
    for (number, part) in sound.chunks(block).enumerate() {
        let mut spectrum = spectrum_of(part);
        for (x, t) in spectrum.iter_mut().zip(&transfer) {
            *x *= t;
        }
        let mut time = inverse.make_output_vec();
        let _ = inverse.process(&mut spectrum, &mut time);
        let start = number * block;
        for (n, x) in time.iter().enumerate() {
            if let Some(slot) = out.get_mut(start + n) {
                *slot += x / size as f64;
            }
        }
    }
    out
}
