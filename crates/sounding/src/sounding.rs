//! A recording and its list, sounded.

use tooth_measure::chance::Seed;
use tooth_measure::say::{Said, said};
use tooth_measure::{Fraction, Frequency, Length, Level, Outline, Point, TimeSpan};

use crate::align::{Laid, Misaligned, align};
use crate::excess::{decibels, excess, noise, reference};
use crate::field::{Field, field};
use crate::groups::{HOLLOW_FROM, tell};
use crate::hit;
use crate::listen::{Event, Heard};
use crate::neighbours::Neighbours;
use crate::prior::Prior;
use crate::spectrum::{Powers, bands_of, middle};
use crate::taps::{Reason, set_aside};

/// What a person vouches for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// Known good: opened, cored or sounded beyond doubt.
    Sound,
    /// Known loose: opened, or heard beyond doubt.
    Hollow,
}

/// One row of the list of taps, in the order they were struck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Its number in the list.
    pub number: u32,
    /// Where it was struck.
    pub place: Option<Point>,
    /// What a person vouches for.
    pub known: Option<Known>,
    /// When, where the list says so.
    pub time: Option<TimeSpan>,
}

/// One point of a path that was swept, in the order of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// When the chain was there.
    pub time: TimeSpan,
    /// Where.
    pub place: Point,
    /// What a person vouches for on the way to the next point.
    pub known: Option<Known>,
}

/// Where the path is at a moment, and what is known there.
fn along(path: &[Step], time: f64) -> Option<(Point, Option<Known>)> {
    path.windows(2).find_map(|pair| {
        let (from, to) = (pair[0].time.seconds(), pair[1].time.seconds());
        let inside = from <= time && time < to;
        inside.then(|| {
            let share = (time - from) / (to - from);
            let between = |a: Length, b: Length| a + (b - a) * share;
            let (a, b) = (pair[0].place, pair[1].place);
            (Point::new(between(a.x, b.x), between(a.y, b.y)), pair[0].known)
        })
    })
}

/// How well a tap was heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hearing {
    /// Clearly.
    Clear,
    /// Something was louder: it says nothing of the concrete.
    Drowned,
    /// Not at all.
    Unheard,
    /// One of several sounds is it, and the rhythm does not show which.
    Undecided,
}

/// How a tap sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// Sound: less than one in five is loose.
    Sound,
    /// Neither: tap again, or open it.
    Doubtful,
    /// Hollow: at least two in five are loose.
    Hollow,
}

/// Which groups of taps the slab has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Groups {
    /// One, and known-good taps are in it.
    OneSound,
    /// One, and verified hollow taps are in it.
    OneHollow,
    /// Two, and a person's taps tell which is which.
    Two,
    /// Nobody vouched for a tap, or those vouched for do not tell the groups apart.
    NotEstablished,
}

/// One tap.
#[derive(Debug, Clone, PartialEq)]
pub struct Tap {
    /// Its number in the list; without a list, its order from 0.
    pub number: u32,
    /// When it was heard; none where it was not.
    pub time: Option<TimeSpan>,
    /// How well. One that is not clear is at best doubtful: its neighbours alone speak.
    pub hearing: Hearing,
    /// Where it was struck.
    pub place: Option<Point>,
    /// What a person vouches for.
    pub known: Option<Known>,
    /// Probability that the concrete under it is loose.
    pub hollow: Fraction,
    /// The same in one word.
    pub class: Class,
    /// Whether the recorder was driven past its range.
    pub clipped: bool,
}

/// A sound that is no tap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rejected {
    /// When.
    pub time: TimeSpan,
    /// Why not.
    pub reason: Reason,
}

/// Mean level per band over that of the whole tap.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    /// Middle of each band.
    pub bands: Vec<Frequency>,
    /// Typical sound tap.
    pub sound: Vec<Level>,
    /// Typical hollow tap; none without one.
    pub hollow: Option<Vec<Level>>,
}

/// The recording as a line of extremes.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Length of a column.
    pub column: TimeSpan,
    /// Lowest and highest sample of each column, against full range.
    pub columns: Vec<(Fraction, Fraction)>,
}

