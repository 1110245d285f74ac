//! What the page is told: the types of its answers. Numbers that a person reads are texts,
//! in both systems of units.

use schemars::JsonSchema;
use serde::Serialize;
use tooth_job::assessment::{FindingState, Recommendation};
use tooth_measure::say::Said;
use tooth_measure::{Fraction, Length, TimeSpan};
use tooth_record::chain::{PublicKey, TrustedHead};
use tooth_record::{JobId, Thing};

use crate::output::{ClassOut, FaultOut, KnownOut};

/// What an area needs next.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct NextTask {
    /// What it is.
    pub(crate) what: Said,
    /// How, or why.
    pub(crate) how: Said,
    /// Whether the recommendation hangs on it.
    pub(crate) decides: bool,
}

/// An area at a glance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct AreaCard {
    /// Its zone's id.
    pub(crate) zone: String,
    /// Its letter on plans and cards.
    pub(crate) letter: String,
    /// Its name on site.
    pub(crate) name: String,
    /// The system that it gets.
    pub(crate) system: String,
    /// Its area less obstacles.
    pub(crate) area: String,
    /// What to do about it.
    pub(crate) recommendation: Recommendation,
    /// The same in words.
    pub(crate) recommendation_words: Said,
    /// What the recommendation hangs on.
    pub(crate) because: Said,
    /// What comes next.
    pub(crate) next: NextTask,
}

/// How much one unknown moves the price.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct DriverShown {
    /// The unknown.
    pub(crate) unknown: Said,
    /// Its share of the movement.
    pub(crate) share: String,
    /// The same in whole percent, for a bar.
    pub(crate) share_percent: u32,
}

/// A line of the price as marked.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct LineShown {
    /// Letter of the area; null for the whole job.
    pub(crate) letter: Option<String>,
    /// What it is.
    pub(crate) item: Said,
    /// Crew-hours.
    pub(crate) hours: String,
    /// Direct cost.
    pub(crate) total: String,
}

/// The price of the job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PriceShown {
    /// Half of the draws stay below.
    pub(crate) likely: String,
    /// A tenth of the draws stay below.
    pub(crate) low: String,
    /// Nine tenths of the draws stay below.
    pub(crate) high: String,
    /// Likely crew-hours, from low to high.
    pub(crate) hours: Said,
    /// To set aside above the price as marked.
    pub(crate) contingency: String,
    /// What moves the price, most first.
    pub(crate) drivers: Vec<DriverShown>,
    /// Letters of areas that are not in the price.
    pub(crate) left_out: Vec<String>,
    /// Letters of areas that are in it on assumptions.
    pub(crate) provisional: Vec<String>,
    /// Lines of direct cost.
    pub(crate) lines: Vec<LineShown>,
    /// Where shared machines and trips stand.
    pub(crate) machines: Vec<MachineShown>,
    /// How sure the price is, what it is made of, what moves it: pictures (SVG).
    pub(crate) curve: String,
    /// From labour to the price.
    pub(crate) build_up: String,
    /// What each unknown alone does.
    pub(crate) tornado: String,
    /// This plan and others, side by side; this one first.
    pub(crate) ways: Vec<PlanShown>,
    /// What bids at some prices risk.
    pub(crate) bids: Vec<BidShown>,
    /// Where the slab is too wet, every way out.
    pub(crate) moisture: Vec<MoistureShown>,
    /// Hidden damage found since the bid.
    pub(crate) changes: Vec<ChangeShown>,
    /// The likely price with signed changes; null where there are none.
    pub(crate) with_changes: Option<String>,
    /// Rates that logged work has changed.
    pub(crate) learned: Vec<Said>,
}

/// A plan beside others.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PlanShown {
    /// What it is.
    pub(crate) name: Said,
    /// Direct cost.
    pub(crate) cost: String,
    /// Crew-hours.
    pub(crate) hours: String,
    /// Hours of dust.
    pub(crate) dust: String,
    /// What it trades against the first.
    pub(crate) trades: Said,
    /// What is done otherwise, by area.
    pub(crate) differs: Vec<Said>,
}

/// What a bid risks.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct BidShown {
    /// The bid.
    pub(crate) bid: String,
    /// How likely it ends in a loss.
    pub(crate) loss: String,
    /// What is left of it on average.
    pub(crate) left: String,
}

