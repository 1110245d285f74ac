//! Findings, unknowns and the recommendation.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;
use tooth_measure::choice::{Choice as _, choices};
use tooth_measure::{Money, Source};

use super::look::Look;
use crate::survey::{FeatureId, Matter, ReadingId, SystemId};

choices! {
    /// What a finding asks for, mildest first.
    FindingState {
        /// As it should be.
        Fine = "fine", "fine";
        /// Preparation takes care of it.
        Prepare = "prepare", "prepare";
        /// Somebody signs or agrees before the step that it touches.
        Hold = "hold", "hold: sign first";
        /// A person must choose between ways.
        Decide = "decide", "decide";
        /// Repair before preparation.
        Repair = "repair", "repair first";
        /// An engineer or licensed specialist must look first.
        Engineer = "engineer", "specialist first";
        /// This slab does not carry this system.
        NotACandidate = "not_a_candidate", "not a candidate";
    }
}
choices! {
    /// What to do about a zone.
    Recommendation {
        /// Prepare it.
        Go = "go", "go";
        /// Repair, then prepare.
        RepairFirst = "repair_first", "repair first";
        /// Not enough is known.
        TestMore = "test_more", "test more";
        /// Ask an engineer or licensed specialist.
        Engineer = "engineer", "engineer";
        /// Do not bid.
        DoNotBid = "do_not_bid", "do not bid";
    }
}

/// A person's decision against a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Overruled {
    /// Who.
    pub by: String,
    /// Licence of an engineer or specialist; null for others.
    pub licence: Option<String>,
    /// Date, ISO 8601.
    pub on: String,
    /// Why.
    pub reason: String,
}

choices! {
    /// Where a setting stands.
    SettingOf {
        /// The job's limits.
        Limits = "limits", "a setting";
        /// The sheet of the system.
        System = "system", "by the sheet";
    }
}

/// A setting that a finding used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// Where it stands.
    pub of: SettingOf,
    /// Its field.
    pub name: &'static str,
    /// Its value, with its unit.
    pub value: String,
}

impl fmt::Display for Setting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{} = {}", self.of.key(), self.name, self.value)
    }
}

fn as_text<S: serde::Serializer>(
    setting: &Option<Setting>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    match setting {
        Some(setting) => serializer.collect_str(setting),
        None => serializer.serialize_str(""),
    }
}

/// Something found in a zone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// The rule's name.
    pub code: Matter,
    /// What it asks for.
    pub state: FindingState,
    /// What was found and what follows, in a sentence or two.
    pub reason: String,
    /// What it rests on: `reading:ID`, `feature:ID`, `scan:NAME`, `job:FIELD`,
    /// `system:ID`.
    pub evidence: Vec<Evidence>,
    /// Where the rule comes from.
    pub source: Source,
    /// The setting that it used, with its value, as one text; empty where none.
    #[serde(serialize_with = "as_text")]
    #[schemars(with = "String")]
    pub setting: Option<Setting>,
    /// A person's decision against it, null if none.
    pub overruled: Option<Overruled>,
}

impl Finding {
    /// Whether a person's word lifts it. What belongs to an engineer or specialist takes
    /// a licence; hazards to people are settled by tests and signatures alone.
    #[must_use]
    pub fn can_be_overruled(&self, licensed: bool) -> bool {
        if self.code.is_settled_by_tests() {
            return false;
        }
        licensed || !matches!(self.state, FindingState::Engineer | FindingState::NotACandidate)
    }
}

choices! {
    /// A fact of the job that a finding rests on.
    JobFact {
        /// Falls to drains.
        Drainage = "drainage", "drainage";
        /// How patches are squared up.
        PatchRule = "patch_rule", "patch rule";
        /// Vapour retarder below the slab.
        VapourRetarder = "slab.vapour_retarder", "vapour retarder";
        /// Fire, frost, flood.
        PastDamage = "slab.past_damage", "past damage";
        /// Tendons.
        PostTensioned = "slab.post_tensioned", "post tensioned";
        /// What carries the slab.
        Support = "slab.support", "support";
        /// Signed locates.
        Locate = "locate", "locate";
        /// What lies in the slab.
        EmbeddedItems = "slab.embedded_items", "embedded items";
    }
}

