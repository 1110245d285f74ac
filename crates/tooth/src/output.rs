//! What `--json` prints beyond the results of the job itself.

use std::sync::LazyLock;

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;
use tooth_formats::job_folder::{ThingAsked, described};
use tooth_formats::{ChoiceAsked, Fault};
use tooth_job::assessment::Assessment;
use tooth_job::estimate::Estimate;
use tooth_job::methods::built_in;
use tooth_job::plan::Plan;
use tooth_job::quantities::Quantities;
use tooth_job::quick::QuickAnswer;
use tooth_measure::say::Said;
use tooth_measure::{Area, Fraction, Frequency, Length, TimeSpan};
use tooth_record::chain::{PublicKey, TrustedHead, Wrong};
use tooth_record::{Entry, EntryId, FileHash, JobId, Thing};
use tooth_sounding::{Class, Groups, Hearing, HollowArea, Known, Sounding, Tap};

/// One thing wrong with an input.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct FaultOut {
    /// File, as a path inside the job folder.
    pub(crate) file: String,
    /// Line, counted from 1; null where the whole file is meant.
    pub(crate) line: Option<u32>,
    /// Field; empty where the whole line or file is meant.
    pub(crate) field: String,
    /// What would do.
    pub(crate) expected: Said,
    /// What stands there.
    pub(crate) found: Said,
}

impl From<&Fault> for FaultOut {
    fn from(fault: &Fault) -> Self {
        Self {
            file: fault.file.clone(),
            line: fault.line,
            field: fault.field.clone(),
            expected: (*fault.expected).clone(),
            found: (*fault.found).clone(),
        }
    }
}

/// Printed with exit code 2.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Errors {
    /// Every fault, by file and line.
    pub(crate) errors: Vec<FaultOut>,
}

/// A sound folder.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Checked {
    /// Name of the job.
    pub(crate) job: String,
    /// Number of zones.
    pub(crate) zones: u32,
    /// Number of features.
    pub(crate) features: u32,
    /// Number of readings.
    pub(crate) readings: u32,
    /// Number of systems.
    pub(crate) systems: u32,
    /// Hours of forecast.
    pub(crate) forecast_hours: u32,
    /// What to look at, though it was read.
    /// Area of all areas together.
    pub(crate) area_m2: Area,
    /// Width and depth of all of them; null of none.
    pub(crate) extent_m: Option<[Length; 2]>,
    /// What to look at.
    pub(crate) warnings: Vec<FaultOut>,
}

/// A job folder that was begun.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Begun {
    /// The folder.
    pub(crate) folder: String,
    /// The names of its files.
    pub(crate) files: Vec<String>,
    /// The answer of `quick`, of whose likely case the folder is.
    pub(crate) quick: QuickAnswer,
}

/// A file that was written.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct DocumentWritten {
    /// Its name in the folder of `--out`.
    pub(crate) file: String,
    /// For whom or what it is.
    pub(crate) what: Said,
    /// Its size.
    pub(crate) bytes: u64,
    /// Pages of a PDF; null for others.
    pub(crate) pages: Option<u32>,
    /// Its BLAKE3 hash in hexadecimal.
    pub(crate) blake3: String,
}

/// What `run` and `report` print.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Run {
    /// Name of the job.
    pub(crate) job: String,
    /// What the evidence says.
    pub(crate) assessment: Assessment,
    /// The steps.
    pub(crate) plan: Plan,
    /// The bill.
    pub(crate) quantities: Quantities,
    /// The price.
    pub(crate) estimate: Estimate,
    /// The files that were written.
    pub(crate) documents: Vec<DocumentWritten>,
    /// How they were noted in the record; null for a folder, of which none is kept.
    pub(crate) issued: Option<Issued>,
}

/// Documents as they were issued from the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Issued {
    /// Number among the job's issues, from 1.
    pub(crate) number: u64,
    /// Where the record stood.
    pub(crate) head: TrustedHead,
    /// The key that signs heads here.
    pub(crate) key: PublicKey,
    /// Whether the very same documents had been issued before under this number.
    pub(crate) again: bool,
}

/// A job of the record.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct JobListed {
    /// Its id.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: Said,
    /// Number of its entries.
    pub(crate) entries: u64,
    /// The end of its chain.
    pub(crate) head: TrustedHead,
    /// When its newest entry was received.
    #[schemars(with = "Option<String>")]
    pub(crate) newest: Option<Timestamp>,
    /// Things with unsettled versions.
    pub(crate) clashes: u64,
    /// Times that documents were issued.
    pub(crate) issues: u64,
}

/// What `jobs` prints.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Jobs {
    /// All jobs of the record, by name.
    pub(crate) jobs: Vec<JobListed>,
}

