//! `tooth texture`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use tooth_documents::{level_bars, texture_curve, texture_profile, texture_relief};
use tooth_formats::scan::{Asked, Kind};
use tooth_job::survey::ChipCalibration;
use tooth_measure::say::{both, decimal, detail, fine, own, said};
use tooth_measure::{Length, ProfileLevel, ProfileRange, Quantity as _, UnitSystem};
use tooth_texture::calibration::Level;
use tooth_texture::{Form, Treatment};

use super::{Answer, Outcome, Printing, print_json, print_schema, print_warnings};
use crate::app::{App, Refusal, TextureInput, Textured};
use crate::output_texture::TextureOut;
use crate::terminal::Page;
use tooth_words::Words;
use tooth_words::texture::{chips, figures, level as level_words};

/// Arguments of `texture`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scan: X3P, SDF, PLY, STL, LAS, LAZ, XYZ, CSV, NPY or TIFF.
    #[arg(value_name = "FILE", required_unless_present = "schema")]
    file: Option<PathBuf>,
    /// From height to height of a grid that does not say it, or from cell to cell of a cloud.
    #[arg(long, value_name = "MM")]
    spacing_mm: Option<f64>,
    /// The same with its unit: 0.1mm, 4mil.
    #[arg(long, value_name = "LENGTH", conflicts_with = "spacing_mm")]
    spacing: Option<String>,
    /// Unit of the file's numbers where it does not say it: mm, m, um, in, ft; or a length
    /// that one count stands for: 0.5um.
    #[arg(long, value_name = "UNIT")]
    unit: Option<String>,
    /// What is taken off first; the mean always is.
    #[arg(long, value_enum, default_value_t = FormArgument::Plane)]
    form: FormArgument,
    /// Take waves shorter than this off (S-filter).
    #[arg(long, value_name = "MM")]
    s_filter_mm: Option<f64>,
    /// Take waves longer than this off (L-filter); 8 and 25 suit concrete.
    #[arg(long, value_name = "MM")]
    l_filter_mm: Option<f64>,
    /// Deep bug holes do not pull the L-filter.
    #[arg(long, requires = "l_filter_mm")]
    robust: bool,
    /// Scans of your own comparator chips, with the same device.
    #[arg(long, value_name = "FOLDER")]
    calibration: Option<PathBuf>,
    /// The same place scanned again without moving: gives the device's noise.
    #[arg(long, value_name = "FILE")]
    repeated: Option<PathBuf>,
    /// Profile range that is asked for: 3-5.
    #[arg(long, value_name = "CSP", value_parser = range)]
    asked: Option<ProfileRange>,
    /// Write the pictures (relief, material ratio, profile, chances; SVG) into this folder.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Units of what a person reads.
    #[arg(long, value_enum, default_value_t = Units::Us)]
    units: Units,
    #[command(flatten)]
    pub(super) printing: Printing,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum FormArgument {
    /// The least-squares plane.
    Plane,
    /// Nothing but the mean.
    None,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Units {
    /// Mils and inches first.
    Us,
    /// Millimetres first.
    Si,
}

fn range(text: &str) -> Result<ProfileRange, String> {
    let (least, most) = text.split_once('-').unwrap_or((text, text));
    let level = |text: &str| text.trim().parse().ok().and_then(ProfileLevel::new);
    level(least)
        .zip(level(most))
        .and_then(|(least, most)| ProfileRange::new(least, most))
        .ok_or_else(|| "two levels from 1 to 10, like 3-5".to_owned())
}

/// A length above nothing.
fn length(flag: &str, millimetres: Option<f64>) -> Result<Option<Length>, Refusal> {
    match millimetres {
        Some(value) if value.is_finite() && value > 0.0 => {
            Ok(Some(Length::from_millimetres(value)))
        }
        Some(value) => {
            Err(Refusal::typed(flag, said!("cli-a-length-above-0-mm"), value.to_string()))
        }
        None => Ok(None),
    }
}

impl Arguments {
    fn input(&self) -> Result<TextureInput, Refusal> {
        let parse = |flag: &str, text: &str| {
            Length::parse(text).ok().filter(|length| length.millimetres() > 0.0).ok_or_else(|| {
                Refusal::typed(flag, said!("cli-a-length-with-its-unit"), format!("`{text}`"))
            })
        };
        let spacing = match &self.spacing {
            Some(text) => Some(parse("--spacing", text)?),
            None => length("--spacing-mm", self.spacing_mm)?,
        };
        let unit = match &self.unit {
            Some(text) if text.starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
                Some(parse("--unit", text)?)
            }
            Some(text) => Some(parse("--unit", &format!("1{text}"))?),
            None => None,
        };
        Ok(TextureInput {
            file: self.file.clone().unwrap_or_default(),
            asked: Asked { spacing, unit },
            treatment: Treatment {
                form: match self.form {
                    FormArgument::Plane => Form::Plane,
                    FormArgument::None => Form::None,
                },
                s_filter: length("--s-filter-mm", self.s_filter_mm)?,
                l_filter: length("--l-filter-mm", self.l_filter_mm)?,
                robust: self.robust,
            },
            calibration: self.calibration.clone(),
            repeated: self.repeated.clone(),
        })
    }
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<TextureOut>();
    }
    let textured = app.texture(arguments.input()?).await?;
    let words = app.words_in(match arguments.units {
        Units::Us => UnitSystem::UsCustomary,
        Units::Si => UnitSystem::Si,
    });
    if let Some(folder) = &arguments.out {
        let texture = &textured.texture;
        let bars = textured.level.grade().map(|grade| level_bars(grade, arguments.asked, words));
        let pictures = [
            ("texture-relief.svg", Some(texture_relief(texture, words))),
            ("texture-material-ratio.svg", Some(texture_curve(texture, words))),
            ("texture-profile.svg", Some(texture_profile(texture, words))),
            ("texture-level.svg", bars),
        ];
        crate::app::write_pictures(folder, &pictures)?;
    }
    print_warnings(app.words(), textured.warnings.iter());
    if arguments.printing.json {
        print_json(&TextureOut::from(&textured), app.words())?;
    } else {
        page(&textured, words, arguments).print();
    }
    Ok(Answer::Done)
}

