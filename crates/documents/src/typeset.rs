//! The seam to the typesetter: a closed world of templates, data, pictures and the
//! bundled fonts. No file, clock or network is reached.

use std::fmt;

use tooth_measure::choice::Choice as _;
use tooth_words::Words;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::layout::{Frame, FrameItem};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandards};

const FONTS: [&[u8]; 3] = [
    include_bytes!("../fonts/AtkinsonHyperlegibleNext_400Regular.ttf"),
    include_bytes!("../fonts/AtkinsonHyperlegibleNext_400Regular_Italic.ttf"),
    include_bytes!("../fonts/AtkinsonHyperlegibleNext_700Bold.ttf"),
];
const STYLE: &str = include_str!("../templates/style.typ");

/// A typeset document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// The text of every page in reading order, for search and for tests.
    pub text: Vec<String>,
}

/// A template failed: a fault of the program, not of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypesetError(pub String);

impl fmt::Display for TypesetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the document could not be typeset: {}", self.0)
    }
}

impl std::error::Error for TypesetError {}

/// Typesets a template with its data and pictures.
pub(crate) fn typeset(
    template: &'static str,
    data: serde_json::Value,
    pictures: Vec<(String, Vec<u8>)>,
    words: Words,
) -> Result<Document, TypesetError> {
    let mut data = words.told(data);
    if let Some(fields) = data.as_object_mut() {
        let mut own = words.templates("documents");
        own.extend(words.templates("colour"));
        fields.insert("words".to_owned(), own.into());
        fields.insert("language".to_owned(), words.language.key().into());
    }
    let world = Closed::new(template, &data, pictures)?;
    let document: PagedDocument =
        typst::compile(&world).output.map_err(|errors| said(&world, errors))?;
    let options = PdfOptions {
        ident: Smart::Auto,
        creator: Smart::Custom(Some("Tooth".to_owned())),
        timestamp: None,
        page_ranges: None,
        standards: PdfStandards::default(),
        tagged: true,
        pretty: false,
    };
    let pdf = typst_pdf::pdf(&document, &options).map_err(|errors| said(&world, errors))?;
    let text = document.pages().iter().map(|page| page_text(&page.frame)).collect();
    Ok(Document { pdf, text })
}

fn said(
    world: &Closed,
    errors: impl IntoIterator<Item = typst::diag::SourceDiagnostic>,
) -> TypesetError {
    use typst::WorldExt as _;
    let lines: Vec<String> = errors
        .into_iter()
        .map(|error| match world.range(error.span) {
            Some(range) => format!("{} (at byte {})", error.message, range.start),
            None => error.message.to_string(),
        })
        .collect();
    TypesetError(lines.join("; "))
}

fn page_text(frame: &Frame) -> String {
    let mut text = String::new();
    collect(frame, &mut text);
    text
}

fn collect(frame: &Frame, into: &mut String) {
    for (_, item) in frame.items() {
        match item {
            FrameItem::Group(group) => collect(&group.frame, into),
            FrameItem::Text(run) => {
                into.push_str(&run.text);
                into.push('\n');
            }
            _ => {}
        }
    }
}

struct Closed {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    main: Source,
    style: Source,
    files: Vec<(FileId, Bytes)>,
}

fn file_id(path: &str) -> Result<FileId, TypesetError> {
    let virtual_path =
        VirtualPath::new(path).map_err(|error| TypesetError(format!("{path}: {error:?}")))?;
    Ok(RootedPath::new(VirtualRoot::Project, virtual_path).intern())
}

impl Closed {
    fn new(
        template: &'static str,
        data: &serde_json::Value,
        pictures: Vec<(String, Vec<u8>)>,
    ) -> Result<Self, TypesetError> {
        let fonts: Vec<Font> =
            FONTS.iter().flat_map(|data| Font::iter(Bytes::new(*data))).collect();
        let mut files = vec![(file_id("/data.json")?, Bytes::new(data.to_string().into_bytes()))];
        for (name, bytes) in pictures {
            files.push((file_id(&format!("/{name}"))?, Bytes::new(bytes)));
        }
        Ok(Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            main: Source::new(file_id("/main.typ")?, template.to_owned()),
            style: Source::new(file_id("/style.typ")?, STYLE.to_owned()),
            files,
        })
    }
}

impl World for Closed {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        [&self.main, &self.style]
            .into_iter()
            .find(|source| source.id() == id)
            .cloned()
            .ok_or(FileError::AccessDenied)
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files
            .iter()
            .find(|(known, _)| *known == id)
            .map(|(_, bytes)| bytes.clone())
            .ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
