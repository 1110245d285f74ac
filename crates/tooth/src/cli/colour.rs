//! `tooth colour` and `tooth card`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use tooth_documents::Sheet;
use tooth_measure::Fraction;
use tooth_measure::colour::card::CardLightness;
use tooth_measure::colour::{
    Allowances, ColourDifference, Compared, Corners, Measured, PicturePoint, Spot,
};
use tooth_measure::say::{Argument, Joint, Said, decimal, listed, said};
use tooth_words::Words;

use super::{Answer, Outcome, Printing, print_json, print_schema};
use crate::app::{App, ColourInput, Coloured, Refusal, Shot, ShotInput};
use crate::output::DocumentWritten;
use crate::output_colour::ColourOut;
use crate::terminal::Page;

/// The tolerance where nobody typed one: an assumption.
const TOLERANCE: ColourDifference = ColourDifference::new(3.0);

/// Arguments of `colour`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The picture: JPEG or PNG, with the grey card beside the slab.
    #[arg(value_name = "PICTURE", required_unless_present = "schema")]
    picture: Option<PathBuf>,
    /// The card's corners in pixels, clockwise from the upper left: x1,y1,x2,y2,x3,y3,x4,y4.
    #[arg(
        long,
        value_name = "CORNERS",
        allow_hyphen_values = true,
        required_unless_present = "schema"
    )]
    card: Option<String>,
    /// A spot on the slab in pixels: left,top,width,height. May be given several times.
    #[arg(
        long,
        value_name = "SPOT",
        allow_hyphen_values = true,
        required_unless_present = "schema"
    )]
    spot: Vec<String>,
    /// The reference: a picture of the sample panel with the same print of the card.
    #[arg(long, value_name = "PICTURE", requires_all = ["against_card", "against_spot"])]
    against: Option<PathBuf>,
    /// The card's corners in the reference.
    #[arg(long, value_name = "CORNERS", allow_hyphen_values = true, requires = "against")]
    against_card: Option<String>,
    /// A spot on the panel in the reference. May be given several times.
    #[arg(long, value_name = "SPOT", allow_hyphen_values = true, requires = "against")]
    against_spot: Vec<String>,
    /// Up to which ΔE2000 colours count as the same (assumed: 3).
    #[arg(long, value_name = "DELTA-E", requires = "against", allow_negative_numbers = true)]
    tolerance: Option<f64>,
    /// The two pictures come from two cameras.
    #[arg(long, requires = "against")]
    other_camera: bool,
    /// Measured L* of this print's paper, light, middle, dark and black (assumed: 95,76,57,39,20).
    #[arg(long, value_name = "L,L,L,L,L")]
    card_lightness: Option<String>,
    /// How far the printed greys may be off, in L*, a* and b* each (assumed: 3).
    #[arg(long, value_name = "DELTA-E", allow_negative_numbers = true)]
    card_allowance: Option<f64>,
    /// How far the camera's colours may be off, in L*, a* and b* each (assumed: 1).
    #[arg(long, value_name = "DELTA-E", allow_negative_numbers = true)]
    camera_allowance: Option<f64>,
    /// The same for colours away from grey, in percent of their chroma (assumed: 15).
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true)]
    camera_allowance_percent: Option<f64>,
    /// How far two pictures of one camera, card and light may still differ (assumed: 1).
    #[arg(long, value_name = "DELTA-E", allow_negative_numbers = true)]
    picture_allowance: Option<f64>,
    #[command(flatten)]
    pub(super) printing: Printing,
}