/// Where the slab is too wet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct MoistureShown {
    /// Letter of the area.
    pub(crate) letter: String,
    /// What was found.
    pub(crate) finding: Said,
    /// Every way.
    pub(crate) ways: Vec<WayShown>,
}

/// A way out of too much moisture.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct WayShown {
    /// Which.
    pub(crate) way: Said,
    /// What it adds to the price or takes from it, or that it is no way.
    pub(crate) price: Said,
    /// What speaks for it or against it.
    pub(crate) why: Said,
}

/// A change order.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ChangeShown {
    /// Its number.
    pub(crate) order: String,
    /// Letter of the area.
    pub(crate) letter: String,
    /// What was found, and how much.
    pub(crate) found: Said,
    /// Its price.
    pub(crate) price: String,
    /// Who signed; null while nobody has.
    pub(crate) signed: Option<String>,
    /// Whether the work goes on meanwhile.
    pub(crate) proceed: bool,
}

/// A machine that the job needs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct MachineShown {
    /// Its name.
    pub(crate) name: Said,
    /// Letters of the areas that use it.
    pub(crate) letters: Vec<String>,
    /// Whether the firm owns it.
    pub(crate) owned: bool,
}

/// Something with more than one unsettled version.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct UnsettledShown {
    /// What it is about.
    pub(crate) about: Said,
    /// Who says what.
    pub(crate) versions: Vec<Said>,
}

/// A document that can be had.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct DocumentShown {
    /// Its name.
    pub(crate) file: String,
    /// For whom or what it is.
    pub(crate) what: Said,
}

/// Documents that were issued.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct IssueShown {
    /// Number of the issue.
    pub(crate) number: u64,
    /// The date on the documents.
    pub(crate) issued_on: String,
    /// Number of entries that they were made from.
    pub(crate) entries: u64,
    /// The documents.
    pub(crate) documents: Vec<DocumentShown>,
}

/// A job on the page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct JobPage {
    /// The job.
    pub(crate) job: JobId,
    /// Its name.
    pub(crate) name: String,
    /// Whether it is made up to show the tool.
    pub(crate) invented: bool,
    /// The client.
    pub(crate) client: String,
    /// Where the slab is.
    pub(crate) site: String,
    /// Who prepares it.
    pub(crate) contractor: String,
    /// The areas, in the plan's order.
    pub(crate) areas: Vec<AreaCard>,
    /// The price.
    pub(crate) price: PriceShown,
    /// Recordings of taps, by name.
    pub(crate) soundings: Vec<SoundingListed>,
    /// Its scans of the surface.
    pub(crate) scans: Vec<SoundingListed>,
    /// What people say differently.
    pub(crate) unsettled: Vec<UnsettledShown>,
    /// What to look at, though it was read.
    pub(crate) warnings: Vec<FaultOut>,
    /// Documents that can be made now.
    pub(crate) documents: Vec<DocumentShown>,
    /// Documents that were issued, newest first.
    pub(crate) issues: Vec<IssueShown>,
    /// Number of entries of its record.
    pub(crate) entries: u64,
    /// The end of its chain.
    pub(crate) head: TrustedHead,
    /// The key that signs heads here.
    pub(crate) key: PublicKey,
}

/// Something that a finding rests on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct EvidenceShown {
    /// The thing in the record; null where it is a field of the job.
    pub(crate) thing: Option<Thing>,
    /// Its name.
    pub(crate) name: String,
    /// What it says.
    pub(crate) says: Said,
}

/// A finding with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct FindingShown {
    /// The rule's name.
    pub(crate) code: String,
    /// What it asks for.
    pub(crate) state: FindingState,
    /// The same in words.
    pub(crate) state_words: Said,
    /// What was found and what follows.
    pub(crate) reason: Said,
    /// What it rests on.
    pub(crate) evidence: Vec<EvidenceShown>,
    /// Where the rule comes from.
    pub(crate) source: Said,
    /// How sure that is.
    pub(crate) certainty: Said,
    /// The limit that was used, with its value; empty where none.
    pub(crate) setting: Said,
    /// A person's decision against it; null if none.
    pub(crate) overruled: Option<Said>,
}