/// What a finding rests on. In JSON `reading:ID`, `feature:ID`, `scan:NAME`, `job:FIELD`,
/// `system:ID`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Evidence {
    /// A reading.
    Reading(ReadingId),
    /// A mark on the plan.
    Feature(FeatureId),
    /// A scan of the surface, by name.
    Scan(String),
    /// The sheet of a system.
    System(SystemId),
    /// A fact of the job.
    Job(JobFact),
    /// A change order, by name.
    ChangeOrder(String),
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Reading(id) => write!(f, "reading:{id}"),
            Self::Feature(id) => write!(f, "feature:{id}"),
            Self::Scan(name) => write!(f, "scan:{name}"),
            Self::System(id) => write!(f, "system:{id}"),
            Self::Job(fact) => write!(f, "job:{}", fact.key()),
            Self::ChangeOrder(id) => write!(f, "job:change_order.{id}"),
        }
    }
}

impl Serialize for Evidence {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for Evidence {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Evidence".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}

/// What a question is about, where its answers can be reckoned through.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// Whether a film keeps water out of the bare slab.
    Film,
    /// Whether a film or a dense surface does.
    FilmOrDense,
    /// How deep an oil stain has gone.
    OilDepth(FeatureId),
    /// Whether its oil comes back.
    OilBleedBack(FeatureId),
    /// How deep a weak layer is.
    WeakDepth(FeatureId),
    /// The pull-off strength of the slab.
    PullOff,
    /// How wet the slab is.
    Moisture,
    /// Whether cracks move.
    CracksMove(Vec<FeatureId>),
    /// Whether water comes through cracks.
    CracksLeak(Vec<FeatureId>),
    /// Whether one side of cracks stands higher.
    CracksDisplaced(Vec<FeatureId>),
    /// Whether joints still work.
    JointsWork(Vec<FeatureId>),
    /// Whether old filler sits in joints.
    OldFiller(Vec<FeatureId>),
    /// Whether what was not sounded is hollow.
    Unsounded,
    /// Whether a doubtful place is hollow.
    Doubtful(FeatureId),
    /// What a hollow sound is.
    HollowKind(FeatureId),
    /// How deep a place is loose.
    HollowDepth(FeatureId),
    /// Whether bars show at a spall.
    SpallBars(FeatureId),
    /// Whether old films hold lead or asbestos.
    OldCoating,
    /// Whether the concrete deteriorates from inside.
    Deterioration,
    /// The profile as it is.
    Profile,
    /// What carries the slab, or what was done to it.
    Structure,
    /// Where things lie in the slab.
    Locate,
    /// Anything else: due, and not reckoned.
    Due,
}

/// Something not known yet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Unknown {
    /// The rule that asks.
    pub code: Matter,
    /// What is not known.
    pub what: String,
    /// The cheapest test that settles it, and where.
    pub test: String,
    /// How many more of it.
    pub count: u32,
    /// Whether the recommendation hangs on it; else it is due before the work starts.
    pub decides: bool,
    /// What each outcome would lead to.
    pub leads_to: String,
    /// What settling it costs; null where nobody has reckoned it.
    pub costs: Option<Money>,
    /// What settling it saves on this job in expectation; null where nobody has reckoned it.
    pub saves: Option<Money>,
    /// What it is about.
    #[serde(skip)]
    pub ask: Ask,
}

/// What a rule says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome {
    Found(Finding),
    NotKnown(Gap),
}

/// What a rule asks for; [`Unknown`] says besides what its answers lead to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Gap {
    pub(crate) code: Matter,
    what: String,
    test: String,
    count: u32,
    pub(crate) decides: bool,
    ask: Ask,
}

impl Gap {
    pub(crate) fn in_full(self, look: &Look<'_>) -> Unknown {
        let leads_to = leads_to(self.code, look);
        let Self { code, what, test, count, decides, ask } = self;
        Unknown { code, what, test, count, decides, leads_to, costs: None, saves: None, ask }
    }
}

pub(crate) fn found(
    code: Matter,
    state: FindingState,
    reason: impl Into<String>,
    evidence: Vec<Evidence>,
    source: Source,
) -> Outcome {
    Outcome::Found(Finding {
        code,
        state,
        reason: reason.into(),
        evidence,
        source,
        setting: None,
        overruled: None,
    })
}

impl Outcome {
    /// Says what a question is about.
    pub(crate) fn about(mut self, ask: Ask) -> Self {
        if let Self::NotKnown(gap) = &mut self {
            gap.ask = ask;
        }
        self
    }