/// Why a recording cannot be sounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Not one sample.
    Empty,
    /// Every sample is silence.
    Silent,
    /// Too few samples a second to hear a loose layer.
    LowRate,
    /// Not one tap.
    NoTaps,
    /// The list and the recording cannot be laid beside each other.
    Misaligned {
        /// Taps of the list.
        listed: usize,
        /// Taps heard.
        heard: usize,
    },
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Empty => write!(f, "the recording holds no samples"),
            Self::Silent => write!(f, "every sample of the recording is silence"),
            Self::LowRate => {
                write!(
                    f,
                    "the recording has fewer than 8000 samples a second: too few to hear a loose layer"
                )
            }
            Self::NoTaps => write!(f, "no tap stands out of the recording"),
            Self::Misaligned { listed, heard } => write!(
                f,
                "the list has {listed} taps and the recording {heard}, and their rhythm does not \
                 show which is which"
            ),
        }
    }
}

impl std::error::Error for Refusal {}

impl Refusal {
    /// Why there is no sounding.
    #[must_use]
    pub fn said(self) -> Said {
        match self {
            Self::Empty => said!("the-recording-holds-no-samples"),
            Self::Silent => said!("every-sample-of-the-recording-is-silence"),
            Self::LowRate => said!("too-few-samples-a-second-to-hear-a-loose-layer"),
            Self::NoTaps => said!("no-tap-stands-out-of-the-recording"),
            Self::Misaligned { listed, heard } => {
                said!("the-rhythm-does-not-show-which-tap-is-which", listed = listed, heard = heard)
            }
        }
    }
}

/// What a recording says of a slab.
#[derive(Debug, Clone, PartialEq)]
pub struct Sounding {
    /// Taps in their order; with a list exactly one per row.
    pub taps: Vec<Tap>,
    /// Sounds that are no taps, in their order.
    pub rejected: Vec<Rejected>,
    /// Which groups there are.
    pub groups: Groups,
    /// The plane; none where taps have no places.
    pub field: Option<Field>,
    /// Typical taps.
    pub spectrum: Spectrum,
    /// The recording.
    pub strip: Strip,
    /// Its length.
    pub duration: TimeSpan,
    /// Its samples in a second.
    pub sample_rate: Frequency,
}

/// Lowest sample rate that is read, in hertz.
const LOWEST_RATE: f64 = 8000.0;
/// A place further off than this, in metres, is none.
const FARTHEST: f64 = 1e5;
/// Below this a tap is sound.
const SOUND_BELOW: f64 = 0.2;
/// Columns of the strip at most.
const STRIP_COLUMNS: usize = 4000;

impl Sounding {
    /// Sounds a recording by its list; an empty list takes every tap heard, without places.
    ///
    /// # Errors
    ///
    /// [`Refusal`], which says what is wrong.
    pub fn of(heard: &Heard, marks: &[Mark], boundary: Option<&Outline>) -> Result<Self, Refusal> {
        can_be_sounded(heard)?;
        let aside = set_aside(&heard.events);
        if aside.iter().all(Option::is_some) {
            return Err(Refusal::NoTaps);
        }
        let (rows, laid) = if marks.is_empty() {
            let good = (0..aside.len()).filter(|i| aside[*i].is_none());
            good.enumerate()
                .map(|(number, event)| {
                    let mark = Mark { number: number as u32, place: None, known: None, time: None };
                    (mark, Laid::Heard(event))
                })
                .unzip()
        } else {
            let times: Vec<Option<TimeSpan>> = marks.iter().map(|mark| mark.time).collect();
            let laid = align(&times, &turns(marks), &heard.events, &aside)
                .map_err(|Misaligned { listed, heard }| Refusal::Misaligned { listed, heard })?;
            (marks.to_vec(), laid)
        };
        Ok(sounded(heard, &rows, &laid, &aside, boundary))
    }

    /// Sounds a sweep: what [`Listener::sweeping`](crate::Listener::sweeping) heard along the
    /// path that was walked. Each window of a quarter of a second between the path's first
    /// and last moment is a tap of the answer.
    ///
    /// # Errors
    ///
    /// [`Refusal`], which says what is wrong.
    pub fn of_sweep(
        heard: &Heard,
        path: &[Step],
        boundary: Option<&Outline>,
    ) -> Result<Self, Refusal> {
        can_be_sounded(heard)?;
        let (rows, laid): (Vec<Mark>, Vec<Laid>) = heard
            .events
            .iter()
            .enumerate()
            .filter_map(|(event, heard)| Some((along(path, heard.time)?, event)))
            .enumerate()
            .map(|(number, ((place, known), event))| {
                let place = Some(place);
                (Mark { number: number as u32, place, known, time: None }, Laid::Heard(event))
            })
            .unzip();
        if rows.is_empty() {
            return Err(Refusal::NoTaps);
        }
        let mut sounding = sounded(heard, &rows, &laid, &vec![None; heard.events.len()], boundary);
        sounding.rejected.clear();
        Ok(sounding)
    }