/// Something not known yet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct GapShown {
    /// What is not known.
    pub(crate) what: Said,
    /// The cheapest test that settles it.
    pub(crate) test: Said,
    /// How many more of it.
    pub(crate) count: u32,
    /// Whether the recommendation hangs on it.
    pub(crate) decides: bool,
    /// What each outcome would lead to.
    pub(crate) leads_to: Said,
    /// What settling it costs; null where nobody has reckoned it.
    pub(crate) costs: Option<String>,
    /// What settling it saves on this job in expectation; null where nobody has reckoned it.
    pub(crate) saves: Option<String>,
}

/// A step of the plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct StepShown {
    /// Its name.
    pub(crate) name: Said,
    /// Whether it is done when the system is down.
    pub(crate) after_system: bool,
    /// What it is done to.
    pub(crate) scope: Said,
    /// How much.
    pub(crate) amount: Said,
    /// Passes.
    pub(crate) passes: u8,
    /// Crew-hours.
    pub(crate) hours: String,
    /// Hours before the next step; null for none.
    pub(crate) wait: Option<String>,
    /// Direct cost.
    pub(crate) cost: String,
    /// The profile that it leaves; null where it leaves it alone.
    pub(crate) leaves: Option<String>,
    /// Hand work along walls; null for none.
    pub(crate) edging: Option<Said>,
    /// What must be signed before it.
    pub(crate) holds: Vec<Said>,
    /// What a release asks to be done before it.
    pub(crate) first: Vec<Said>,
    /// What a release forbids.
    pub(crate) never: Vec<Said>,
    /// Conditions of a release that somebody has signed.
    pub(crate) signed: Vec<Said>,
    /// What is checked before the next step; empty where nothing is.
    pub(crate) verify: Said,
    /// How to drive the machine: a picture (SVG); null for hand work.
    pub(crate) sketch: Option<String>,
    /// What the names in the sketch stand for; empty where it shows lanes.
    pub(crate) places: Vec<Said>,
    /// One sentence for the crew.
    pub(crate) instruction: Said,
    /// Where the figures come from.
    pub(crate) source: Said,
}

/// Methods that may not be used, by reason.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct RuledOutShown {
    /// The reason.
    pub(crate) reason: Said,
    /// The methods.
    pub(crate) methods: Vec<Said>,
}

/// A line of the bill of quantities.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct QuantityShown {
    /// What it is.
    pub(crate) item: Said,
    /// How much.
    pub(crate) amount: Said,
    /// How it was worked out, with its numbers.
    pub(crate) formula: Said,
    /// Where the formula comes from.
    pub(crate) source: Said,
}

/// An area on the page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct AreaPage {
    /// The area at a glance.
    pub(crate) card: AreaCard,
    /// What kind of system it gets, and its sheet.
    pub(crate) sheet: Said,
    /// The profile asked for.
    pub(crate) profile: Said,
    /// What was found, in the order of the gates.
    pub(crate) findings: Vec<FindingShown>,
    /// What is not known yet.
    pub(crate) unknown: Vec<GapShown>,
    /// Whether it has a plan.
    pub(crate) planned: bool,
    /// Why it has none; empty where it has.
    pub(crate) not_planned: Said,
    /// What the plan assumes where evidence is missing.
    pub(crate) assumptions: Vec<Said>,
    /// The steps in order.
    pub(crate) steps: Vec<StepShown>,
    /// Crew-hours of all steps.
    pub(crate) hours: String,
    /// What must be shown or signed before the system goes down.
    pub(crate) before_system: Vec<Said>,
    /// Methods that may not be used here.
    pub(crate) ruled_out: Vec<RuledOutShown>,
    /// The bill of quantities.
    pub(crate) quantities: Vec<QuantityShown>,
}

/// How an object of the plan is drawn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "type", content = "coordinates_m", rename_all = "snake_case")]
pub(crate) enum Drawn {
    /// A place: x and y in metres.
    Spot([f64; 2]),
    /// A line of such places.
    Line(Vec<[f64; 2]>),
    /// An outline, closed.
    Patch(Vec<[f64; 2]>),
}

/// An object of the plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PlanObject {
    /// The thing in the record.
    pub(crate) thing: Thing,
    /// Its name.
    pub(crate) name: String,
    /// The word of its kind, for drawing and legend.
    pub(crate) kind: String,
    /// What it is.
    pub(crate) words: Said,
    /// Letters of the areas that it touches.
    pub(crate) letters: Vec<String>,
    /// The recommendation, for an area.
    pub(crate) recommendation: Option<Recommendation>,
    /// The recommendation in words, for an area.
    pub(crate) recommendation_words: Option<Said>,
    /// The photograph's file, for a photograph.
    pub(crate) photo: Option<String>,
    /// Where it is.
    pub(crate) drawn: Drawn,
}