fn page(textured: &Textured, words: Words, arguments: &Arguments) -> Page {
    let texture = &textured.texture;
    let mut page = Page::new(words);
    page.heading(said!("cli-texture"));
    let [width, depth] = texture.map.size();
    let [step, _] = textured.spacing;
    let what = match textured.kind {
        Kind::Grid => said!("cli-grid-of-heights"),
        Kind::Profile => said!("cli-a-profile"),
        Kind::Cloud { points, .. } => said!("cli-points-the-median-of-each-cell", points = points),
    };
    page.item(
        0,
        said!("cli-scan"),
        said!(
            "cli-every-known",
            what = what,
            width = own(detail(width)),
            depth = own(detail(depth)),
            step = own(fine(step)),
            percent = decimal(texture.coverage.percent(), 1)
        ),
    );
    page.item(0, said!("cli-filter"), texture.treatment.to_string());
    if let Some(noise) = textured.noise {
        page.item(0, said!("cli-noise"), said!("cli-root-mean-square", noise = both(fine(noise))));
    }
    page.item(0, said!("cli-profile"), level_words(&textured.level));
    if let (Level::Graded(grade), Some(asked)) = (&textured.level, arguments.asked) {
        let chance = grade.chance_in(asked.least(), asked.most());
        page.item(
            0,
            said!("cli-asked-for-3"),
            said!("cli-likely", asked = asked, percent = decimal(chance.percent(), 0)),
        );
    }
    for (name, value) in figures(texture) {
        page.item(0, name, value);
    }
    if let Some(calibration) = &textured.calibration {
        page.item(
            0,
            said!("cli-calibration"),
            chips(&ChipCalibration::of(calibration, Vec::new())),
        );
        page.note(0, said!("cli-comparator-chips-are-moulded-replicas"));
    }
    page.note(0, said!("cli-figures-of-iso-25178-2-16610"));
    if let Some(folder) = &arguments.out {
        page.note(0, said!("cli-pictures-are", folder = folder.display().to_string()));
    }
    page
}