    /// Taps that sound so.
    #[must_use]
    pub fn count(&self, class: Class) -> usize {
        self.taps.iter().filter(|tap| tap.class == class).count()
    }

    /// Smallest round hollow that the grid cannot miss; none without places.
    #[must_use]
    pub fn smallest_surely_found(&self) -> Option<Length> {
        self.field.as_ref().map(|field| hit::surely_touched(field.pitch))
    }
}

/// Whether there is anything to sound.
fn can_be_sounded(heard: &Heard) -> Result<(), Refusal> {
    if heard.duration().seconds() <= 0.0 {
        return Err(Refusal::Empty);
    }
    if heard.is_silent() {
        return Err(Refusal::Silent);
    }
    if heard.rate < LOWEST_RATE {
        return Err(Refusal::LowRate);
    }
    Ok(())
}

fn sounded(
    heard: &Heard,
    rows: &[Mark],
    laid: &[Laid],
    aside: &[Option<Reason>],
    boundary: Option<&Outline>,
) -> Sounding {
    let at = |row: usize| -> Option<&Event> { heard.events.get(laid[row].event()?) };
    let known: Vec<Option<Known>> = rows.iter().map(|row| row.known).collect();
    let powers: Vec<Option<Powers>> =
        (0..rows.len()).map(|row| at(row).map(|event| event.powers)).collect();
    let before: Vec<Option<Powers>> =
        (0..rows.len()).map(|row| at(row).map(|event| event.before)).collect();
    let noise = noise(&before, bands_of(heard.rate));
    let reference = reference(&powers, &noise, &known);
    let excess = excess(&powers, &noise, &reference);
    let places: Vec<Option<(f64, f64)>> = rows
        .iter()
        .map(|row| row.place.map(|place| (place.x.metres(), place.y.metres())))
        .map(|place| place.filter(|(x, y)| x.abs() <= FARTHEST && y.abs() <= FARTHEST))
        .collect();
    let neighbours = Neighbours::new(&places);
    let told = tell(&excess, &neighbours, &known, &Prior::of_bands(bands_of(heard.rate)));
    let taps: Vec<Tap> = rows
        .iter()
        .enumerate()
        .map(|(row, mark)| {
            let hollow = match mark.known {
                Some(Known::Hollow) => told.hollow[row].max(0.97),
                Some(Known::Sound) => told.hollow[row].min(0.03),
                None => told.hollow[row],
            };
            let hearing = match laid[row] {
                Laid::Heard(_) if excess[row].is_some() => Hearing::Clear,
                Laid::Heard(_) => Hearing::Drowned,
                Laid::Unheard => Hearing::Unheard,
                Laid::Undecided => Hearing::Undecided,
            };
            let told_apart = told.groups != Groups::NotEstablished;
            Tap {
                number: mark.number,
                time: at(row).map(|event| TimeSpan::from_seconds(event.time)),
                hearing,
                place: mark.place,
                known: mark.known,
                hollow: Fraction::new(hollow),
                class: if told_apart && (hearing == Hearing::Clear || mark.known.is_some()) {
                    class(hollow)
                } else {
                    Class::Doubtful
                },
                clipped: at(row).is_some_and(|event| event.clipped),
            }
        })
        .collect();
    let rejected = rejected(heard, laid, aside);
    let plane = field(&places, &neighbours, &told, boundary, Seed(1));
    Sounding {
        spectrum: spectrum(&powers, &noise, &taps),
        field: if told.groups == Groups::NotEstablished {
            plane.map(Field::without_areas)
        } else {
            plane
        },
        taps,
        rejected,
        groups: told.groups,
        strip: strip(heard),
        duration: heard.duration(),
        sample_rate: heard.sample_rate(),
    }
}