/// Arguments of `card`.
#[derive(Debug, Args)]
pub(super) struct CardArguments {
    /// Write the card here: grey-card.pdf.
    #[arg(long, value_name = "FILE", required_unless_present = "schema")]
    out: Option<PathBuf>,
    /// The sheet that it is printed on.
    #[arg(long, value_enum, default_value_t = SheetArgument::Letter)]
    sheet: SheetArgument,
    #[command(flatten)]
    pub(super) printing: Printing,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SheetArgument {
    /// 8½ × 11 in.
    Letter,
    /// 210 × 297 mm.
    A4,
}

/// So many numbers with commas between.
fn numbers<const N: usize>(text: &str) -> Option<[f64; N]> {
    let numbers: Vec<f64> =
        text.split(',').map(|number| number.trim().parse()).collect::<Result<_, _>>().ok()?;
    numbers.iter().all(|number| number.is_finite()).then_some(())?;
    numbers.try_into().ok()
}

fn corners(flag: &str, text: &str) -> Result<Corners, Refusal> {
    let refused = || Refusal::typed(flag, said!("colour-eight-numbers"), format!("`{text}`"));
    let [x1, y1, x2, y2, x3, y3, x4, y4] = numbers(text).ok_or_else(refused)?;
    let at = PicturePoint::from_pixels;
    Ok(Corners([at(x1, y1), at(x2, y2), at(x3, y3), at(x4, y4)]))
}

fn spots(flag: &str, texts: &[String]) -> Result<Vec<Spot>, Refusal> {
    let spot = |text: &String| {
        let whole: Option<Vec<u32>> =
            text.split(',').map(|number| number.trim().parse().ok()).collect();
        match whole.as_deref() {
            Some(&[left, top, width, height]) => Ok(Spot { left, top, width, height }),
            _ => Err(Refusal::typed(flag, said!("colour-four-numbers"), format!("`{text}`"))),
        }
    };
    if texts.is_empty() {
        return Err(Refusal::typed(flag, said!("colour-one-spot"), said!("colour-nothing")));
    }
    texts.iter().map(spot).collect()
}

/// What a person typed, or what is assumed and then noted.
struct Settings {
    assumed: Vec<&'static str>,
}

impl Settings {
    fn of(
        &mut self,
        name: &'static str,
        flag: &str,
        typed: Option<f64>,
        else_: f64,
    ) -> Result<f64, Refusal> {
        match typed {
            None => {
                self.assumed.push(name);
                Ok(else_)
            }
            Some(value) if (0.0..=100.0).contains(&value) => Ok(value),
            Some(value) => {
                Err(Refusal::typed(flag, said!("colour-nothing-or-more"), value.to_string()))
            }
        }
    }
}

impl Arguments {
    fn input(&self) -> Result<ColourInput, Refusal> {
        let shot = |file: &PathBuf, card: Option<&String>, spot: &[String], flags: &str| {
            Ok::<_, Refusal>(ShotInput {
                file: file.clone(),
                corners: corners(&format!("{flags}card"), card.map_or("", |card| card))?,
                spots: spots(&format!("{flags}spot"), spot)?,
            })
        };
        let picture = self.picture.clone().unwrap_or_default();
        let usual = Allowances::ASSUMED;
        let mut settings = Settings { assumed: Vec::new() };
        let mut difference = |name, flag, typed, else_: ColourDifference| {
            settings.of(name, flag, typed, else_.delta_e()).map(ColourDifference::new)
        };
        let tolerance = difference("tolerance", "--tolerance", self.tolerance, TOLERANCE)?;
        let card =
            difference("card_allowance", "--card-allowance", self.card_allowance, usual.card)?;
        let camera = difference(
            "camera_allowance",
            "--camera-allowance",
            self.camera_allowance,
            usual.camera,
        )?;
        let pictures = difference(
            "picture_allowance",
            "--picture-allowance",
            self.picture_allowance,
            usual.pictures,
        )?;
        let percent = settings.of(
            "camera_allowance_of_chroma",
            "--camera-allowance-percent",
            self.camera_allowance_percent,
            usual.camera_of_chroma.percent(),
        )?;
        let lightness = match &self.card_lightness {
            None => {
                settings.assumed.push("card_lightness");
                CardLightness::ASSUMED
            }
            Some(text) => numbers(text).and_then(CardLightness::new).ok_or_else(|| {
                let expected = said!("colour-five-lightnesses");
                Refusal::typed("--card-lightness", expected, format!("`{text}`"))
            })?,
        };
        Ok(ColourInput {
            shot: shot(&picture, self.card.as_ref(), &self.spot, "--")?,
            against: match &self.against {
                None => None,
                Some(file) => {
                    Some(shot(file, self.against_card.as_ref(), &self.against_spot, "--against-")?)
                }
            },
            lightness,
            allowances: Allowances {
                card,
                camera,
                camera_of_chroma: Fraction::from_percent(percent),
                pictures,
            },
            tolerance,
            one_camera: !self.other_camera,
            assumed: settings.assumed,
        })
    }
}

pub(super) async fn run(app: &App, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<ColourOut>();
    }
    let coloured = app.colour(arguments.input()?).await?;
    if arguments.printing.json {
        print_json(&ColourOut::from(&coloured), app.words())?;
    } else {
        page(&coloured, app.words()).print();
    }
    Ok(Answer::Done)
}

pub(super) async fn card(app: &App, arguments: &CardArguments) -> Outcome {
    if arguments.printing.schema {
        return print_schema::<DocumentWritten>();
    }
    let sheet = match arguments.sheet {
        SheetArgument::Letter => Sheet::Letter,
        SheetArgument::A4 => Sheet::A4,
    };
    let written = app.card(sheet, &arguments.out.clone().unwrap_or_default()).await?;
    if arguments.printing.json {
        print_json(&written, app.words())?;
    } else {
        let mut page = Page::new(app.words());
        page.paragraph(0, written.file);
        page.note(0, said!("colour-card-written"));
        page.print();
    }
    Ok(Answer::Done)
}