    /// Says which setting a finding rests on.
    pub(crate) fn by_setting(mut self, of: SettingOf, name: &'static str, value: &str) -> Self {
        if let Self::Found(finding) = &mut self {
            finding.setting = Some(Setting { of, name, value: value.to_owned() });
        }
        self
    }
}

fn not_known(
    code: Matter,
    what: impl Into<String>,
    test: impl Into<String>,
    count: u32,
    decides: bool,
) -> Outcome {
    let (what, test) = (what.into(), test.into());
    Outcome::NotKnown(Gap { code, what, test, count, decides, ask: Ask::Due })
}

/// What the answers to a rule's question lead to.
pub(crate) fn leads_to(code: Matter, look: &Look<'_>) -> String {
    let limits = look.limits();
    match code {
        Matter::Scaling => {
            return format!(
                "to {}: taken off and tested; to {}: resurfaced; deeper: compare with replacement",
                look.detail(limits.medium_scaling.value),
                look.detail(limits.severe_scaling.value),
            );
        }
        Matter::WeakLayer => {
            return format!(
                "to {}: taken off to sound concrete; deeper: a repair to be designed",
                look.detail(limits.deepest_weak_layer.value),
            );
        }
        _ => {}
    }
    let said = match code {
        Matter::Plausibility => {
            "confirmed: it counts; corrected: the right figure counts; neither: the test counts as missing"
        }
        Matter::Unsettled => "the version that is settled decides",
        Matter::Structure => {
            "on the ground and not stressed: go on; suspended or stressed: an engineer"
        }
        Matter::EmbeddedItems => {
            "located and marked: cutting may start; not located: nothing is cut"
        }
        Matter::OldCoating => {
            "none found: it may be removed with the usual controls; found: licensed abatement"
        }
        Matter::DeteriorationFromInside => {
            "none found: go on; found: not a candidate, refer or replace"
        }
        Matter::Cracks => {
            "dormant and narrow: prepared with the rest; wide: routed and filled; moving: carried through; displaced: an engineer"
        }
        Matter::Joints => "works: carried through the finish; does not: filled semi-rigid",
        Matter::HollowConcrete => {
            "sound: go on; loose skin: cut out and patch; old layer: taken off; below the top third or without support: an engineer"
        }
        Matter::Spalls => "no bars and in the top third: patch; else an engineer",
        Matter::Film => {
            "soaks in: bare; beads without fizz: a film that comes off; beads with fizz: dense, to be opened"
        }
        Matter::CoatingIdentity => {
            "softens or peels: strip or scrape; cross-linked or brittle: grind or blast"
        }
        Matter::Oil => "at the surface: scrubbed; deep: drawn out, or cut out where it comes back",
        Matter::PullOffStrength => {
            "reaches the limit: go on; fails in the slab: take more off and test again; fails elsewhere: that layer comes off"
        }
        Matter::PullOffRetest => {
            "reaches the limit: the system may follow; fails: take more off, test again"
        }
        Matter::Moisture => {
            "below the limit: go on; above: wait, mitigate, a breathable system, or refuse"
        }
        Matter::SurfacePh => "within the limits: go on; outside: rinse and read again",
        Matter::Profile | Matter::ProfileScan => {
            "within the range: it stays; smoother: roughened; rougher: ground, filled, or a thicker system"
        }
        Matter::ProductFit => {
            "the sheet names the class and its profile; until then the named class's range stands in"
        }
        Matter::Climate => "within the limits: the day's work starts; outside: it waits",
        Matter::SeeThrough => {
            "agreed and signed: tests and steps that mark may be done; not agreed: hidden places only, or none"
        }
        Matter::SamplePanel => {
            "approved: full work, at the panel's rate and profile; not approved: another way or system"
        }
        Matter::LowSpots => "low: filled to the fall; high enough: left as it is",
        Matter::ScratchHardness => "picks the bond of the diamonds, and the rate",
        Matter::Carbonation | Matter::Chloride => {
            "below the limit: go on; above, with steel in reach: an engineer"
        }
        _ => "settles the rule that asks",
    };
    said.to_owned()
}

/// A gap that the recommendation hangs on.
pub(crate) fn deciding(
    code: Matter,
    what: impl Into<String>,
    test: impl Into<String>,
    count: u32,
) -> Outcome {
    not_known(code, what, test, count, true)
}

/// A gap to close before the work starts.
pub(crate) fn before_work(
    code: Matter,
    what: impl Into<String>,
    test: impl Into<String>,
    count: u32,
) -> Outcome {
    not_known(code, what, test, count, false)
}
