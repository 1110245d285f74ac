//! `tooth sounding`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use tooth_documents::{sounding_map, sounding_spectrum, sounding_strip};
use tooth_measure::range;
use tooth_measure::say::{Argument, Joint, both, listed, said};
use tooth_measure::{Length, Point, Quantity as _, UnitSystem};
use tooth_sounding::walk::{Along, Side, Turn, Walk};
use tooth_sounding::{Class, Groups, Hearing, Known};

use super::{Answer, Outcome, Printing, print_json, print_schema, print_warnings};
use crate::app::{App, Refusal, Sounded, SoundingInput, TapsFrom};
use crate::output::SoundingOut;
use crate::terminal::Page;
use tooth_words::Words;
use tooth_words::sounding::{area as area_words, bounds, groups};

/// Arguments of `sounding`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The recording: WAV, FLAC, MP3, M4A or OGG.
    #[arg(value_name = "RECORDING", required_unless_present = "schema")]
    recording: Option<PathBuf>,
    /// The list of taps in their order: CSV with tap, x_m and y_m (or x_ft and y_ft), and
    /// known (empty, sound or hollow); time_s where it was kept by the clock.
    #[arg(long, value_name = "CSV")]
    taps: Option<PathBuf>,
    /// The recording is a sweep (a dragged chain, a rubbing stone) along this path: CSV with
    /// time_s, x_m and y_m (or x_ft and y_ft), and known for the way to the next row.
    #[arg(long, value_name = "CSV", conflicts_with_all = ["taps", "pitch"])]
    sweep: Option<PathBuf>,
    /// The boundary of what was sounded: a GeoJSON polygon in local metres.
    #[arg(long, value_name = "GEOJSON")]
    boundary: Option<PathBuf>,
    #[command(flatten)]
    walk: WalkArguments,
    /// Write the pictures (map, strip and spectrum, SVG) into this folder.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Units of what a person reads.
    #[arg(long, value_enum, default_value_t = Units::Us)]
    units: Units,
    #[command(flatten)]
    pub(super) printing: Printing,
}

