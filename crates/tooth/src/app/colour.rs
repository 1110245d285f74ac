//! `colour` and `card`: colours beside the printed grey card, without a job.

use std::path::{Path, PathBuf};

use tooth_documents::{Sheet, grey_card};
use tooth_formats::Fault;
use tooth_formats::picture::photograph;
use tooth_measure::UnitSystem;
use tooth_measure::colour::card::CardLightness;
use tooth_measure::colour::{
    Allowances, ColourDifference, Compared, Corners, Measured, RefusalOf, RgbSpace, Spot, compare,
    measure,
};
use tooth_measure::say::{Said, said};
use tooth_record::FileHash;

use super::documents::put_in_place;
use super::{App, Refusal, computed};
use crate::output::DocumentWritten;

/// A picture, and where card and spots lie in it.
#[derive(Debug, Clone)]
pub(crate) struct ShotInput {
    pub(crate) file: PathBuf,
    pub(crate) corners: Corners,
    pub(crate) spots: Vec<Spot>,
}

/// What colours are taken from and held against.
#[derive(Debug, Clone)]
pub(crate) struct ColourInput {
    pub(crate) shot: ShotInput,
    pub(crate) against: Option<ShotInput>,
    pub(crate) lightness: CardLightness,
    pub(crate) allowances: Allowances,
    pub(crate) tolerance: ColourDifference,
    pub(crate) one_camera: bool,
    /// Settings that nobody typed.
    pub(crate) assumed: Vec<&'static str>,
}

/// A picture that was read.
#[derive(Debug, Clone)]
pub(crate) struct Shot {
    pub(crate) name: String,
    pub(crate) size: [u32; 2],
    pub(crate) space: RgbSpace,
    pub(crate) space_is_stated: bool,
}

/// Colours, and how they stand to the reference.
#[derive(Debug, Clone)]
pub(crate) struct Coloured {
    pub(crate) input: ColourInput,
    pub(crate) shot: Shot,
    pub(crate) measured: Measured,
    pub(crate) reference: Option<(Shot, Measured)>,
    pub(crate) compared: Vec<Compared>,
}

impl App {
    /// The colours of a picture, held against a reference where there is one.
    pub(crate) async fn colour(&self, input: ColourInput) -> Result<Coloured, Refusal> {
        computed(move || of(input)).await.map_err(|fault| Refusal::Input(vec![fault]))
    }

    /// Writes the grey card.
    pub(crate) async fn card(&self, sheet: Sheet, out: &Path) -> Result<DocumentWritten, Refusal> {
        let words = self.words_in(UnitSystem::Si);
        let made = computed(move || grey_card(sheet, words, env!("CARGO_PKG_VERSION"))).await;
        let document = made.map_err(|error| Refusal::Ours(error.to_string().into()))?;
        let Some(name) = out.file_name() else {
            let found = out.display().to_string();
            return Err(Refusal::typed("--out", said!("card-a-file-to-write"), found));
        };
        let folder = out.parent().unwrap_or_else(|| Path::new(""));
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        put_in_place(folder, &[(Path::new(name), document.pdf.as_slice())])?;
        Ok(DocumentWritten {
            file: out.display().to_string(),
            what: Said::Given(words.label("card-title")),
            bytes: document.pdf.len() as u64,
            pages: Some(document.text.len() as u32),
            blake3: FileHash::of(&document.pdf).to_string(),
        })
    }
}

fn of(input: ColourInput) -> Result<Coloured, Fault> {
    let (shot, measured) = read(&input.shot, &input, "--")?;
    let reference =
        input.against.as_ref().map(|shot| read(shot, &input, "--against-")).transpose()?;
    let compared = match &reference {
        None => Vec::new(),
        Some((_, reference)) => {
            let (allowances, tolerance) = (&input.allowances, input.tolerance);
            compare(&measured, reference, allowances, tolerance, input.one_camera)
                .map_err(|refusal| fault(&shot.name, "--", refusal))?
        }
    };
    Ok(Coloured { shot, measured, reference, compared, input })
}

fn read(shot: &ShotInput, input: &ColourInput, flags: &str) -> Result<(Shot, Measured), Fault> {
    let name = shot.file.file_name().unwrap_or(shot.file.as_os_str()).to_string_lossy();
    let photograph = photograph(&shot.file)?;
    let Some(picture) = photograph.picture() else {
        let expected = said!("colour-whole-picture");
        return Err(Fault::new(&name, None, "", expected, said!("colour-nothing")));
    };
    let (lightness, allowances) = (&input.lightness, &input.allowances);
    let measured = measure(&picture, &shot.corners, &shot.spots, lightness, allowances)
        .map_err(|refusal| fault(&name, flags, refusal))?;
    let read = Shot {
        name: name.into_owned(),
        size: photograph.size(),
        space: photograph.space,
        space_is_stated: photograph.space_is_stated,
    };
    Ok((read, measured))
}

fn fault(file: &str, flags: &str, refusal: tooth_measure::colour::Refusal) -> Fault {
    let field = match refusal.of {
        RefusalOf::Card => format!("{flags}card"),
        RefusalOf::Spot(number) => format!("{flags}spot {}", number + 1),
    };
    Fault::new(file, None, &field, *refusal.expected, *refusal.found)
}