/// What an import brought.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Imported {
    /// The job.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: String,
    /// Whether nothing was written, only looked at.
    pub(crate) dry_run: bool,
    /// Entries that are new to the record.
    pub(crate) entries: u64,
    /// Things stated that the folder's record did not know.
    pub(crate) stated: Vec<Thing>,
    /// Things corrected by hand in the folder.
    pub(crate) corrected: Vec<Thing>,
    /// Things removed by hand from the folder.
    pub(crate) withdrawn: Vec<Thing>,
    /// Files that are new or changed.
    pub(crate) files: Vec<Thing>,
    /// Of what was edited by hand, entries that an earlier import brought.
    pub(crate) known: u64,
    /// Keys that signed heads of the chain that the folder carries.
    pub(crate) signed_by: Vec<PublicKey>,
    /// Whether the folder carries a chain that nobody signed.
    pub(crate) unsigned: bool,
    /// Whether the folder was brought up to date afterwards.
    pub(crate) brought_up_to_date: bool,
    /// Whether the folder's chain and the record's had parted: its entries were added
    /// at new places.
    pub(crate) parted: bool,
    /// The end of the job's chain; null where nothing was said.
    pub(crate) head: Option<TrustedHead>,
    /// Things with unsettled versions.
    pub(crate) clashes: Vec<Thing>,
    /// What to look at.
    pub(crate) warnings: Vec<FaultOut>,
}

/// What an export wrote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Exported {
    /// The job.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: String,
    /// Number of entries.
    pub(crate) entries: u64,
    /// The end of the chain.
    pub(crate) head: TrustedHead,
    /// Number of files.
    pub(crate) files: u64,
    /// Files that could not be written because the record's own are missing or altered.
    pub(crate) missing: Vec<FileHash>,
}

/// An entry of which something is wrong.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct AlteredEntry {
    /// Its place, counted from 1.
    pub(crate) place: u64,
    /// What is wrong.
    pub(crate) wrong: Wrong,
    /// The same in words.
    pub(crate) words: Said,
    /// What the entry is about, as it reads now; null where it cannot be read.
    pub(crate) entry: Option<Said>,
}

/// A file of which something is wrong.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct FileFault {
    /// Hash that its bytes should have.
    pub(crate) hash: FileHash,
    /// Its name in the job folder, where it still has one.
    pub(crate) name: Option<String>,
    /// What is wrong.
    pub(crate) what: Said,
}

/// A job that was verified.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct JobVerified {
    /// The job.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: String,
    /// Number of its entries.
    pub(crate) entries: u64,
    /// Number of signed heads that fit.
    pub(crate) heads: u64,
    /// The end of the chain, as computed.
    pub(crate) head: TrustedHead,
    /// Everything wrong with entries, links and heads, the first place first.
    pub(crate) altered: Vec<AlteredEntry>,
    /// Everything wrong with files.
    pub(crate) files: Vec<FileFault>,
    /// Files of a folder that were edited by hand since; an import takes them in.
    pub(crate) edited: Vec<String>,
    /// Entries up to this place are proven by a trusted head or key; 0 for none.
    pub(crate) proven_entries: u64,
    /// Trusted heads that hold in another installation's order of these entries.
    pub(crate) proven_elsewhere: Vec<TrustedHead>,
    /// What this check cannot prove.
    pub(crate) not_proven: Vec<Said>,
}

impl JobVerified {
    /// Whether nothing was altered or lost. Edits by hand of the readable files are no
    /// alteration of the record.
    pub(crate) fn is_whole(&self) -> bool {
        self.altered.is_empty() && self.files.is_empty()
    }
}

/// What `verify` prints.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Verified {
    /// Whether nothing was altered or lost, as far as this check can tell.
    pub(crate) whole: bool,
    /// What this check of the whole record cannot prove.
    pub(crate) not_proven: Vec<Said>,
    /// What is wrong with the database or the files of the record as such.
    pub(crate) database: Vec<Said>,
    /// The jobs.
    pub(crate) jobs: Vec<JobVerified>,
}

/// An entry of a history.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct HistoryEntry {
    /// Its place in the job.
    pub(crate) place: u64,
    /// When it was received, by the installation's clock.
    #[schemars(with = "String")]
    pub(crate) received: Timestamp,
    /// Whether it counts now; false where a later entry replaced it.
    pub(crate) counts: bool,
    /// The entry.
    pub(crate) entry: Entry,
}

/// What `history` prints.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct History {
    /// The job.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: String,
    /// The end of its chain.
    pub(crate) head: TrustedHead,
    /// The key that signs heads here.
    pub(crate) key: PublicKey,
    /// Things with unsettled versions.
    pub(crate) clashes: Vec<Thing>,
    /// Entries in the order of their places.
    pub(crate) entries: Vec<HistoryEntry>,
}