/// A walked grid instead of a list.
#[derive(Debug, Args)]
struct WalkArguments {
    /// Distance between taps of a walked grid, with its unit: 1ft, 0.3m.
    #[arg(long, value_name = "LENGTH", conflicts_with = "taps", requires_all = ["per_row", "rows"])]
    pitch: Option<String>,
    /// Taps in a row.
    #[arg(long, value_name = "COUNT", requires = "pitch", value_parser = clap::value_parser!(u32).range(1..=10_000))]
    per_row: Option<u32>,
    /// Rows.
    #[arg(long, value_name = "COUNT", requires = "pitch", value_parser = clap::value_parser!(u32).range(1..=10_000))]
    rows: Option<u32>,
    /// First tap, with its unit: 1ft,1ft (else half a pitch from the corner).
    #[arg(long, value_name = "X,Y", requires = "pitch", allow_hyphen_values = true)]
    start: Option<String>,
    /// Direction of the first row.
    #[arg(long, value_enum, default_value_t = AlongArgument::Right, requires = "pitch")]
    along: AlongArgument,
    /// What happens at the end of a row.
    #[arg(long, value_enum, default_value_t = TurnArgument::BackAndForth, requires = "pitch")]
    turn: TurnArgument,
    /// Side of the next row, seen along the first.
    #[arg(long, value_enum, default_value_t = SideArgument::Left, requires = "pitch")]
    side: SideArgument,
    /// Numbers of taps known to be good, counted from 0: 3,17,40.
    #[arg(long, value_name = "TAPS", value_delimiter = ',', requires = "pitch")]
    known_good: Vec<u32>,
    /// Numbers of taps known to be hollow.
    #[arg(long, value_name = "TAPS", value_delimiter = ',', requires = "pitch")]
    known_hollow: Vec<u32>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Units {
    /// Feet first.
    Us,
    /// Metres first.
    Si,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum AlongArgument {
    Right,
    Left,
    Up,
    Down,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum TurnArgument {
    BackAndForth,
    SameWay,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SideArgument {
    Left,
    Right,
}

impl WalkArguments {
    fn taps(&self) -> Result<Option<TapsFrom>, Refusal> {
        let (Some(pitch), Some(per_row), Some(rows)) = (&self.pitch, self.per_row, self.rows)
        else {
            return Ok(None);
        };
        let length = |flag: &str, text: &str| {
            Length::parse(text)
                .map_err(|error| Refusal::typed(flag, error.said(), format!("`{text}`")))
        };
        let pitch = range::TAP_PITCH
            .check(length("--pitch", pitch)?)
            .map_err(|expected| Refusal::typed("--pitch", expected, format!("`{pitch}`")))?;
        if u64::from(per_row) * u64::from(rows) > 500_000 {
            return Err(Refusal::typed("--rows", said!("cli-at-most-500-000-taps"), said!("more")));
        }
        let start = match &self.start {
            None => Point::new(pitch / 2.0, pitch / 2.0),
            Some(text) => match text.split_once(',') {
                Some((x, y)) => Point::new(length("--start", x)?, length("--start", y)?),
                None => {
                    return Err(Refusal::typed(
                        "--start",
                        said!("cli-two-lengths-1ft-1ft"),
                        format!("`{text}`"),
                    ));
                }
            },
        };
        let walk = Walk {
            start,
            along: match self.along {
                AlongArgument::Right => Along::Right,
                AlongArgument::Left => Along::Left,
                AlongArgument::Up => Along::Up,
                AlongArgument::Down => Along::Down,
            },
            pitch,
            per_row,
            turn: match self.turn {
                TurnArgument::BackAndForth => Turn::BackAndForth,
                TurnArgument::SameWay => Turn::SameWay,
            },
            side: match self.side {
                SideArgument::Left => Side::Left,
                SideArgument::Right => Side::Right,
            },
        };
        let mut known = Vec::new();
        for (flag, taps, what) in [
            ("--known-good", &self.known_good, Known::Sound),
            ("--known-hollow", &self.known_hollow, Known::Hollow),
        ] {
            for tap in taps {
                if *tap >= per_row * rows || known.iter().any(|(other, _)| other == tap) {
                    let expected = said!("cli-each-tap-once-from-0", rows = per_row * rows - 1);
                    return Err(Refusal::typed(flag, expected, tap.to_string()));
                }
                known.push((*tap, what));
            }
        }
        Ok(Some(TapsFrom::Walk { walk, rows, known }))
    }
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<SoundingOut>();
    }
    let taps = match (&arguments.taps, &arguments.sweep, arguments.walk.taps()?) {
        (Some(list), ..) => TapsFrom::List(list.clone()),
        (None, Some(path), _) => TapsFrom::Sweep(path.clone()),
        (None, None, Some(walk)) => walk,
        (None, None, None) => TapsFrom::Recording,
    };
    let sounded = app
        .sounding(SoundingInput {
            recording: arguments.recording.clone().unwrap_or_default(),
            taps,
            boundary: arguments.boundary.clone(),
        })
        .await?;
    let words = app.words_in(match arguments.units {
        Units::Us => UnitSystem::UsCustomary,
        Units::Si => UnitSystem::Si,
    });
    if let Some(folder) = &arguments.out {
        let map = sounding_map(&sounded.sounding, words);
        let pictures = [
            ("sounding-map.svg", map),
            ("sounding-strip.svg", Some(sounding_strip(&sounded.sounding, words))),
            ("sounding-spectrum.svg", Some(sounding_spectrum(&sounded.sounding, words))),
        ];
        crate::app::write_pictures(folder, &pictures)?;
    }
    print_warnings(app.words(), sounded.warnings.iter());
    if arguments.printing.json {
        print_json(&SoundingOut::from(&sounded.sounding), app.words())?;
    } else {
        page(&sounded, words, arguments.out.as_deref()).print();
    }
    Ok(Answer::Done)
}

fn page(sounded: &Sounded, words: Words, out: Option<&std::path::Path>) -> Page {
    let sounding = &sounded.sounding;
    let mut page = Page::new(words);
    page.heading(said!("cli-sounding"));
    page.item(
        0,
        said!("cli-taps"),
        said!(
            "cli-taps-by-class",
            count = sounding.taps.len(),
            sound = sounding.count(Class::Sound),
            doubtful = sounding.count(Class::Doubtful),
            hollow = sounding.count(Class::Hollow)
        ),
    );
    for (hearing, heading, why) in [
        (
            Hearing::Unheard,
            said!("cli-not-heard"),
            said!("cli-tap-again-only-their-neighbours-speak"),
        ),
        (Hearing::Drowned, said!("cli-drowned"), said!("cli-something-was-louder-tap-again")),
        (
            Hearing::Undecided,
            said!("cli-undecided"),
            said!("cli-the-rhythm-does-not-show-which-sound"),
        ),
    ] {
        let taps: Vec<u32> = sounding
            .taps
            .iter()
            .filter(|tap| tap.hearing == hearing)
            .map(|tap| tap.number)
            .collect();
        if !taps.is_empty() {
            page.item(0, heading, said!("cli-tap-3", taps = runs(&taps), why = why));
        }
    }
    let clipped = sounding.taps.iter().filter(|tap| tap.clipped).count();
    if clipped > 0 {
        page.item(
            0,
            said!("cli-too-loud"),
            said!("cli-taps-drove-the-recorder-past-its-range", clipped = clipped),
        );
    }
    if !sounding.rejected.is_empty() {
        page.item(
            0,
            said!("cli-set-aside"),
            said!("cli-other-sounds", count = sounding.rejected.len()),
        );
    }
    page.item(0, said!("cli-groups"), groups(sounding.groups));
    if let Some(field) = &sounding.field {
        page.item(0, said!("cli-surveyed"), both(field.surveyed));
        if sounding.groups != Groups::NotEstablished {
            let told =
                said!("cli-hollow-and-bounds", hollow = both(field.hollow), bounds = bounds(field));
            page.item(0, said!("cli-hollow"), told);
        }
        for (number, area) in field.areas.iter().enumerate() {
            page.item(2, format!("H{}", number + 1), area_words(area));
        }
        if let Some(least) = sounding.smallest_surely_found() {
            page.item(
                0,
                said!("cli-grid"),
                said!(
                    "cli-taps-apart-a-hollow-across-cannot",
                    pitch = both(field.pitch),
                    least = both(least)
                ),
            );
        }
        if !field.areas.is_empty() {
            page.note(0, said!("cli-tap-again-at-half-the-distance-along"));
        }
    }
    page.note(0, said!("cli-a-probability-from-sound-not"));
    if let Some(folder) = out {
        page.note(0, said!("cli-map-strip-and-spectrum", folder = folder.display().to_string()));
    }
    page
}

/// Numbers in their order, those in a row as one: 3, 17 to 25.
fn runs(numbers: &[u32]) -> Argument {
    let runs = numbers.chunk_by(|a, b| a.checked_add(1) == Some(*b)).flat_map(|run| match run {
        [first, .., last] if run.len() > 2 => {
            vec![said!("from-to", low = *first, high = *last).into()]
        }
        few => few.iter().map(|one| Argument::from(*one)).collect(),
    });
    listed(Joint::Comma, runs)
}