fn one(difference: ColourDifference) -> Argument {
    decimal(difference.delta_e(), 1)
}

fn picture(page: &mut Page, shot: &Shot, measured: &Measured) {
    let stated =
        if shot.space_is_stated { Said::nothing() } else { said!("colour-taken-for-granted") };
    let [width, height] = shot.size;
    page.item(
        0,
        said!("colour-picture"),
        said!(
            "colour-picture-is",
            file = &shot.name,
            width = width.to_string(),
            height = height.to_string(),
            space = shot.space,
            stated = stated
        ),
    );
    let aside = match measured.set_aside.len() {
        0 => Said::nothing(),
        count => said!("colour-patches-aside", count = count),
    };
    page.item(
        0,
        said!("colour-card"),
        said!(
            "colour-card-is",
            fall = decimal(measured.fall.percent(), 0),
            off = decimal(measured.off_curve.percent(), 1),
            aside = aside
        ),
    );
}

fn page(coloured: &Coloured, words: Words) -> Page {
    let mut page = Page::new(words);
    page.heading(said!("colour-heading"));
    picture(&mut page, &coloured.shot, &coloured.measured);
    for (number, spot) in coloured.measured.spots.iter().enumerate() {
        let (lab, error) = (spot.lab, spot.error);
        page.item(
            0,
            said!("colour-spot", number = number + 1),
            said!(
                "colour-lab",
                l = decimal(lab.lightness(), 1),
                l_error = one(error.lightness),
                a = decimal(lab.a(), 1),
                a_error = one(error.a),
                b = decimal(lab.b(), 1),
                b_error = one(error.b)
            ),
        );
        page.note(
            2,
            said!(
                "colour-parts",
                greys = one(error.from_greys),
                light = one(error.from_light),
                pixels = one(error.from_pixels),
                camera = one(error.from_camera),
                card = one(error.from_card)
            ),
        );
    }
    if let Some((shot, measured)) = &coloured.reference {
        page.blank();
        picture(&mut page, shot, measured);
        against(&mut page, coloured, shot);
        page.blank();
    }
    page.note(0, said!("colour-errors-are"));
    let assumed = assumptions(coloured);
    if !assumed.is_empty() {
        page.note(0, said!("colour-assumed", what = listed(Joint::Semicolon, assumed)));
    }
    page
}

fn against(page: &mut Page, coloured: &Coloured, shot: &Shot) {
    let Some(Compared { reference, .. }) = coloured.compared.first() else { return };
    page.item(
        0,
        said!("colour-against"),
        said!(
            "colour-reference-is",
            file = &shot.name,
            l = decimal(reference.lightness(), 1),
            a = decimal(reference.a(), 1),
            b = decimal(reference.b(), 1)
        ),
    );
    for (number, compared) in coloured.compared.iter().enumerate() {
        let lead = if number < coloured.measured.spots.len() {
            said!("colour-spot", number = number + 1)
        } else {
            said!("colour-all-spots")
        };
        page.item(
            0,
            lead,
            said!(
                "colour-difference",
                difference = one(compared.delta_e_2000),
                least = one(compared.least),
                most = one(compared.most),
                answer = compared.answer,
                tolerance = one(coloured.input.tolerance)
            ),
        );
    }
}

/// What nobody typed, of what the answer rests on.
fn assumptions(coloured: &Coloured) -> Vec<Said> {
    let input = &coloured.input;
    let assumed = |name: &str| input.assumed.contains(&name);
    let compared = !coloured.compared.is_empty();
    let mut told = Vec::new();
    if compared && assumed("tolerance") {
        told.push(said!("colour-tolerance", value = one(input.tolerance)));
    }
    if compared && assumed("picture_allowance") && input.one_camera {
        told.push(said!("colour-pictures", value = one(input.allowances.pictures)));
    }
    if assumed("card_lightness") || assumed("card_allowance") {
        let values = listed(Joint::Comma, input.lightness.all().map(|l| l.to_string()));
        told.push(said!("colour-card-greys", values = values, value = one(input.allowances.card)));
    }
    if assumed("camera_allowance") || assumed("camera_allowance_of_chroma") {
        told.push(said!(
            "colour-camera",
            value = one(input.allowances.camera),
            percent = decimal(input.allowances.camera_of_chroma.percent(), 0)
        ));
    }
    told
}