/// What `settle` and `withdraw` print.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Changed {
    /// The job.
    pub(crate) job: JobId,
    /// The thing; null for an erased file.
    pub(crate) thing: Option<Thing>,
    /// The new entry.
    pub(crate) entry: Option<EntryId>,
    /// The end of the chain with it.
    pub(crate) head: Option<TrustedHead>,
}

/// What `erase` prints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Erased {
    /// New entries that say so; none where the files had been erased before.
    pub(crate) entries: Vec<Changed>,
    /// Issued documents that still show the file: number of the issue and name.
    pub(crate) still_shown_in: Vec<StillShown>,
}

/// An issued document that shows an erased file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct StillShown {
    /// The job.
    pub(crate) job: JobId,
    /// Number of the issue.
    pub(crate) issue: u64,
    /// The document.
    pub(crate) file: String,
}

/// A document made again.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct AgainFile {
    /// Its name in the folder of `--out`.
    pub(crate) file: String,
    /// For whom or what it is.
    pub(crate) what: Said,
    /// Hash of its bytes, the same as when it was issued.
    pub(crate) blake3: String,
    /// Where the bytes come from.
    pub(crate) state: AgainState,
}

/// Where the bytes of a document made again come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum AgainState {
    /// This program made the same bytes again.
    Remade,
    /// They are those that were kept; they were not made again.
    Kept,
    /// They are those that were kept; this program makes other ones from the same
    /// entries: something was altered, or it is a fault of the program.
    Differs,
    /// They were erased or lost, and could not be made again.
    Missing,
}

/// What `report --again` prints.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Again {
    /// Number of the issue.
    pub(crate) number: u64,
    /// The date on the documents.
    pub(crate) issued_on: String,
    /// The version that made them.
    pub(crate) made_by: String,
    /// Why they could not be made again; null where they were.
    pub(crate) why_not_remade: Option<Said>,
    /// The documents.
    pub(crate) documents: Vec<AgainFile>,
}

/// What `sounding` says of a recording.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SoundingOut {
    /// Taps in time order; with a list exactly one per row.
    pub(crate) taps: Vec<TapOut>,
    /// Sounds that are no taps.
    pub(crate) rejected_events: Vec<RejectedOut>,
    /// Which groups of taps there are.
    pub(crate) groups: GroupsOut,
    /// Loose areas, the largest first; none where it is not established what is loose.
    pub(crate) areas: Vec<HollowAreaOut>,
    /// Loose area in all; null without places, or where it is not established what is loose.
    pub(crate) hollow_area_m2: Option<Area>,
    /// Lower bound of it, which the truth passes nineteen times in twenty; null as above.
    pub(crate) hollow_area_low_m2: Option<Area>,
    /// Upper bound of it; null as above.
    pub(crate) hollow_area_high_m2: Option<Area>,
    /// Area that the taps stand for; null without places.
    pub(crate) surveyed_area_m2: Option<Area>,
    /// Usual distance between taps; null without places.
    pub(crate) pitch_m: Option<Length>,
    /// Smallest round hollow that the grid cannot miss; null without places.
    pub(crate) smallest_surely_found_m: Option<Length>,
    /// Length of the recording.
    pub(crate) duration_s: TimeSpan,
    /// Samples in a second.
    pub(crate) sample_rate_hz: Frequency,
}

/// One tap.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct TapOut {
    /// Its number in the list; without a list, its order from 0.
    pub(crate) index: u32,
    /// When it was heard; null where it was not.
    pub(crate) time_s: Option<TimeSpan>,
    /// How well it was heard; one that is not clear is at best doubtful.
    pub(crate) hearing: HearingOut,
    /// Where it was struck; null without a place.
    pub(crate) x_m: Option<Length>,
    /// Where it was struck; null without a place.
    pub(crate) y_m: Option<Length>,
    /// Probability that the concrete under it is loose.
    pub(crate) hollow_probability: Fraction,
    /// The same in one word.
    pub(crate) class: ClassOut,
    /// What a person vouched for; null where nobody did.
    pub(crate) known: Option<KnownOut>,
    /// Whether the recorder was driven past its range.
    pub(crate) clipped: bool,
}

/// How well a tap was heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum HearingOut {
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ClassOut {
    /// Less than one in five is loose.
    Sound,
    /// Neither: tap again, or open it.
    Doubtful,
    /// At least two in five are loose.
    Hollow,
}

impl From<Class> for ClassOut {
    fn from(class: Class) -> Self {
        match class {
            Class::Sound => Self::Sound,
            Class::Doubtful => Self::Doubtful,
            Class::Hollow => Self::Hollow,
        }
    }
}

/// What a person vouched for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum KnownOut {
    /// Known good.
    Sound,
    /// Known loose.
    Hollow,
}

impl From<Known> for KnownOut {
    fn from(known: Known) -> Self {
        match known {
            Known::Sound => Self::Sound,
            Known::Hollow => Self::Hollow,
        }
    }
}