/// Sounds that are no row's tap.
fn rejected(heard: &Heard, laid: &[Laid], aside: &[Option<Reason>]) -> Vec<Rejected> {
    let taken: std::collections::BTreeSet<usize> =
        laid.iter().filter_map(|row| row.event()).collect();
    // Between the rows heard just before and just after one that is undecided.
    let mut disputed = vec![false; heard.events.len()];
    for row in (0..laid.len()).filter(|row| laid[*row] == Laid::Undecided) {
        let before = laid[..row].iter().rev().find_map(|row| row.event()).map_or(0, |e| e + 1);
        let after = laid[row..].iter().find_map(|row| row.event()).unwrap_or(disputed.len());
        disputed[before.min(after)..after].fill(true);
    }
    (0..heard.events.len())
        .filter(|event| !taken.contains(event))
        .map(|event| Rejected {
            time: TimeSpan::from_seconds(heard.events[event].time),
            reason: aside[event].unwrap_or(if disputed[event] {
                Reason::Undecided
            } else {
                Reason::OutOfStep
            }),
        })
        .collect()
}

/// Rows at which the walk turns: before them people pause. The step after a turn, in yet
/// another direction, is none.
fn turns(marks: &[Mark]) -> Vec<bool> {
    let step = |row: usize| {
        let (from, to) = (marks.get(row.checked_sub(1)?)?.place?, marks.get(row)?.place?);
        Some(((to.x - from.x).metres(), (to.y - from.y).metres()))
    };
    let mut turned = false;
    (0..marks.len())
        .map(|row| {
            turned = !turned
                && match (step(row), row.checked_sub(1).and_then(step)) {
                    (Some(now), Some(before)) => {
                        let lengths = now.0.hypot(now.1) * before.0.hypot(before.1);
                        let along = now.0 * before.0 + now.1 * before.1;
                        let longer = now.0.hypot(now.1) > 1.5 * before.0.hypot(before.1);
                        longer || along < 0.85 * lengths
                    }
                    _ => false,
                };
            turned
        })
        .collect()
}

fn class(hollow: f64) -> Class {
    if hollow >= HOLLOW_FROM {
        Class::Hollow
    } else if hollow < SOUND_BELOW {
        Class::Sound
    } else {
        Class::Doubtful
    }
}

fn spectrum(powers: &[Option<Powers>], noise: &[Vec<f64>], taps: &[Tap]) -> Spectrum {
    let bands = noise.first().map_or(0, Vec::len);
    let typical = |wanted: Class| -> Option<Vec<Level>> {
        let of: Vec<Vec<f64>> = powers
            .iter()
            .zip(noise)
            .zip(taps)
            .filter(|(_, tap)| tap.class == wanted)
            .filter_map(|((powers, noise), _)| Some((powers.as_ref()?, noise)))
            .map(|(powers, noise)| {
                let signal: Vec<f64> = noise
                    .iter()
                    .zip(powers)
                    .map(|(noise, power)| (f64::from(*power) - noise).max(0.1 * noise))
                    .collect();
                let all = signal.iter().sum::<f64>().max(1e-20);
                signal.iter().map(|power| decibels(power / all)).collect()
            })
            .collect();
        (!of.is_empty()).then(|| {
            (0..bands)
                .map(|band| {
                    let mut values: Vec<f64> = of.iter().map(|levels| levels[band]).collect();
                    values.sort_by(f64::total_cmp);
                    Level::from_decibels(values[values.len() / 2])
                })
                .collect()
        })
    };
    let sound = typical(Class::Sound).or_else(|| typical(Class::Doubtful));
    Spectrum {
        bands: (0..bands).map(|band| Frequency::from_hertz(middle(band))).collect(),
        sound: sound.unwrap_or_default(),
        hollow: typical(Class::Hollow),
    }
}

fn strip(heard: &Heard) -> Strip {
    let columns = &heard.strip;
    let merged = columns.len().div_ceil(STRIP_COLUMNS).max(1);
    let share = |x: f32| Fraction::new(f64::from(x));
    Strip {
        column: TimeSpan::from_seconds(heard.column * merged as f64),
        columns: columns
            .chunks(merged)
            .map(|part| {
                part.iter().fold((share(0.0), share(0.0)), |(low, high), (l, h)| {
                    (low.min(share(*l)), high.max(share(*h)))
                })
            })
            .collect(),
    }
}