/// The slab's plan on the page. Lengths in metres, y upwards.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct PlanPage {
    /// Name of the job.
    pub(crate) name: String,
    /// Whether feet are shown first.
    pub(crate) feet_first: bool,
    /// North, clockwise from up, in degrees.
    pub(crate) north_degrees: f64,
    /// Least x, least y, greatest x, greatest y.
    pub(crate) extent_m: [f64; 4],
    /// Areas first, then what was seen, then readings with a place.
    pub(crate) objects: Vec<PlanObject>,
}

/// A recording of taps or a scan of the surface, in the list of a job's.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SoundingListed {
    /// Its name.
    pub(crate) name: String,
    /// What it says, in a line.
    pub(crate) says: Said,
}

/// A recording of taps on the page. Places and times are for drawing, in metres and
/// seconds.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SoundingPage {
    /// The job.
    pub(crate) job: String,
    /// Its name.
    pub(crate) name: String,
    /// Whether the job is made up to show the tool.
    pub(crate) invented: bool,
    /// Which groups of taps there are.
    pub(crate) groups: Said,
    /// What it comes to: area, bounds, grid.
    pub(crate) says: Vec<Said>,
    /// Its taps, in their order.
    pub(crate) taps: Vec<TapShown>,
    /// Hollow areas, the largest first.
    pub(crate) areas: Vec<HollowShown>,
    /// Length of the recording.
    pub(crate) duration_s: TimeSpan,
    /// Lowest and highest sample of even parts of it, against full range.
    pub(crate) strip: Vec<[Fraction; 2]>,
}

/// A tap on the page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct TapShown {
    /// Its number in the list.
    pub(crate) number: u32,
    /// When it was heard; null where it was not.
    pub(crate) time_s: Option<TimeSpan>,
    /// Where it was struck; null without a place.
    pub(crate) x_m: Option<Length>,
    /// Where it was struck; null without a place.
    pub(crate) y_m: Option<Length>,
    /// How it sounds.
    pub(crate) class: ClassOut,
    /// What is said of it.
    pub(crate) words: Said,
    /// What a person vouched for; null where nobody did.
    pub(crate) known: Option<KnownOut>,
}

/// A hollow area on the page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct HollowShown {
    /// Corners of its outline.
    pub(crate) corners: Vec<[Length; 2]>,
    /// Its area, with bounds, and its taps.
    pub(crate) words: Said,
}

/// A scan of the surface on the page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ScanPage {
    /// The job.
    pub(crate) job: String,
    /// Its name.
    pub(crate) name: String,
    /// Whether the job is made up to show the tool.
    pub(crate) invented: bool,
    /// Where, when and by whom.
    pub(crate) taken: Said,
    /// What is known of its profile level.
    pub(crate) level: Said,
    /// Chances of CSP 1 to 10; null where there are none.
    pub(crate) probability: Option<[Fraction; 10]>,
    /// The levels that hold nine tenths, first and last; null where there are none.
    pub(crate) shortest_90: Option<[u8; 2]>,
    /// The levels that are asked for there, first and last; null outside every area.
    pub(crate) asked: Option<[u8; 2]>,
    /// How likely the asked range is, in words; null where nothing is known.
    pub(crate) likely: Option<Said>,
    /// What the level was learnt on; null without scanned chips.
    pub(crate) chips_words: Option<Said>,
    /// Figures: what, and how much.
    pub(crate) figures: Vec<[Said; 2]>,
    /// What was taken off before them.
    pub(crate) filter: String,
    /// Its heights, thinned.
    pub(crate) surface: ReliefShown,
    /// The user's own chips, the smoothest first.
    pub(crate) chips: Vec<ChipShown>,
}

/// A comparator chip's scan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ChipShown {
    /// Its level.
    pub(crate) level: u8,
    /// Its heights, thinned.
    pub(crate) surface: ReliefShown,
}

/// Heights to be lit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ReliefShown {
    /// Columns of the map.
    pub(crate) columns: usize,
    /// From column to column, and from row to row, in millimetres.
    pub(crate) spacing_mm: [f64; 2],
    /// Width, in words.
    pub(crate) width: String,
    /// Heights row by row in micrometres; null where missing.
    pub(crate) heights_um: Vec<Option<i32>>,
}