/// Which groups of taps a slab has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum GroupsOut {
    /// One, and known-good taps are in it.
    OneSound,
    /// One, and verified hollow taps are in it.
    OneHollow,
    /// Two, and a person's taps tell which is which.
    Two,
    /// Nobody vouched for a tap, or those vouched for do not tell the groups apart.
    NotEstablished,
}

/// A sound that is no tap.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct RejectedOut {
    /// When.
    pub(crate) time_s: TimeSpan,
    /// Why not.
    pub(crate) reason: Said,
}

/// One loose area.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct HollowAreaOut {
    /// Corners of its outline, `[x_m, y_m]`, the first again at the end.
    pub(crate) polygon: Vec<[Length; 2]>,
    /// Its area.
    pub(crate) area_m2: Area,
    /// Lower bound of it, which the truth passes nineteen times in twenty.
    pub(crate) area_low_m2: Area,
    /// Upper bound of it.
    pub(crate) area_high_m2: Area,
    /// Numbers of the taps on it that sound hollow.
    pub(crate) taps: Vec<u32>,
}

impl From<&Sounding> for SoundingOut {
    fn from(sounding: &Sounding) -> Self {
        let told = sounding.groups != Groups::NotEstablished;
        let field = sounding.field.as_ref();
        let established = field.filter(|_| told);
        Self {
            taps: sounding.taps.iter().map(TapOut::from).collect(),
            rejected_events: sounding
                .rejected
                .iter()
                .map(|event| RejectedOut { time_s: event.time, reason: event.reason.said() })
                .collect(),
            groups: match sounding.groups {
                Groups::OneSound => GroupsOut::OneSound,
                Groups::OneHollow => GroupsOut::OneHollow,
                Groups::Two => GroupsOut::Two,
                Groups::NotEstablished => GroupsOut::NotEstablished,
            },
            areas: established
                .map(|field| field.areas.iter().map(|area| area_out(sounding, area)).collect())
                .unwrap_or_default(),
            hollow_area_m2: established.map(|field| field.hollow),
            hollow_area_low_m2: established.map(|field| field.bounds.0),
            hollow_area_high_m2: established.map(|field| field.bounds.1),
            surveyed_area_m2: field.map(|field| field.surveyed),
            pitch_m: field.map(|field| field.pitch),
            smallest_surely_found_m: sounding.smallest_surely_found(),
            duration_s: sounding.duration,
            sample_rate_hz: sounding.sample_rate,
        }
    }
}

fn area_out(sounding: &Sounding, area: &HollowArea) -> HollowAreaOut {
    let corners = area.outline.corners();
    let polygon = corners.iter().chain(corners.first()).map(|p| [p.x, p.y]).collect();
    HollowAreaOut {
        polygon,
        area_m2: area.area,
        area_low_m2: area.bounds.0,
        area_high_m2: area.bounds.1,
        taps: area
            .taps
            .iter()
            .filter_map(|tap| sounding.taps.get(*tap))
            .map(|tap| tap.number)
            .collect(),
    }
}

impl From<&Tap> for TapOut {
    fn from(tap: &Tap) -> Self {
        Self {
            index: tap.number,
            time_s: tap.time,
            hearing: match tap.hearing {
                Hearing::Clear => HearingOut::Clear,
                Hearing::Drowned => HearingOut::Drowned,
                Hearing::Unheard => HearingOut::Unheard,
                Hearing::Undecided => HearingOut::Undecided,
            },
            x_m: tap.place.map(|place| place.x),
            y_m: tap.place.map(|place| place.y),
            hollow_probability: tap.hollow,
            class: tap.class.into(),
            known: tap.known.map(KnownOut::from),
            clipped: tap.clipped,
        }
    }
}

/// What may be stated of a job: the forms of the page.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct FieldsPage {
    /// Every kind of thing with its fields.
    pub(crate) things: Vec<ThingAsked>,
    /// The methods that come with the program.
    pub(crate) methods: Vec<ChoiceAsked>,
    /// The machines that come with the program.
    pub(crate) machines: Vec<ChoiceAsked>,
}

impl FieldsPage {
    /// Learnt from the readers once: nothing of it changes while the program runs.
    pub(crate) fn known() -> &'static Self {
        static KNOWN: LazyLock<FieldsPage> = LazyLock::new(FieldsPage::learnt);
        &KNOWN
    }

    fn learnt() -> Self {
        let catalogue = built_in();
        let named =
            |id: &str, name: &Said| ChoiceAsked { key: id.to_owned().into(), name: name.clone() };
        Self {
            things: described(),
            methods: catalogue
                .methods
                .iter()
                .map(|method| named(&method.id, &method.name))
                .collect(),
            machines: catalogue
                .machines
                .iter()
                .map(|machine| named(&machine.id, &machine.name))
                .collect(),
        }
    }
}
